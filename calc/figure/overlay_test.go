package figure

import (
	"reflect"
	"testing"

	"centrode/calc/plane"
)

// finger is a drawing of one placement, as a calculator without sides makes it.
func finger(depth float64) Figure {
	pivot, tip := vec(0, depth), vec(4, 1-depth)
	return Figure{
		Title: "Finger", Desc: "The tip stops short.", View: Rect{vec(-1, -2), vec(5, 2)},
		Marks: []Mark{
			Region{Name: "Palm", Role: Flesh, Points: []plane.Vec{vec(-1, 0), vec(0, 0), vec(0, 1)}, Hatch: true},
			Region{Name: "Segment", Role: Flesh, Points: []plane.Vec{pivot, tip, vec(2, -1)}},
			Polyline{Name: "Bone", Role: Bone, Points: []plane.Vec{pivot, tip}},
			Arc{Role: Guide, Centre: pivot, Radius: 4, To: 1},
			Region{Name: "Squash", Role: Caution, Points: []plane.Vec{pivot, vec(1, 0), vec(1, 1)}, Hatch: true},
			Circle{Name: "Rail", Role: Target, Centre: vec(2, -1), Radius: 1},
			Dimension{Role: Guide, A: pivot, B: tip, Text: "gap"},
			Label{At: tip, Text: "tip"},
		},
		Handles: []Handle{{Name: "Pivot", Role: Candidate, Shape: Diamond, At: pivot, Axes: []Axis{{Field: "depth", Dir: vec(0, 1), PerUnit: 1}}}},
	}
}

func TestOverlayOfEqualFiguresIsTheFigure(t *testing.T) {
	if got := Overlay(finger(0.5), finger(0.5)); !reflect.DeepEqual(got, finger(0.5)) {
		t.Errorf("got %+v", got)
	}
}

func TestOverlayKeepsWhatTellsTheTwoApart(t *testing.T) {
	old, proposal := finger(0.5), finger(0.2)
	proposal.View.Max.X = 9
	f := Overlay(old, proposal)
	want := []Mark{
		Polyline{Name: "Segment, current", Role: Current, Points: old.Marks[1].(Region).Points, Closed: true, Hair: true},
		Polyline{Name: "Bone, current", Role: Current, Points: old.Marks[2].(Polyline).Points},
		proposal.Marks[0], // the palm is the same in both and drawn once
		proposal.Marks[1],
		Polyline{Name: "Bone, candidate", Role: Candidate, Points: proposal.Marks[2].(Polyline).Points},
		proposal.Marks[3],
		proposal.Marks[4],
		proposal.Marks[5],
		proposal.Marks[6],
		proposal.Marks[7],
		Marker{Name: "Pivot, current", Role: Current, Shape: Ring, At: vec(0, 0.5)},
		Label{Role: Current, At: vec(0, 0.5), Text: "current", Away: vec(0, 0.3), Rank: 3},
		Label{Role: Candidate, At: vec(0, 0.2), Text: "candidate", Away: vec(0, -0.3), Rank: 3},
	}
	if !reflect.DeepEqual(f.Marks, want) {
		t.Errorf("marks are\n%+v\nwant\n%+v", f.Marks, want)
	}
	if f.View != (Rect{vec(-1, -2), vec(9, 2)}) {
		t.Errorf("view is %v, want the union", f.View)
	}
	if !reflect.DeepEqual(f.Handles, proposal.Handles) || f.Title != "Finger" {
		t.Errorf("handles or title are not the candidate's")
	}
	if f.Desc != "The tip stops short. Dashed lines and open rings show the current placement, solid lines and filled diamonds the candidate." {
		t.Errorf("description is %q", f.Desc)
	}
}

func TestOverlayTurnsMarkersIntoTheirSigns(t *testing.T) {
	one := func(x float64) Figure {
		return Figure{Marks: []Mark{Marker{Name: "Pivot", Role: Bone, Shape: Diamond, At: vec(x, 0)}, Marker{Role: Bone, Shape: Dot, At: vec(x, 1)}}}
	}
	f := Overlay(one(0), one(1))
	want := []Mark{
		Marker{Name: "Pivot, current", Role: Current, Shape: Ring},
		Marker{Role: Current, Shape: Dot, At: vec(0, 1)},
		Marker{Name: "Pivot, candidate", Role: Candidate, Shape: Diamond, At: vec(1, 0)},
		Marker{Role: Candidate, Shape: Dot, At: vec(1, 1)},
	}
	if !reflect.DeepEqual(f.Marks[:4], want) {
		t.Errorf("marks are %+v", f.Marks)
	}
}

func TestEveryKindOfMarkEqualsItselfAndNoOther(t *testing.T) {
	marks := append(Specimen().Marks, HeatSpecimen(3).Marks...)
	for i, a := range marks {
		for j, b := range marks {
			if same(a, b) != (i == j) {
				t.Errorf("same(%+v, %+v) = %v", a, b, same(a, b))
			}
		}
	}
}
