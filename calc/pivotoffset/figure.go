package pivotoffset

import (
	"math"

	"centrode/calc/catalog"
	"centrode/calc/figure"
	"centrode/calc/plane"
	"centrode/calc/quantity"
)

// Figure implements catalog.Calculator. It is drawn looking down the z axis: x to the right, y up.
func (c Calculator) Figure(v catalog.Values, r catalog.Result) figure.Figure {
	in, n := read(v), r.Numbers
	pivot := plane.Vec{X: in.offset.X, Y: in.offset.Y}
	rest := plane.Vec{X: in.point.X, Y: in.point.Y}
	current := plane.Vec{X: n["current_x"], Y: n["current_y"]}
	candidate := plane.Vec{X: n["candidate_x"], Y: n["candidate_y"]}
	reach := math.Max(1, math.Max(rest.Len(), pivot.Len()))
	f := figure.Figure{
		Title: "One segment turned about two pivots, seen along the z axis",
		Desc:  c.Say(v, r),
		View:  figure.Steady(figure.Hull(reach, plane.Vec{})),
		Marks: []figure.Mark{
			figure.Polyline{Role: figure.Guide, Points: []plane.Vec{{}, {X: reach}}, Hair: true, Arrow: true},
			figure.Polyline{Role: figure.Guide, Points: []plane.Vec{{}, {Y: reach}}, Hair: true, Arrow: true},
			figure.Label{Role: figure.Guide, At: plane.Vec{X: reach}, Text: "x", Away: plane.Vec{Y: -1}, Rank: 5},
			figure.Label{Role: figure.Guide, At: plane.Vec{Y: reach}, Text: "y", Away: plane.Vec{X: -1}, Rank: 5},
			figure.Polyline{Name: "The segment at rest", Role: figure.Bone, Points: []plane.Vec{{}, rest}},
			figure.Polyline{Name: "The segment turned about the current pivot", Role: figure.Current, Points: []plane.Vec{{}, current}},
			figure.Polyline{Name: "The segment turned about the candidate pivot", Role: figure.Candidate, Points: []plane.Vec{candidate.Sub(current), candidate}},
			figure.Marker{Name: "Current pivot", Role: figure.Current, Shape: figure.Ring},
		},
		Handles: []figure.Handle{
			{Name: "Candidate pivot", Role: figure.Candidate, Shape: figure.Diamond, At: pivot, Axes: []figure.Axis{
				{Field: "offset_x", Dir: plane.Vec{X: 1}, PerUnit: 1}, {Field: "offset_y", Dir: plane.Vec{Y: 1}, PerUnit: 1}}},
			{Name: "Point on the segment, at rest", Role: figure.Bone, Shape: figure.Dot, At: rest, Axes: []figure.Axis{
				{Field: "point_x", Dir: plane.Vec{X: 1}, PerUnit: 1}, {Field: "point_y", Dir: plane.Vec{Y: 1}, PerUnit: 1}}},
		},
	}
	if n["owed_length"] > 1e-9 {
		f.Marks = append(f.Marks,
			figure.Polyline{Name: "Owed translation", Role: figure.Caution, Points: []plane.Vec{current, candidate}, Heavy: true, Arrow: true},
			figure.Label{Role: figure.Caution, At: current.Lerp(candidate, 0.5), Text: "owed " + quantity.Format(n["owed_length"], quantity.Length, 2),
				Away: current.Sub(candidate).Perp()})
	}
	return f
}
