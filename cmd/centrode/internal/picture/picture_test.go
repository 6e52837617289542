package picture

import (
	"bytes"
	"encoding/xml"
	"io"
	"os"
	"regexp"
	"strings"
	"testing"

	"centrode/calc/catalog"
	"centrode/calc/catalog/list"
	"centrode/calc/figure"
)

// drawings are the figures of all calculators at their starting values.
func drawings(t *testing.T) map[string]figure.Figure {
	t.Helper()
	all := map[string]figure.Figure{}
	for _, c := range list.All() {
		a, err := catalog.Run(c, catalog.NewValues())
		if err != nil {
			t.Fatal(err)
		}
		all[a.Spec.ID] = c.Figure(a.Values, a.Result)
	}
	if len(all) < 10 {
		t.Fatalf("%d calculators draw, want at least 10", len(all))
	}
	return all
}

func TestADrawingIsXMLThatNeedsNothingElse(t *testing.T) {
	for id, f := range drawings(t) {
		text := SVG(f)
		decoder := xml.NewDecoder(bytes.NewReader(text))
		classes := 0
		for {
			token, err := decoder.Token()
			if err == io.EOF {
				break
			}
			if err != nil {
				t.Fatalf("%s: %v", id, err)
			}
			start, ok := token.(xml.StartElement)
			if !ok {
				continue
			}
			if start.Name.Space != "http://www.w3.org/2000/svg" {
				t.Errorf("%s: <%s> is in the namespace %q", id, start.Name.Local, start.Name.Space)
			}
			for _, a := range start.Attr {
				switch a.Name.Local {
				case "class":
					classes++
				case "style", "href", "tabindex":
					t.Errorf("%s: <%s %s=%q> has no place in a drawing that stands alone", id, start.Name.Local, a.Name.Local, a.Value)
				}
			}
		}
		if classes < 5 {
			t.Errorf("%s: only %d elements have a class", id, classes)
		}
		for _, unknown := range []string{"var(", "light-dark(", "handle-hit", "NaN"} {
			if bytes.Contains(text, []byte(unknown)) {
				t.Errorf("%s: holds %s", id, unknown)
			}
		}
		if !bytes.Contains(text, []byte("<title")) || !bytes.Contains(text, []byte("<style>")) {
			t.Errorf("%s: has no title or no style", id)
		}
	}
}

// Every class that some calculator draws with has a rule here, unless its element is only a group.
func TestEveryFormHasALook(t *testing.T) {
	groups := map[string]bool{"figure-marks": true, "figure-labels": true, "figure-handles": true, "heat": true, "tick": true, "dimension": true}
	class := regexp.MustCompile(`<(path|circle|rect|text|ellipse|line|polyline|polygon)\b[^>]*? class="([^"]*)"`)
	seen := 0
	for id, f := range drawings(t) {
		for _, m := range class.FindAllStringSubmatch(string(SVG(f)), -1) {
			looks := false
			for word := range strings.FieldsSeq(m[2]) {
				looks = looks || groups[word] || regexp.MustCompile(`\.`+regexp.QuoteMeta(word)+`\b`).MatchString(styles)
			}
			if seen++; !looks && m[1] != "text" {
				t.Errorf("%s: no rule of picture.css is for class=%q", id, m[2])
			}
		}
	}
	if seen < 100 {
		t.Errorf("looked at %d elements, want at least 100", seen)
	}
}

// Handles become markers: as many diamonds and rings as before, and nothing to grip.
func TestHandlesAreDrawnAsMarkers(t *testing.T) {
	handles := 0
	for id, f := range drawings(t) {
		markers := 0
		for _, m := range f.Marks {
			if _, ok := m.(figure.Marker); ok {
				markers++
			}
		}
		// An axis seen end-on is one marker of two signs.
		count := bytes.Count(SVG(f), []byte(`class="marker `)) - bytes.Count(SVG(f), []byte(`class="end-on`))
		if want := markers + len(f.Handles); count != want {
			t.Errorf("%s: %d markers are drawn, want %d", id, count, want)
		}
		handles += len(f.Handles)
	}
	if handles < 10 {
		t.Errorf("%d handles in all, want at least 10", handles)
	}
}

// The colours are the theme's: each token stands there letter by letter.
func TestTheTokensAreTheThemes(t *testing.T) {
	theme := ""
	for _, name := range []string{"tokens.css", "figure.css"} {
		text, err := os.ReadFile("../../../../theme/styles/" + name)
		if err != nil {
			t.Fatal(err)
		}
		theme += string(text)
	}
	found := tokens.FindAllString(styles, -1)
	if len(found) < 20 {
		t.Fatalf("picture.css has %d tokens, want at least 20", len(found))
	}
	for _, line := range found {
		if !strings.Contains(theme, line) {
			t.Errorf("theme/styles has no %s", line)
		}
	}
}

// Lines are as heavy as the theme's, and broken alike.
func TestTheLinesAreTheThemes(t *testing.T) {
	text, err := os.ReadFile("../../../../theme/styles/figure.css")
	if err != nil {
		t.Fatal(err)
	}
	theme := string(text)
	property := func(source, selector, name string) string {
		_, rule, found := strings.Cut(source, "\n"+selector+" {")
		rule, _, _ = strings.Cut(rule, "}")
		_, value, has := strings.Cut(rule, " "+name+": ")
		if !found || !has {
			t.Errorf("no rule for %q with %s", selector, name)
		}
		value, _, _ = strings.Cut(value, ";")
		for _, m := range variable.FindAllStringSubmatch(value, -1) {
			_, token, _ := strings.Cut(theme, m[0][len("var("):len(m[0])-1]+": ")
			value, _, _ = strings.Cut(token, ";")
		}
		return value
	}
	for here, there := range map[string]string{".line": ".line", ".line.hair": ".hair", ".heavy, .line.mark-target": ".heavy", ".region": ".region", ".marker": ".marker"} {
		if got, want := property(styles, here, "stroke-width"), property(theme, "  .figure "+there, "stroke-width"); got != want || got == "" {
			t.Errorf("%s is %q wide, in the theme %q", here, got, want)
		}
	}
	if got, want := property(styles, ".line.mark-current", "stroke-dasharray"), property(theme, "  .figure .line.mark-current", "stroke-dasharray"); got != want || got == "" {
		t.Errorf("the current line is broken by %q, in the theme by %q", got, want)
	}
}

func TestDarkPaperGetsTheDarkColours(t *testing.T) {
	got := style("/* x */\n--ink: light-dark(oklch(1% 0, 2), #eee);\n\n.a { fill: var(--ink); }\n.b { fill: none; }\n")
	want := "\n.a { fill: oklch(1% 0, 2); }\n.b { fill: none; }\n@media (prefers-color-scheme: dark) {\n.a { fill: #eee; }\n}\n"
	if got != want {
		t.Errorf("style = %q\nwant    %q", got, want)
	}
}

// A reader of SVG takes the name of a drawing from its first element, and the size from its root.
func TestADrawingBeginsWithItsNameAndHasASize(t *testing.T) {
	size := regexp.MustCompile(`^<svg [^>]*width="(\d+)" height="([0-9.]+)"[^>]*viewBox="0 0 (\d+) ([0-9.]+)"[^>]*>\s*<title\b`)
	for id, f := range drawings(t) {
		text := SVG(f)
		if m := size.FindSubmatch(text); m == nil || !bytes.Equal(m[1], m[3]) || !bytes.Equal(m[2], m[4]) {
			t.Errorf("%s begins as %.300s", id, text)
		}
	}
}
