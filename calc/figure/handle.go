package figure

import (
	"math"

	"centrode/calc/plane"
)

// Setting is a value for a field.
type Setting struct {
	Field string
	Value float64
}

// Drag returns the field values that put the handle at the model point p, one for each axis, in the fields' units.
// Nothing is clamped: the caller knows the fields' ranges. An axis that p does not determine (an angle about p itself)
// or that would not be finite is left out.
func Drag(h Handle, p plane.Vec) []Setting {
	settings := make([]Setting, 0, len(h.Axes))
	for _, a := range h.Axes {
		if value, ok := a.value(p); ok {
			settings = append(settings, Setting{a.Field, value})
		}
	}
	return settings
}

// value reads the axis at p.
func (a Axis) value(p plane.Vec) (float64, bool) {
	arm := p.Sub(a.Origin)
	along := arm.Dot(a.Dir)
	if a.Turn {
		along = math.Atan2(a.Dir.Cross(arm), along) * 180 / math.Pi
		if arm == (plane.Vec{}) {
			return 0, false
		}
	}
	value := a.Base + a.PerUnit*along
	return value, math.Abs(value) <= math.MaxFloat64
}

// Nudge returns the field values after key presses: dx steps to the right and dy steps up, negative for left and down.
//
// at answers a field's present value and the size of one step, in its unit. A handle with one axis follows both pairs
// of keys. The value changes so that the handle moves the way the key points; about a centre, and where a key points
// across the axis, right and up increase it. Nothing is clamped. Results are rounded to 1e-9 of the unit, so that steps
// of 0.1 do not gather the errors of binary fractions.
func Nudge(h Handle, dx, dy float64, at func(field string) (value, step float64)) []Setting {
	var settings []Setting
	for i, a := range h.Axes {
		steps := 0.0
		if i == 0 {
			steps += dx * a.sense(plane.Vec{X: 1})
		}
		if i == 1 || len(h.Axes) == 1 {
			steps += dy * a.sense(plane.Vec{Y: 1})
		}
		if steps == 0 {
			continue
		}
		value, step := at(a.Field)
		if value += steps * step; math.Abs(value) <= math.MaxFloat64 {
			settings = append(settings, Setting{a.Field, math.Round(value*1e9) / 1e9})
		}
	}
	return settings
}

// sense is +1 when a larger value moves the handle in the direction of the key, or neither way, and -1 when against it.
func (a Axis) sense(key plane.Vec) float64 {
	if !a.Turn && a.PerUnit*a.Dir.Dot(key) < -1e-9*math.Abs(a.PerUnit) {
		return -1
	}
	return 1
}

// Still is the figure with a plain marker in the place of every handle: for paper, and wherever nothing can be moved.
func Still(f Figure) Figure {
	f.Marks = append([]Mark(nil), f.Marks...)
	for _, h := range f.Handles {
		f.Marks = append(f.Marks, Marker{Name: h.Name, Role: h.Role, Shape: h.Shape, At: h.At})
	}
	f.Handles = nil
	return f
}
