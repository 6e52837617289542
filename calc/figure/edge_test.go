package figure

import (
	"fmt"
	"strings"
	"testing"

	"centrode/calc/plane"
)

// Derived: a value that rises by one a cell from 0.5 in the first has 2 half-way between the centres of the second and the
// third cell, at a quarter of a map of eight cells.
func TestTheEdgeOfARegionStandsAtItsLevelWithItsWords(t *testing.T) {
	heat := Heat{Area: Rect{Max: plane.Vec{X: 8, Y: 8}}, Cols: 8, Rows: 8, Edges: []Edge{{Role: Candidate, Level: 2, Text: "good enough"}}}
	for i := range 64 {
		heat.Values = append(heat.Values, float64(i%8)+0.5)
	}
	f := Figure{View: heat.Area, Marks: []Mark{heat}}
	o := Options{Width: 700}
	svg := Layout(f, o)
	lines := having(svg, "edge")
	if len(lines) != 1 || !strings.Contains(lines[0].Attr("class"), "mark-candidate") {
		t.Fatalf("%d edges are drawn: %+v", len(lines), lines)
	}
	var x, y float64
	if _, err := fmt.Sscanf(lines[0].Attr("d"), "M%f %f", &x, &y); err != nil {
		t.Fatal(err)
	}
	if at := Locate(f, o, x, y); !(at.X > 1.99 && at.X < 2.01) {
		t.Errorf("the edge runs at %v, want x = 2", at)
	}
	if _, ok := textBoxes(t, svg)["good enough"]; !ok {
		t.Error("the edge has no words")
	}
	heat.Edges[0].Level = 99
	if svg := Layout(Figure{View: heat.Area, Marks: []Mark{heat}}, o); len(having(svg, "edge"))+len(textBoxes(t, svg)) > 0 {
		t.Error("a level that is nowhere is drawn")
	}
}

func TestAnAxisSeenEndOnShowsWhichWayItPoints(t *testing.T) {
	view := Rect{Max: plane.Vec{X: 10, Y: 10}}
	for shape, inner := range map[Shape]string{Toward: "dot", Into: "feathers"} {
		svg := Layout(Figure{View: view, Marks: []Mark{Marker{Name: "axis", Role: Candidate, Shape: shape, At: plane.Vec{X: 5, Y: 5}}}}, Options{Width: 400})
		group := having(svg, "end-on")
		if len(group) != 1 || len(having(group[0], "ring")) != 1 || len(having(group[0], inner)) != 1 {
			t.Errorf("shape %v is drawn as %+v", shape, group)
		}
	}
	open := having(Layout(Figure{View: view, Marks: []Mark{Marker{Shape: Open, At: plane.Vec{X: 5, Y: 5}}}}, Options{Width: 400}), "open")
	if len(open) != 1 || open[0].Attr("r") != "3.5" {
		t.Errorf("an open circle is drawn as %+v", open)
	}
}

func TestASnugViewHoldsItsBoxAndHasASizeWhateverTheBoxHas(t *testing.T) {
	for _, box := range []Rect{{Max: plane.Vec{X: 47, Y: 20}}, {Min: plane.Vec{X: -3, Y: 7}, Max: plane.Vec{X: 1e-3, Y: 7}}, {Max: plane.Vec{X: 5e-324}}, {}} {
		if snug := Snug(box); !snug.holds(box) || !(snug.Max.X > snug.Min.X && snug.Max.Y > snug.Min.Y) {
			t.Errorf("%v: snug %v", box, snug)
		}
	}
}
