package browser

import (
	"encoding/json"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/accessibility"
	"github.com/chromedp/chromedp"
)

// mute are the roles that a tree leaves out, with their children kept: the running text, which the page itself holds, and
// boxes without a meaning of their own.
var mute = map[string]bool{"StaticText": true, "InlineTextBox": true, "ListMarker": true, "LineBreak": true, "paragraph": true, "generic": true, "none": true,
	"strong": true, "emphasis": true, "code": true, "superscript": true, "subscript": true, "LabelText": true, "Legend": true, "mark": true}

// spoken are the roles whose text is read out when it changes, so that a tree holds it.
var spoken = map[string]bool{"status": true, "alert": true, "log": true}

// tree is what the page tells a screen reader: a line for each landmark, heading, control, table and figure with its role,
// name and value, under the line of what it is in.
func (tb *tab) tree(t testing.TB) string {
	t.Helper()
	last := ""
	for range 20 { // the browser brings its tree up to date in its own time
		got, err := chromedp.Call(tb.ctx, accessibility.GetFullAXTree, accessibility.GetFullAXTreeParams{})
		must(t, err)
		now := outlined(got.Nodes)
		if now == last {
			return now
		}
		last = now
		eval[bool](t, tb, drawnTwice)
	}
	t.Fatal("what the page tells a screen reader does not come to rest")
	return ""
}

func outlined(nodes []*accessibility.Node) string {
	byID := map[accessibility.NodeID]*accessibility.Node{}
	for _, n := range nodes {
		byID[n.NodeID] = n
	}
	var b strings.Builder
	var walk func(n *accessibility.Node, depth int, aloud bool)
	walk = func(n *accessibility.Node, depth int, aloud bool) {
		role, name := told(n.Role), told(n.Name)
		switch {
		case role == "InlineTextBox" || n.Ignored || (mute[role] && !(aloud && role == "StaticText")):
		default:
			b.WriteString(strings.Repeat("  ", depth) + role)
			if name != "" {
				b.WriteString(` "` + name + `"`)
			}
			if value := valueOf(n); value != "" {
				b.WriteString(" = " + value)
			}
			b.WriteByte('\n')
			depth++
		}
		if role == "MathMLMath" { // a formula is read as one
			return
		}
		for _, id := range n.ChildIDs {
			if child := byID[id]; child != nil {
				walk(child, depth, aloud || spoken[role])
			}
		}
	}
	for _, n := range nodes {
		if n.ParentID == "" {
			walk(n, 0, false)
		}
	}
	return b.String()
}

// valueOf is the value of a control. A slider's number comes in single or double precision, as the browser happens to keep
// it: 0.6 or 0.6000000238418579.
func valueOf(n *accessibility.Node) string {
	text := told(n.Value)
	if v, err := strconv.ParseFloat(text, 64); err == nil {
		return strconv.FormatFloat(v, 'g', 6, 64)
	}
	return text
}

// told is a value as text on one line, of no more than 160 signs.
func told(v *accessibility.Value) string {
	if v == nil || len(v.Value) == 0 {
		return ""
	}
	text := string(v.Value)
	var s string
	if json.Unmarshal([]byte(v.Value), &s) == nil {
		text = s
	}
	signs := []rune(strings.Join(strings.Fields(text), " "))
	if len(signs) > 160 {
		return string(signs[:159]) + "…"
	}
	return string(signs)
}

// One page of each type, as a screen reader is told of it. A change shows as a difference that a person accepts with -update.
func TestAScreenReaderIsToldWhatIsCommitted(t *testing.T) {
	parallel(t)
	for name, address := range map[string]string{
		"home":        "/",
		"lesson":      "/lessons/the-owed-translation/",
		"plate":       "/plates/pivot-offset/",
		"path":        "/paths/animator/",
		"quick-check": "/checks/how-far-off/",
		"sheet":       "/sheet/",
		"progress":    "/progress/",
		"missing":     "/lessons/the-owed-translatoin/",
	} {
		t.Run(name, func(t *testing.T) {
			tb := open(t, address, view{still: true})
			tb.settle(t)
			if name == "missing" {
				tb.until(t, `document.querySelector('[data-nearest]:not([hidden]) a') !== null`)
			}
			now := tb.tree(t)
			if lines := strings.Count(now, "\n"); lines < 20 || !strings.Contains(now, "heading ") || !strings.Contains(now, "main") {
				t.Errorf("the tree has %d lines:\n%s", lines, now)
			}
			if kept := string(golden(t, "tests/browser/testdata/trees/"+name+".txt", []byte(now))); kept != now {
				t.Errorf("a screen reader is told something else; if it is meant so, go test ./tests/browser -run ScreenReader -update\n%s", difference(kept, now))
			}
		})
	}
}

// The check of the check: a name, a value and a spoken line that change.
func TestAChangeInTheTreeIsSeen(t *testing.T) {
	parallel(t)
	tb := open(t, "/plates/pivot-offset/", view{still: true})
	tb.settle(t)
	for last, change := range []string{
		`document.querySelector('main nav, footer nav').setAttribute('aria-label', 'elsewhere')`,
		`document.querySelector('[data-plate] [data-number]').value = '77 deg'`,
		`document.querySelector('main').insertAdjacentHTML('beforeend', '<p role="status">It is said.</p>')`,
	} {
		before := tb.tree(t)
		eval[bool](t, tb, `(`+change+`, true)`)
		if after := tb.tree(t); after == before {
			t.Errorf("change %d is not seen: %s", last, change)
		}
	}
}

// On a phone the sentences of a table of fields stand under name, limits and default, as wide as the page; a screen reader is still told of a table.
func TestATableOfFieldsOnAPhoneIsStillATable(t *testing.T) {
	parallel(t)
	const narrow = `[...document.querySelectorAll('.field-table, .output-table')].flatMap((table) => [...table.querySelectorAll('tr > :nth-child(2)')]
		.filter((cell) => cell.getBoundingClientRect().width < 0.95 * table.getBoundingClientRect().width).map((cell) => cell.textContent))`
	roles := func(width int64) (cells []string) {
		tb := open(t, "/plates/finger-curl/", view{width: width, height: 800, still: true})
		defer tb.shut()
		tb.settle(t)
		if found := eval[[]string](t, tb, narrow); (len(found) > 0) != (width > 700) {
			t.Errorf("%d px wide, sentences narrower than their table: %q", width, found)
		}
		for line := range strings.Lines(tb.tree(t)) {
			if role, _, _ := strings.Cut(strings.TrimSpace(line), " "); slices.Contains([]string{"table", "row", "rowheader", "columnheader", "cell"}, role) {
				cells = append(cells, strings.TrimSpace(line))
			}
		}
		return cells
	}
	wide, phone := roles(1280), roles(320)
	if len(wide) < 100 || !slices.Equal(wide, phone) {
		t.Errorf("a desk is told of %d tables, rows and cells, a phone of %d, and they differ", len(wide), len(phone))
	}
}
