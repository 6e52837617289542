// Package views lays out three orthographic views of points in space on one sheet, as on an engineering drawing: front
// (x, y), to its right the view from the right (−z, y), above it the view from above (x, −z).
package views

import (
	"math"

	"centrode/calc/figure"
	"centrode/calc/plane"
	"centrode/calc/rigid"
)

// View is one of the three. Across and Up are the model directions that run to the right and up on the sheet.
type View struct {
	Across, Up rigid.Vec
	Origin     plane.Vec // where Centre lands on the sheet
	Centre     rigid.Vec
	Letters    [2]string
}

// At returns where a point lands on the sheet, in model units.
func (v View) At(p rigid.Vec) plane.Vec {
	d := p.Sub(v.Centre)
	return v.Origin.Add(plane.Vec{X: d.Dot(v.Across), Y: d.Dot(v.Up)})
}

// Arrange returns three views of a ball of the given centre and radius, and the sheet they need.
func Arrange(centre rigid.Vec, radius float64) ([3]View, figure.Rect) {
	apart := 2.25 * radius
	return [3]View{
			{rigid.Vec{X: 1}, rigid.Vec{Y: 1}, plane.Vec{}, centre, [2]string{"x", "y"}},
			{rigid.Vec{Z: -1}, rigid.Vec{Y: 1}, plane.Vec{X: apart}, centre, [2]string{"−z", "y"}},
			{rigid.Vec{X: 1}, rigid.Vec{Z: -1}, plane.Vec{Y: apart}, centre, [2]string{"x", "−z"}},
		}, figure.Rect{Min: plane.Vec{X: -1.1 * radius, Y: -1.1 * radius},
			Max: plane.Vec{X: apart + 1.1*radius, Y: apart + 1.1*radius}}
}

// Frame draws a view's two axes in its lower left corner.
func (v View) Frame(radius float64) []figure.Mark {
	corner := v.Origin.Sub(plane.Vec{X: radius, Y: radius})
	right, up := corner.Add(plane.Vec{X: radius / 3}), corner.Add(plane.Vec{Y: radius / 3})
	return []figure.Mark{
		figure.Polyline{Role: figure.Guide, Points: []plane.Vec{corner, right}, Hair: true, Arrow: true},
		figure.Polyline{Role: figure.Guide, Points: []plane.Vec{corner, up}, Hair: true, Arrow: true},
		figure.Label{Role: figure.Guide, At: right, Text: v.Letters[0], Away: plane.Vec{X: 1}, Rank: 4},
		figure.Label{Role: figure.Guide, At: up, Text: v.Letters[1], Away: plane.Vec{Y: 1}, Rank: 4},
	}
}

// Named gives a mark its name in the first view alone, so that a screen reader hears it once.
func Named(view int, name string) string {
	if view == 0 {
		return name
	}
	return ""
}

// Bounds grows around points.
type Bounds struct {
	lo, hi rigid.Vec
	some   bool
}

// Add makes room for a point.
func (b *Bounds) Add(p rigid.Vec) {
	if !b.some {
		b.lo, b.hi, b.some = p, p, true
		return
	}
	b.lo = rigid.Vec{X: math.Min(b.lo.X, p.X), Y: math.Min(b.lo.Y, p.Y), Z: math.Min(b.lo.Z, p.Z)}
	b.hi = rigid.Vec{X: math.Max(b.hi.X, p.X), Y: math.Max(b.hi.Y, p.Y), Z: math.Max(b.hi.Z, p.Z)}
}

// Ball returns a ball that holds every point along each axis; its radius is never 0.
func (b Bounds) Ball() (centre rigid.Vec, radius float64) {
	half := b.hi.Sub(b.lo).Scale(0.5)
	return b.lo.Add(half), math.Max(1e-9, math.Max(half.X, math.Max(half.Y, half.Z)))
}
