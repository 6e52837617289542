package palette

import (
	"os"
	"strings"
	"testing"
)

func ours(t *testing.T) Palette {
	t.Helper()
	css, err := os.ReadFile("../../../../theme/styles/tokens.css")
	if err != nil {
		t.Fatal(err)
	}
	return Parse(string(css))
}

func TestContrastIsThatOfTheStandard(t *testing.T) {
	black, white := Colour{}, Colour{255, 255, 255}
	for _, c := range []struct {
		a, b Colour
		want float64 // derived: the definition's ends; and grey 118, the least that reaches 4.5 on white, known at large
	}{{black, white, 21}, {white, white, 1}, {Colour{118, 118, 118}, white, 4.54}} {
		if got := Contrast(c.a, c.b); !(got > c.want-0.01 && got < c.want+0.01) || got != Contrast(c.b, c.a) {
			t.Errorf("%v on %v: %v, want %v", c.a, c.b, got, c.want)
		}
	}
}

func TestOurOwnColoursCanBeRead(t *testing.T) {
	p := ours(t)
	for _, n := range Needs {
		for _, name := range []string{n.Name, n.On} {
			if _, known := p[name]; !known {
				t.Errorf("theme/styles/tokens.css has no %s", name)
			}
		}
	}
	if weak := p.Weak(p); len(weak) > 0 {
		t.Errorf("%q", weak)
	}
}

func TestAColourThatCannotBeReadIsNamed(t *testing.T) {
	p := ours(t)
	p["link"] = Pair{Colour{0xcc, 0xcc, 0xcc}, p["link"].Dark}
	weak := p.Weak(Palette{"link": p["link"]})
	if len(weak) != 1 || !strings.HasPrefix(weak[0].Text, "link #cccccc on paper ") || !strings.Contains(weak[0].Text, "by day; must be at least 4.5") {
		t.Errorf("told %q", weak)
	}
	if weak := p.Weak(Palette{"caution": p["caution"]}); len(weak) > 0 {
		t.Errorf("a colour that was not changed is told of: %q", weak)
	}
	if css := (Palette{"link": p["link"]}).CSS(); css != "@layer tokens { :root { --link: light-dark(#cccccc, "+p["link"].Dark.String()+"); } }\n" {
		t.Errorf("written as %s", css)
	}
	if _, ok := Read("red"); ok {
		t.Error("a word was read as a colour")
	}
}

func TestColoursAreWrittenInTheOrderOfTheirNames(t *testing.T) {
	p := Palette{}
	for _, name := range []string{"paper", "ink", "link", "line", "muted"} {
		p[name] = Pair{Colour{1, 2, 3}, Colour{4, 5, 6}}
	}
	css := p.CSS()
	at := 0
	for _, name := range []string{"ink", "line", "link", "muted", "paper"} {
		next := strings.Index(css, " --"+name+": light-dark(#010203, #040506);")
		if next < at {
			t.Errorf("%s does not follow the one before: %s", name, css)
		}
		at = next
	}
}
