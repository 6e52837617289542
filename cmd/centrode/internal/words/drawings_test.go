package words

import (
	"math/rand/v2"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"centrode/calc/catalog"
	"centrode/calc/catalog/list"
	"centrode/calc/figure"
	"centrode/calc/plate"
)

// seldomDrawn are states in which a drawing holds what it seldom holds.
var seldomDrawn = map[string][]string{
	"finger-curl":  {"mcp_flex=90&pip_flex=100&mcp_pivot=0.3", "mcp_shift=40"},
	"hinge-arc":    {"candidate_x=90", "parent_flesh=3&tip_flesh=2&to_angle=170"},
	"pivot-offset": {"offset_x=40&offset_y=-30", "angle=-170", "offset_x=0&offset_y=0&offset_z=0"},
	"limb-fold":    {"segments=10,0,-90,90;10,90,-90,90&near=1&far=19"},
	"bend-section": {"flex=170&blend=30&length=15", "pivot=1&flex=120"},
	"reseat":       {"joints=root,,0,0,0;tip,root,10,0,0&move=tip&orient=aim&to_x=9&to_y=3", "to_x=500"},
	"pose-fit":     {"landmarks=0,0,0,0;0,1,0,0;0,0,1,0;1,0,0,0;1,1,0,0;1,0,1,0", "landmarks=0,0,0,0;0,10,0,0;0,0,10,0;1,0,0,0;1,0,10,0;1,-10,0,0;2,0,0,0;2,-10,0,0;2,0,-10,0"},
}

// states are those that a calculator is drawn in: its defaults, presets, telling states and others by chance.
func states(c catalog.Calculator) []string {
	spec := c.Spec()
	all := []string{""}
	for _, p := range spec.Presets {
		all = append(all, plate.WriteState(p.Values))
	}
	all = append(append(all, telling[spec.ID]...), seldomDrawn[spec.ID]...)
	rng := rand.New(rand.NewPCG(3, 4))
	for range 25 {
		v := anyValues(rng, spec)
		if a, err := catalog.Run(c, v); err == nil && (spec.ID != "placement-map" || v.Numbers["cells"] < 12) {
			all = append(all, plate.State(a))
		}
	}
	return all
}

// listener notes every text that a drawing asks the words for.
type listener map[string]bool

func (l listener) words(text string) string {
	l[text] = true
	return text
}

// drawings are all texts that the drawings of a calculator hold, live and on paper, and what their handles say.
func drawings(c catalog.Calculator) listener {
	found := listener{}
	for _, state := range states(c) {
		if a, err := plate.Run(c, state); err == nil {
			figure.Layout(figure.Still(a.Calculator.Figure(a.Values, a.Result)), figure.Options{Words: found.words})
		}
		desk := plate.Desk{Words: found.words}
		desk.Solve(c, plate.Request{State: state, Width: 500})
	}
	return found
}

// plain is a text that every language writes alike: a number with its unit, the number of a pose with its turn, the letter of an axis.
var plain = regexp.MustCompile(`^−?[xyz]$|^(\d+: )?(⌀ )?−?[\d.,]+([ \x{a0}]?(cm|mm|in|°|%))?$`)

// TestWhatDrawingsSayIsSaidInTheLanguageOfThePage holds theme/words/de.drawings.json to what calculators draw, both ways, and the build to the
// page.
func TestWhatDrawingsSayIsSaidInTheLanguageOfThePage(t *testing.T) {
	german, inPage := spokenGerman(t), drawer(t)
	met := map[string]bool{}
	said := listener{}
	labels := map[string]bool{}
	for _, c := range list.All() {
		spec := c.Spec()
		for _, text := range texts(&spec) {
			labels[*text] = true
		}
		for text := range drawings(c) {
			said[text] = true
		}
	}
	for text := range said {
		own := german.Draw(text)
		if page := inPage(text); page != own {
			t.Errorf("the build draws %q, the page %q", own, page)
		}
		_, drawn := hear(german.drawn, text)
		_, sentence := hear(german.heard, text)
		if !drawn && !sentence && !labels[text] && !plain.MatchString(text) {
			t.Errorf("%q stays English in a drawing", text)
		}
		for _, word := range english {
			if strings.Contains(own, word) && !labels[text] {
				t.Errorf("in German %q is drawn as %q", text, own)
			}
		}
		meet(german.drawn, text, met)
	}
	allMet(t, german.drawn, met, "theme/words/de"+drawnEnding)
	if len(met) < 100 {
		t.Errorf("only %d texts of drawings", len(met))
	}
}

// drawer is what the calculators of a German page are given to say in drawings.
func drawer(t *testing.T) func(text string) string {
	lists := make([]string, 0, 2)
	for _, ending := range []string{drawnEnding, heardEnding} {
		text, err := os.ReadFile(filepath.Join("../../../../theme/words", "de"+ending))
		if err != nil {
			t.Fatal(err)
		}
		lists = append(lists, string(text))
	}
	ask := inLanguage(t, "de", "scripts/drawn.js", "page.drawing(["+strings.Join(lists, ",")+"])")
	return func(text string) string { return ask(text).String() }
}

// TestANameInADrawingStaysAsItWasGiven: a joint may be called as the drawing calls something of its own.
func TestANameInADrawingStaysAsItWasGiven(t *testing.T) {
	german := spokenGerman(t)
	c, err := list.Find("reseat")
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range []string{"current", "best 1 cm", "pivot", "hip, candidate", "Point 3", "row 2"} {
		a, err := plate.Run(c, "joints="+plate.Encode("root,,0,0,0;"+catalog.Replaced(name, ",", "%2C")+",root,10,0,0;tip,"+catalog.Replaced(name, ",", "%2C")+",20,0,0")+"&move=tip&to_x=21&to_y=3&to_z=0")
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		text := string(figure.Markup(figure.Layout(a.Calculator.Figure(a.Values, a.Result), figure.Options{Words: german.Draw})))
		for _, want := range []string{">" + name + "</text>", "<title>Gelenk " + name + "</title>", ">jetzt</text>"} {
			if !strings.Contains(text, want) {
				t.Errorf("a joint %q: the drawing has no %s", name, want)
			}
		}
	}
}

// ink is where a text stands on its sheet, without the room that is kept free about it.
type ink struct {
	text           string
	x0, x1, y0, y1 float64
}

// inks are the texts of a drawing that is laid out: em is the size that their room is kept for.
func inks(n figure.Node, x, y, em float64) (list []ink) {
	number := func(text string) float64 {
		value, _ := strconv.ParseFloat(strings.TrimSuffix(text, "em"), 64)
		return value
	}
	if place, ok := strings.CutPrefix(n.Attr("transform"), "translate("); ok {
		across, down, _ := strings.Cut(strings.TrimSuffix(place, ")"), " ")
		x, y = x+number(across), y+number(down)
	}
	if n.Tag == "text" {
		wide := (figure.TextWidth(n.Text) - figure.TextWidth("")) * em
		x, y = x+number(n.Attr("x")), y+number(n.Attr("y"))+number(n.Attr("dy"))*em
		switch n.Attr("text-anchor") {
		case "middle":
			x -= wide / 2
		case "end":
			x -= wide
		}
		return []ink{{n.Text, x, x + wide, y - 0.75*em, y + 0.2*em}}
	}
	for _, child := range n.Children {
		list = append(list, inks(child, x, y, em)...)
	}
	return list
}

// crowded are the texts of a drawing that leave its sheet or stand over another.
func crowded(f figure.Figure, o figure.Options) (list []string) {
	laid := figure.Layout(f, o)
	em, _ := strconv.ParseFloat(laid.Attr("font-size"), 64)
	box := strings.Fields(laid.Attr("viewBox"))
	wide, _ := strconv.ParseFloat(box[2], 64)
	high, _ := strconv.ParseFloat(box[3], 64)
	all := inks(laid, 0, 0, em)
	for i, a := range all {
		if a.x0 < 0 || a.y0 < 0 || a.x1 > wide || a.y1 > high {
			list = append(list, a.text+" (leaves the sheet)")
		}
		for _, b := range all[:i] {
			if a.x0 < b.x1 && b.x0 < a.x1 && a.y0 < b.y1 && b.y0 < a.y1 {
				list = append(list, a.text+" over "+b.text)
			}
		}
	}
	return list
}

// TestGermanWordsHaveRoomInDrawings: where the English ones stand clear of each other and of the edge, so do the German, on a phone as well.
func TestGermanWordsHaveRoomInDrawings(t *testing.T) {
	german := spokenGerman(t)
	looked, longer := 0, 0
	for _, c := range list.All() {
		for _, state := range states(c) {
			a, err := plate.Run(c, state)
			if err != nil {
				continue
			}
			base, _ := plate.Run(c, "")
			f := plate.Drawing(base, a)
			for _, width := range []float64{0, 300, 700} {
				before, after := crowded(f, figure.Options{Width: width}), crowded(f, figure.Options{Width: width, Words: german.Draw})
				if looked++; len(after) > len(before) {
					t.Errorf("%s %q at %v px: in German %q, in English %q", c.Spec().ID, state, width, after, before)
				}
				longer += len(inks(figure.Layout(f, figure.Options{Width: width, Words: german.Draw}), 0, 0, 1))
			}
		}
	}
	if looked < 600 || longer < 3000 {
		t.Errorf("only %d texts of %d drawings looked at", longer, looked)
	}
}
