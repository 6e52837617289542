package views

import (
	"centrode/calc/figure"
	"centrode/calc/plane"
	"centrode/calc/rigid"
)

// endOn is the share of a direction that must show in a view for it to be drawn as a line.
const endOn = 0.3

// Axis draws the line through a point along a unit direction, as long as the view's area lets it be and at most half a
// length either way; seen end-on, it is a circle with the point of its arrow or with the feathers.
func (v View) Axis(name string, role figure.Role, through, along rigid.Vec, length float64) []figure.Mark {
	at, end := v.At(through), v.At(through.Add(along))
	if end.Sub(at).Len() < endOn {
		shape := figure.Toward
		if along.Dot(v.Toward()) < 0 {
			shape = figure.Into
		}
		return []figure.Mark{figure.Marker{Name: v.Named(name), Role: role, Shape: shape, At: at}}
	}
	half := end.Sub(at).Scale(length / 2)
	from, to := v.within(at, at.Sub(half)), v.within(at, at.Add(half))
	return []figure.Mark{figure.Polyline{Name: v.Named(name), Role: role, Arrow: true, Points: []plane.Vec{from, to}}}
}

// within returns the point of the way from a to b at which the view's surroundings end: its area and a little more.
func (v View) within(a, b plane.Vec) plane.Vec {
	out := strip / 4 * v.size
	t, d := 1.0, b.Sub(a)
	limit := func(from, step, lo, hi float64) {
		if step > 0 && from+t*step > hi {
			t = max(0, (hi-from)/step)
		}
		if step < 0 && from+t*step < lo {
			t = max(0, (lo-from)/step)
		}
	}
	limit(a.X, d.X, v.Area.Min.X-out, v.Area.Max.X+out)
	limit(a.Y, d.Y, v.Area.Min.Y-out, v.Area.Max.Y+out)
	return a.Lerp(b, t)
}
