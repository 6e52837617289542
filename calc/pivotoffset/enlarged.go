package pivotoffset

import (
	"centrode/calc/figure"
	"centrode/calc/plane"
	"centrode/calc/views"
)

// enlarged draws the surroundings of the two pivots in a circle of their own.
func (d drawing) enlarged(e views.Detail) []figure.Mark {
	marks := e.Frame()
	owed := figure.Polyline{Role: figure.Caution, Points: []plane.Vec{{}, d.base()}, Heavy: true, Arrow: true}
	for _, line := range append(d.lines(), owed) {
		if shown, ok := e.Line(line); ok {
			marks = append(marks, shown)
		}
	}
	return append(marks, d.pivots(e.At)...)
}

// occupied is where the detail would be in the way: the segment at its places, and the way between them.
func (d drawing) occupied() []plane.Segment {
	lines := []plane.Segment{{B: d.rest}, {B: d.current}, {A: d.base(), B: d.candidate}}
	last := d.rest
	for k := 1.0; d.flat && k <= 12; k++ {
		next := plane.TurnAbout(plane.Vec{}, d.angle*k/12).Apply(d.rest)
		lines, last = append(lines, plane.Segment{A: last, B: next}), next
	}
	return lines
}

// handles move the candidate, where it is enlarged if it is, and the point.
func (d drawing) handles(e views.Detail, small bool) []figure.Handle {
	at, name, scale := d.pivot, "Candidate pivot", 1.0
	if small {
		at, name, scale = e.At(d.pivot), "Candidate pivot, enlarged", 1/e.Times
	}
	return []figure.Handle{
		{Name: name, Role: figure.Candidate, Shape: figure.Diamond, At: at, Axes: []figure.Axis{
			{Field: "offset_x", Origin: at, Dir: plane.Vec{X: 1}, Base: d.pivot.X, PerUnit: scale},
			{Field: "offset_y", Origin: at, Dir: plane.Vec{Y: 1}, Base: d.pivot.Y, PerUnit: scale}}},
		{Name: "Point on the segment, at rest", Role: figure.Bone, Shape: figure.Dot, At: d.rest, Axes: []figure.Axis{
			{Field: "point_x", Dir: plane.Vec{X: 1}, PerUnit: 1}, {Field: "point_y", Dir: plane.Vec{Y: 1}, PerUnit: 1}}},
	}
}
