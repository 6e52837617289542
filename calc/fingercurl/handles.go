package fingercurl

import (
	"math"

	"centrode/calc/figure"
	"centrode/calc/plane"
)

// handles are the three pivots, each movable along and across its segment, and one grip on each segment that flexes the
// joint before it.
func (d drawing) handles() []figure.Handle {
	var all []figure.Handle
	names := [3]string{"Knuckle pivot (MCP)", "Middle joint pivot (PIP)", "End joint pivot (DIP)"}
	for i, name := range names {
		all = append(all, figure.Handle{Name: name, Role: figure.Candidate, Shape: figure.Diamond, At: d.pose.Pivot[i], Axes: d.pivotAxes(i)})
	}
	x := d.f.stations()
	grips := [3]struct {
		name string
		rest plane.Vec
	}{
		{"Middle of the first segment: flexes the knuckle", plane.Vec{X: (x[0] + x[1]) / 2}},
		{"Middle of the middle segment: flexes the middle joint", plane.Vec{X: (x[1] + x[2]) / 2}},
		{"Fingertip: flexes the end joint", plane.Vec{X: x[3]}},
	}
	for i, grip := range grips {
		if axis, ok := d.flexAxis(i, grip.rest); ok {
			all = append(all, figure.Handle{Name: grip.name, Role: figure.Candidate, Shape: figure.Dot, At: d.pose.Motion[i+1].Apply(grip.rest), Axes: []figure.Axis{axis}})
		}
	}
	return all
}

// pivotAxes ties pivot i to its shift, along the segment before it as it now lies, and to its depth fraction, from the
// back surface across. That frame does not turn with joint i itself, so a drag never moves the ground under itself. Of a depth
// that is hardly more than none the fraction still grows by a number.
func (d drawing) pivotAxes(i int) []figure.Axis {
	frame := d.pose.Motion[i]
	back := frame.Apply(plane.Vec{X: d.f.stations()[i], Y: d.f.Depth[i] / 2})
	return []figure.Axis{
		{Field: joints[i].shift, Origin: back, Dir: frame.Turn(plane.Vec{X: 1}), PerUnit: 1},
		{Field: joints[i].pivot, Origin: back, Dir: frame.Turn(plane.Vec{Y: -1}), PerUnit: 1 / math.Max(d.f.Depth[i], 1e-300)},
	}
}

// flexAxis ties a point that joint i carries to its flexion. The direction from which the angle counts lies at the
// middle of what is allowed, −45° to 180°, so that the jump of a full turn lies opposite, outside that range. There is no
// axis when the point lies on the pivot, where no direction tells the angle.
func (d drawing) flexAxis(i int, rest plane.Vec) (figure.Axis, bool) {
	const centre = 67.5
	arm := rest.Sub(d.f.restPivot(i))
	if arm.Len() < 1e-6*d.f.size() {
		return figure.Axis{}, false
	}
	half := plane.TurnAbout(plane.Vec{}, -centre*math.Pi/180)
	return figure.Axis{Field: joints[i].flex, Origin: d.pose.Pivot[i], Dir: d.pose.Motion[i].Turn(half.Turn(arm)).Unit(),
		Base: centre, PerUnit: -1, Turn: true}, true
}
