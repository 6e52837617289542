package figure

import (
	"math"
	"slices"
	"strings"
	"testing"

	"centrode/calc/plane"
)

// derived: of a saddle whose middle lies above the level, the two low corners are cut off, each by a line of its own.
func TestASaddleIsResolvedByItsMiddle(t *testing.T) {
	for _, c := range []struct {
		name   string
		values []float64 // (0,0), (1,0), (0,1), (1,1)
		near   plane.Vec // a corner that a line of its own cuts off
	}{
		{"a high middle", []float64{3, 0, 0, 3}, plane.Vec{X: 1}},
		{"a low middle", []float64{2, 0, 0, 1.5}, plane.Vec{}},
	} {
		g := grid{cols: 2, rows: 2, values: c.values}
		g.next = newLinks(2, 2)
		chains := g.contours(1)
		if len(chains) != 2 {
			t.Fatalf("%s: %d lines, want 2", c.name, len(chains))
		}
		if !slices.ContainsFunc(chains, func(chain []plane.Vec) bool {
			return !slices.ContainsFunc(chain, func(p plane.Vec) bool { return p.X != c.near.X && p.Y != c.near.Y })
		}) {
			t.Errorf("%s: no line cuts off %v: %v", c.name, c.near, chains)
		}
	}
}

// A number that may be spared stands on its line or nowhere, also where another text has taken the line.
func TestASpareNumberYieldsItsPlace(t *testing.T) {
	f := Figure{View: Rect{Max: plane.Vec{X: 10, Y: 10}}}
	for range 8 {
		f.Marks = append(f.Marks, Dimension{A: plane.Vec{X: 1, Y: 5}, B: plane.Vec{X: 9, Y: 5}, Text: "8.00 centimetres", Spare: true})
	}
	text := string(Markup(Layout(f, Options{Width: 480})))
	if n := strings.Count(text, "8.00 centimetres"); n < 1 || n > 3 {
		t.Errorf("the number stands %d times, want only where the line has room", n)
	}
}

// derived: a sweep of more than a whole turn clockwise is drawn as one whole turn clockwise.
func TestAWholeTurnKeepsItsSense(t *testing.T) {
	for turn, flags := range map[float64]string{7: " 0 0 0 ", -7: " 0 0 1 "} {
		f := Figure{View: Rect{Max: plane.Vec{X: 10, Y: 10}}, Marks: []Mark{Angular{Centre: plane.Vec{X: 5, Y: 5}, Radius: 3, To: turn, Text: "a turn"}}}
		text := string(Markup(Layout(f, Options{Width: 480})))
		if n := strings.Count(text, flags); n != 3 {
			t.Errorf("a sweep of %v: %d arcs of its sense, want 3", turn, n)
		}
	}
}

// An axis that runs across the key but for rounding is moved up by it.
func TestRoundingDoesNotTurnAKeyAround(t *testing.T) {
	a := Axis{Field: "x", Dir: plane.Vec{X: -6e-17, Y: 1}, PerUnit: 1}
	got := Nudge(Handle{Axes: []Axis{a}}, 1, 0, func(string) (float64, float64) { return 2, 0.5 })
	if len(got) != 1 || got[0].Value != 2.5 {
		t.Errorf("the key to the right gives %v, want 2.5", got)
	}
}

func TestALateLabelBeyondTheSheetIsLeftOut(t *testing.T) {
	for rank, want := range map[int]int{8: 1, 9: 0} {
		f := Figure{View: Rect{Max: plane.Vec{X: 10, Y: 10}}, Marks: []Mark{Label{At: plane.Vec{X: 500, Y: 5}, Text: "far", Rank: rank}}}
		if n := strings.Count(string(Markup(Layout(f, Options{Width: 480}))), ">far<"); n != want {
			t.Errorf("rank %d: the label stands %d times, want %d", rank, n, want)
		}
	}
}

// Of two markers on one place the larger keeps the text away, whichever comes first.
func TestTheLargerMarkerKeepsTextAway(t *testing.T) {
	at := plane.Vec{X: 3, Y: 4}
	for _, list := range [][]marker{{{at, 7}, {at, 3}}, {{at, 3}, {at, 7}}} {
		d := draft{solid: list}
		if got := d.clearance(at); got != 7 {
			t.Errorf("%v keep text %v away, want 7", list, got)
		}
	}
}

func TestMapsWithOtherEdgesDiffer(t *testing.T) {
	a := Heat{Cols: 1, Rows: 1, Values: []float64{1}, Edges: []Edge{{Level: 1}}}
	b := a
	b.Edges = []Edge{{Level: 2}}
	if same(a, b) || !same(a, a) {
		t.Error("two maps with edges at 1 and 2 are taken for the same")
	}
}

func TestAViewOfNoUseIsReplaced(t *testing.T) {
	if got := sound(Rect{Min: plane.Vec{X: -1e200}, Max: plane.Vec{X: 1e200, Y: 1}}); got != (Rect{plane.Vec{X: -1, Y: -1}, plane.Vec{X: 1, Y: 1}}) {
		t.Errorf("a view of 1e200 is drawn as %v", got)
	}
	// derived: at 1e9 a width of 1e-3 is less than a billionth of the coordinates
	if got := sound(Rect{Min: plane.Vec{X: 1e9}, Max: plane.Vec{X: 1e9 + 1e-3}}); !(got.Max.X-got.Min.X > 1e6) {
		t.Errorf("a view of 1e-3 at 1e9 is drawn as %v", got)
	}
}

// derived: ten and one levels from 0 to 10 at most, and none nearer to the limit than a quarter of a step.
func TestLevelsKeepClearOfTheLimit(t *testing.T) {
	for _, c := range []struct {
		least, most, limit float64
		about              int
		want               []float64
	}{
		{0, 10, 4.2, 10, []float64{1, 2, 3, 5, 6, 7, 8, 9}},
		{0, 10, 4.3, 10, []float64{1, 2, 3, 4, 5, 6, 7, 8, 9}},
		{0, 0, 0, 10, nil}, {1, math.NaN(), 0, 10, nil},
	} {
		if got := Levels(c.least, c.most, c.limit, c.about); !slices.Equal(got, c.want) {
			t.Errorf("levels from %v to %v beside %v: %v, want %v", c.least, c.most, c.limit, got, c.want)
		}
	}
}

// Source: XML 1.0, production Char.
func TestWhatXMLCannotHoldIsReplaced(t *testing.T) {
	if got := string(Markup(Node{Tag: "title", Text: "a\uFFFEb\uFFFFc\x01d\re"})); got != "<title>a\uFFFDb\uFFFDc\uFFFDd\ne</title>" {
		t.Errorf("written as %q", got)
	}
}
