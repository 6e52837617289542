package mapping

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"strconv"
	"strings"
	"testing"

	"centrode/calc/figure"
)

// box is a rectangle of the drawing.
type box struct{ left, top, right, bottom float64 }

func (b box) meets(o box) bool {
	return b.left < o.right && o.left < b.right && b.top < o.bottom && o.top < b.bottom
}

// plan makes a plan of places "0", "1", … from what each rests on; bands go by thirds.
func plan(needs ...[]int) Plan {
	p := Plan{Bands: []string{"One", "Two", "Three"}, ID: "m", Name: "Map", Description: "A map."}
	for i, n := range needs {
		p.Places = append(p.Places, Place{Href: "/" + strconv.Itoa(i) + "/", Title: strconv.Itoa(i), Band: i * 3 / len(needs), Needs: n})
	}
	return p
}

// drawn by hand: 3 rests on 1 and 2; its need of 0 follows; 4 rests on 0 alone.
var diamond = plan(nil, []int{0}, []int{0}, []int{0, 1, 2}, []int{0})

func TestAStepIsTheLongestWay(t *testing.T) {
	if got := stepsOf(sound(diamond.Places)); !slices.Equal(got, []int{0, 1, 1, 2, 1}) {
		t.Errorf("steps are %v", got)
	}
}

func TestANeedThatFollowsIsNotDrawn(t *testing.T) {
	if got := fmt.Sprint(direct(sound(diamond.Places))); got != "[[] [0] [0] [1 2] [0]]" {
		t.Errorf("lines come from %s", got)
	}
}

func TestCirclesAndStrangersAreLeftOut(t *testing.T) {
	p := plan([]int{2, 9, -1, 0}, []int{0, 0}, []int{1})
	if got := fmt.Sprint(sound(p.Places)); got != "[[2] [0] []]" {
		t.Errorf("needs are %s", got)
	}
	Draw(p)
	if got := len(Tree(p)); got != 1 {
		t.Errorf("%d roots, want 1", got)
	}
}

func TestTheListNamesEveryLineOnce(t *testing.T) {
	var tell func(list []Branch) string
	tell = func(list []Branch) string {
		var parts []string
		for _, b := range list {
			text := b.Title
			for _, also := range b.Also {
				text += "+" + also.Title
			}
			parts = append(parts, text+tell(b.Branches))
		}
		return "(" + strings.Join(parts, " ") + ")"
	}
	if got := tell(Tree(diamond)); got != "(0(1() 2(3+1()) 4()))" {
		t.Errorf("the list is %s", got)
	}
}

func TestLinesUncrossWhereTheyCan(t *testing.T) {
	// Two ladders written crosswise: 2 rests on 1, 3 rests on 0.
	n := newNet(Plan{Bands: []string{"One"}, Places: []Place{{}, {}, {Needs: []int{1}}, {Needs: []int{0}}}})
	before := n.costOf(n.ends)
	n.settle()
	if after := n.costOf(n.ends); before < crossing || after != 0 {
		t.Errorf("cost falls from %g to %g, want from a crossing to 0", before, after)
	}
}

// marks are what a finished drawing shows.
type marks struct {
	words []box
	lines [][]float64 // numbers of each path
}

func read(n figure.Node, m *marks) {
	float := func(name string) float64 {
		v, _ := strconv.ParseFloat(n.Attr(name), 64)
		return v
	}
	switch {
	case n.Tag == "tspan" && n.Attr("x") != "":
		m.words = append(m.words, box{float("x"), float("y") - 11, float("x") + figure.TextWidth(n.Text)*textSize*setWidth, float("y") + 4})
	case n.Attr("class") == "map-part":
		m.words = append(m.words, box{float("x"), float("y") - 11, float("x") + figure.TextWidth(n.Text)*textSize*setWidth, float("y") + 4})
	case strings.HasPrefix(n.Attr("class"), "map-line"):
		var list []float64
		for _, part := range strings.FieldsFunc(n.Attr("d"), func(r rune) bool { return strings.ContainsRune("MHC ", r) }) {
			v, _ := strconv.ParseFloat(part, 64)
			list = append(list, v)
		}
		m.lines = append(m.lines, list)
	}
	for _, c := range n.Children {
		read(c, m)
	}
}

// points follows a line: level, then a curve.
func points(line []float64) [][2]float64 {
	list := [][2]float64{{line[0], line[1]}, {line[2], line[1]}}
	if len(line) < 9 {
		for k := 0.0; k < 1; k += 0.02 {
			list = append(list, [2]float64{line[0] + k*(line[2]-line[0]), line[1]})
		}
		return list
	}
	for k := 0.0; k <= 1; k += 0.02 {
		u := 1 - k
		at := func(a, b, c, d float64) float64 { return u*u*u*a + 3*u*u*k*b + 3*u*k*k*c + k*k*k*d }
		list = append(list, [2]float64{at(line[2], line[3], line[5], line[7]), at(line[1], line[4], line[6], line[8])},
			[2]float64{line[0] + k*(line[2]-line[0]), line[1]})
	}
	return list
}

func TestNothingRunsThroughWords(t *testing.T) {
	words := strings.Fields("The owed translation of hinges saddles and balls while orientation moves")
	r := rand.New(rand.NewPCG(1, 1))
	for round := range 60 {
		p := plan(make([][]int, 1+r.IntN(36))...)
		for i := range p.Places {
			for range r.IntN(4) {
				p.Places[i].Needs = append(p.Places[i].Needs, r.IntN(i+1))
			}
			from := r.IntN(len(words) - 5)
			p.Places[i].Title = strings.Join(words[from:from+1+r.IntN(5)], " ")
		}
		var m marks
		root := Draw(p)
		read(root, &m)
		if len(m.words) < len(p.Places) {
			t.Fatalf("round %d: %d lines of words for %d places", round, len(m.words), len(p.Places))
		}
		for i, a := range m.words {
			for _, b := range m.words[:i] {
				if a.meets(b) {
					t.Errorf("round %d: words meet at %v and %v", round, a, b)
				}
			}
			for _, line := range m.lines {
				for _, at := range points(line) {
					if a.meets(box{at[0] - 0.1, at[1] - 0.1, at[0] + 0.1, at[1] + 0.1}) {
						t.Fatalf("round %d: a line runs through words at %v", round, at)
					}
				}
			}
			if width, _ := strconv.ParseFloat(root.Attr("width"), 64); a.left < 0 || a.right > width {
				t.Errorf("round %d: words leave the sheet at %v", round, a)
			}
		}
	}
}

func TestTheSamePlanGivesTheSameDrawing(t *testing.T) {
	first := string(figure.Markup(Draw(diamond)))
	for range 5 {
		if string(figure.Markup(Draw(diamond))) != first {
			t.Fatal("two drawings of one plan differ")
		}
	}
}

func TestAChosenPlaceIsADiamondAndOthersAreRings(t *testing.T) {
	p := plan(nil, []int{0}, []int{1}, []int{2})
	p.Places[0].Chosen, p.Places[2].Chosen = true, true
	svg := string(figure.Markup(Draw(p)))
	for part, want := range map[string]int{`class="map-place map-chosen"`: 2, "<circle": 2, `map-line-chosen`: 0, `<a `: 4} {
		if got := strings.Count(svg, part); got != want {
			t.Errorf("%d of %s, want %d", got, part, want)
		}
	}
	p.Places[1].Chosen = true
	if got := strings.Count(string(figure.Markup(Draw(p))), "map-line-chosen"); got != 2 {
		t.Errorf("%d heavy lines along a chosen chain of three, want 2", got)
	}
	p.Places[3].Chosen = true
	if got := strings.Count(string(figure.Markup(Draw(p))), "map-line-chosen"); got != 0 {
		t.Errorf("%d heavy lines where nothing is left to stand out from, want none", got)
	}
}

func TestTheWordsAreEscapedAndKeptApart(t *testing.T) {
	p := plan(nil)
	p.Places[0].Title = `A title <b> & "marks"`
	svg := string(figure.Markup(Draw(p)))
	if strings.Contains(svg, "<b>") || !strings.Contains(svg, "<tspan> </tspan>") {
		t.Errorf("%s", svg)
	}
}

func TestAnEmptyPlanIsAnEmptyDrawing(t *testing.T) {
	for _, p := range []Plan{{}, {Bands: []string{"One"}}, {Places: []Place{{Title: "a"}}}} {
		if got := string(figure.Markup(Draw(p))); strings.Contains(got, "NaN") || !strings.HasPrefix(got, "<svg") {
			t.Error(got)
		}
	}
}

func TestTitlesBreakEvenly(t *testing.T) {
	for title, want := range map[string]string{
		"The finger": "The finger", "Wings, tails and fins": "Wings, tails|and fins", "Orientation after a move": "Orientation|after a move", "Interphalangeal": "Interphalangeal",
		"A title that is far too long for two lines of this small map": "A title that is far too|long for two lines|of this small map",
	} {
		if got := strings.Join(broken(title), "|"); got != want {
			t.Errorf("%q breaks as %q, want %q", title, got, want)
		}
	}
}
