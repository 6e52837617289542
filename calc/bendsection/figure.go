package bendsection

import (
	"centrode/calc/catalog"
	"centrode/calc/figure"
	"centrode/calc/plane"
	"centrode/calc/quantity"
)

// Figure implements catalog.Calculator: the bent strip, its bones, its pivot, and the thickness at the joint.
func (c Calculator) Figure(v catalog.Values, r catalog.Result) figure.Figure {
	s := Read(v)
	outer, inner := s.Surfaces()
	outline := append([]plane.Vec(nil), outer...)
	for i := len(inner) - 1; i >= 0; i-- {
		outline = append(outline, inner[i])
	}
	pivot := plane.Vec{Y: s.Depth/2 - s.Pivot*s.Depth}
	tip := plane.TurnAbout(pivot, -s.Flex).Apply(plane.Vec{X: s.Length})
	reach := s.Length + s.Depth
	f := figure.Figure{
		Title: "A bent strip of skinned flesh, from the side", Desc: c.Say(v, r),
		View: figure.Rect{Min: plane.Vec{X: -s.Length, Y: -reach}, Max: plane.Vec{X: reach, Y: s.Depth}},
		Marks: []figure.Mark{
			figure.Region{Name: "Skinned flesh", Role: figure.Flesh, Points: outline},
			figure.Polyline{Name: "Outside surface", Role: figure.Candidate, Points: outer},
			figure.Polyline{Name: "Inside surface", Role: figure.Candidate, Points: inner},
			figure.Polyline{Name: "First segment", Role: figure.Bone, Points: []plane.Vec{{X: -s.Length}, pivot}, Hair: true},
			figure.Polyline{Name: "Second segment", Role: figure.Bone, Points: []plane.Vec{pivot, tip}, Hair: true},
			figure.Dimension{Name: "Thickness at the joint", Role: figure.Guide, A: inner[perSide], B: outer[perSide],
				Text: quantity.Format(outer[perSide].Sub(inner[perSide]).Len(), quantity.Length, 2)},
		},
		Handles: []figure.Handle{
			{Name: "Pivot depth", Role: figure.Candidate, Shape: figure.Diamond, At: pivot, Axes: []figure.Axis{
				{Field: "pivot", Dir: plane.Vec{Y: 1}, Base: 0.5, PerUnit: -1 / s.Depth}}},
			{Name: "Bend", Role: figure.Bone, Shape: figure.Dot, At: tip, Axes: []figure.Axis{
				{Field: "flex", Origin: pivot, Dir: plane.Vec{X: s.Length, Y: -pivot.Y}.Unit(), PerUnit: -1, Turn: true}}},
		},
	}
	if at, folds := crossing(inner); folds {
		f.Marks = append(f.Marks, figure.Marker{Name: "The inside folds through itself here", Role: figure.Caution, Shape: figure.Cross, At: at})
	}
	return f
}
