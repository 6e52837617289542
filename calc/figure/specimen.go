package figure

import (
	"math"

	"centrode/calc/plane"
)

//go:noinline
func vec(x, y float64) plane.Vec { return plane.Vec{X: x, Y: y} }

// Specimen is a drawing that holds every kind of mark, as a finger over a rail might: for whoever changes how one looks.
func Specimen() Figure {
	bar := []plane.Vec{vec(0, 0.9), vec(4.4, 0.8), vec(4.4, -0.8), vec(0, -0.9)}
	return Figure{
		Title: "One segment of every kind of mark", Desc: "The pulp stops 1.1 cm short of the palm.",
		View: Rect{Min: vec(-3, -4), Max: vec(7, 3)},
		Marks: []Mark{
			Region{Name: "Flesh of the segment", Role: Flesh, Points: bar, Hatch: true},
			Region{Name: "Palm", Role: Flesh, Points: []plane.Vec{vec(-3, 0.9), vec(0, 0.9), vec(0, -0.9), vec(-3, -0.9)}},
			Region{Name: "Squash", Role: Caution, Points: []plane.Vec{vec(0, -0.9), vec(0.9, -0.85), vec(0, 0)}, Hatch: true},
			Circle{Name: "Rail", Role: Target, Centre: vec(2.4, -2.2), Radius: 1.2},
			Marker{Role: Target, Shape: Cross, At: vec(2.4, -2.2)},
			Polyline{Role: Guide, Points: []plane.Vec{vec(-3, 0), vec(6.6, 0)}, Hair: true, Arrow: true},
			Label{Role: Guide, At: vec(6.6, 0), Text: "x", Away: vec(0, -1), Rank: 5},
			Polyline{Name: "Bone at rest", Role: Bone, Points: []plane.Vec{vec(0, 0), vec(4.4, 0)}},
			Polyline{Name: "Bone about the current pivot", Role: Current, Points: []plane.Vec{vec(0, 0), vec(3.1, -3.1)}},
			Polyline{Name: "Bone about the candidate pivot", Role: Candidate, Points: []plane.Vec{vec(-0.2, 0.6), vec(3.9, -1.6)}},
			Arc{Name: "Path of the tip", Role: Guide, Centre: vec(-0.2, 0.6), Radius: 4.65, From: -0.13, To: -0.493, Hair: true, Arrow: true},
			Polyline{Name: "Owed translation", Role: Caution, Points: []plane.Vec{vec(3.9, -1.6), vec(3.1, -3.1)}, Heavy: true, Arrow: true},
			Label{Role: Caution, At: vec(3.5, -2.35), Text: "owed 1.70 cm", Away: vec(1, -0.5)},
			Marker{Name: "Current pivot", Role: Current, Shape: Ring, At: vec(0, 0)},
			Label{Role: Current, At: vec(0, 0), Text: "current", Away: vec(-1, -1), Rank: 2},
			Label{Role: Candidate, At: vec(-0.2, 0.6), Text: "candidate", Away: vec(-1, 1), Rank: 2},
			Marker{Name: "Tip at rest", Role: Bone, Shape: Dot, At: vec(4.4, 0)},
			Dimension{Name: "Segment length", Role: Guide, A: vec(0, 0.9), B: vec(4.4, 0.9), Offset: 1.2, Text: "4.40 cm"},
			Dimension{Name: "Depth", Role: Guide, A: vec(4.4, 0.8), B: vec(4.4, -0.8), Offset: 1.1, Text: "1.60 cm"},
			Dimension{Name: "Offset", Role: Guide, A: vec(-0.2, 0.6), B: vec(-0.2, 0), Offset: -1.6, Text: "0.60 cm"},
			Dimension{Name: "Rail", Role: Guide, A: vec(1.2, -2.2), B: vec(3.6, -2.2), Offset: -1.7, Text: "2.40 cm"},
			Angular{Name: "Flexion", Role: Guide, Centre: vec(0, 0), Radius: 1.9, From: 0, To: -math.Pi / 4, Text: "45°"},
			Label{Role: Flesh, At: vec(-2, 0.9), Text: "palm", Rank: 6},
			Label{Role: Target, At: vec(2.4, -2.2), Text: "rail", Away: vec(-1, 0), Rank: 4},
		},
		Handles: []Handle{
			{Name: "Candidate pivot", Role: Candidate, Shape: Diamond, At: vec(-0.2, 0.6), Axes: []Axis{
				{Field: "shift", Dir: vec(1, 0), PerUnit: 1}, {Field: "depth", Dir: vec(0, 1), PerUnit: -0.5, Base: 0.5}}},
		},
	}
}

// HeatSpecimen is a map of n × n cells: a bowl with its lowest place off the middle.
func HeatSpecimen(n int) Figure {
	h := Heat{Name: "Residual by place", Area: Rect{Min: vec(-3, -2), Max: vec(3, 2)}, Cols: n, Rows: n, Levels: []float64{0.5, 1, 1.5, 2, 3}, Unit: "cm"}
	for row := range n {
		for col := range n {
			x := -3 + 6*(float64(col)+0.5)/float64(n)
			y := -2 + 4*(float64(row)+0.5)/float64(n)
			h.Values = append(h.Values, math.Sqrt((x-0.8)*(x-0.8)+1.8*(y+0.3)*(y+0.3)+0.04))
		}
	}
	return Figure{Title: "Map", Desc: "A bowl.", View: h.Area, Marks: []Mark{h,
		Marker{Name: "Current pivot", Role: Current, Shape: Ring, At: vec(-1, 0.6)},
		Label{Role: Current, At: vec(-1, 0.6), Text: "current"},
		Label{Role: Candidate, At: vec(0.8, -0.3), Text: "candidate"},
		Marker{Name: "Best place", Role: Candidate, Shape: Diamond, At: vec(0.8, -0.3)}}}
}
