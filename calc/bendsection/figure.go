package bendsection

import (
	"math"

	"centrode/calc/catalog"
	"centrode/calc/figure"
	"centrode/calc/plane"
	"centrode/calc/quantity"
)

// Figure implements catalog.Calculator: the bent strip, its bones, its pivot, the thickness at the joint, and the flesh of
// an inside that folds through itself.
func (c Calculator) Figure(v catalog.Values, r catalog.Result) figure.Figure {
	s := Read(v)
	outer, inner := s.Surfaces()
	pivot := plane.Vec{Y: s.Depth/2 - s.Pivot*s.Depth}
	tip := plane.TurnAbout(pivot, -s.Flex).Apply(plane.Vec{X: s.Length})
	f := figure.Figure{
		Title: "A bent strip of skinned flesh, from the side", Desc: c.Say(v, r), View: s.view(),
		Marks: []figure.Mark{
			figure.Region{Name: "Skinned flesh", Role: figure.Flesh, Points: outline(outer, inner)},
			figure.Polyline{Name: "Outside surface", Role: figure.Candidate, Points: outer},
			figure.Polyline{Name: "Inside surface", Role: figure.Candidate, Points: inner},
			figure.Polyline{Name: "First segment", Role: figure.Bone, Points: []plane.Vec{{X: -s.Length}, pivot}, Hair: true},
			figure.Polyline{Name: "Second segment", Role: figure.Bone, Points: []plane.Vec{pivot, tip}, Hair: true},
			figure.Dimension{Name: "Thickness at the joint", Role: figure.Guide, A: inner[perSide], B: outer[perSide],
				Text: v.Units.Format(outer[perSide].Sub(inner[perSide]).Len(), quantity.Length, 2)},
		},
		Handles: s.handles(pivot, tip),
	}
	if n := s.fold(inner); n > 0 {
		f.Marks = append(f.Marks,
			figure.Region{Name: "The inside has folded through itself", Role: figure.Caution, Points: inner[perSide-n : perSide+n+1], Hatch: true},
			figure.Label{Role: figure.Caution, At: inner[perSide-n].Lerp(inner[perSide+n], 0.5), Text: "folds through itself", Away: plane.Polar(1, -math.Pi/2-s.Flex/2), Rank: 2})
	}
	if s.Flex != 0 {
		f.Marks = append(f.Marks, figure.Angular{Name: "Bend", Role: figure.Guide, Centre: pivot, Radius: s.arm(), To: -s.Flex,
			Text: quantity.Format(v.Numbers["flex"], quantity.Angle, 0)},
			figure.Polyline{Role: figure.Guide, Points: []plane.Vec{pivot, {X: 1.1 * s.arm(), Y: pivot.Y}}, Hair: true})
	}
	return f
}

// arm is the radius at which the bend is measured: just outside the flesh.
func (s Strip) arm() float64 { return math.Min(0.8*s.Depth, 0.6*s.Length) }

// outline is the whole surface of the strip as a polygon.
func outline(outer, inner []plane.Vec) []plane.Vec {
	points := append([]plane.Vec(nil), outer...)
	for i := len(inner) - 1; i >= 0; i-- {
		points = append(points, inner[i])
	}
	return points
}

// view holds the strip for all bends between two steps of 30° that enclose the present one, so that it keeps still while a
// reader bends the strip a little. The steps lie 10° beside the round angles at which plates start.
func (s Strip) view() figure.Rect {
	const step, parts, beside = math.Pi / 6, 4, math.Pi / 18
	box := figure.Hull(0, plane.Vec{}, plane.Vec{X: 1.1 * s.arm()})
	lo, hi := math.Floor((s.Flex+beside)/step)*step-beside, math.Ceil((s.Flex+beside)/step)*step-beside
	s.Passes = 0
	for k := range parts + 1 {
		s.Flex = lo + (hi-lo)*float64(k)/parts
		outer, inner := s.Surfaces()
		for _, line := range [][]plane.Vec{outer, inner} {
			box = box.Union(figure.Hull(0, line...))
		}
	}
	return figure.Snug(box)
}

// handles are the depth of the pivot, which is what the plate is about, and the bend.
func (s Strip) handles(pivot, tip plane.Vec) []figure.Handle {
	return []figure.Handle{
		{Name: "Pivot depth", Role: figure.Candidate, Shape: figure.Diamond, At: pivot, Axes: []figure.Axis{
			{Field: "pivot", Dir: plane.Vec{Y: 1}, Base: 0.5, PerUnit: -1 / s.Depth}}},
		{Name: "Bend", Role: figure.Bone, Shape: figure.Dot, At: tip, Axes: []figure.Axis{
			{Field: "flex", Origin: pivot, Dir: plane.Vec{X: s.Length, Y: -pivot.Y}.Unit(), PerUnit: -1, Turn: true}}},
	}
}
