// Package pivotoffset computes what a moved pivot owes: the translation an animator must still key after rotating.
//
// Start at Owed, which is the whole idea: t = (I − R)·d. Angles in radians inside, degrees in the Spec; any one unit
// of length. Not covered: which offset would be better (see keyfit and posefit).
package pivotoffset

import (
	"math"

	"centrode/calc/catalog"
	"centrode/calc/quantity"
	"centrode/calc/rigid"
)

// Calculator is the catalogue's entry "pivot-offset".
type Calculator struct{}

// Owed returns (I − R)·offset for the rotation by angle about axis: what must be translated, after rotating about the
// current pivot, to land where rotating about the candidate pivot leads.
//
//	offset  candidate minus current pivot, parent frame
//	axis    nonzero; only its direction counts
//	angle   radians, right-hand rule
//
// It is evaluated as 2·sin²(θ/2)·d⊥ − sin θ·(u × d), with d⊥ = d − (u·d)·u taken once, so that small angles keep their
// digits; an offset along the axis owes nothing up to the rounding of d⊥. Source: derived from rodrigues1840.
func Owed(offset, axis rigid.Vec, angle float64) rigid.Vec {
	u := axis.Unit()
	across := u.Cross(offset).Cross(u)
	half := math.Sin(angle / 2)
	return across.Scale(2 * half * half).Sub(u.Cross(offset).Scale(math.Sin(angle)))
}

// Lever returns the distance of the offset from the line through the current pivot along axis.
func Lever(offset, axis rigid.Vec) float64 { return axis.Unit().Cross(offset).Len() }

// Solve implements catalog.Calculator. A zero axis is refused.
func (Calculator) Solve(v catalog.Values) (catalog.Result, error) {
	in := read(v)
	rotation, ok := rigid.Turn(in.axis, in.angle)
	if !ok {
		return catalog.Result{}, &catalog.InputError{Field: "axis_x", Given: "0, 0, 0",
			Allowed: "axis_x, axis_y and axis_z must not all be 0; for a hinge about z use 0, 0, 1"}
	}
	owed := Owed(in.offset, in.axis, in.angle)
	current := rotation.Apply(in.point)
	candidate := in.offset.Add(rotation.Apply(in.point.Sub(in.offset)))
	r := catalog.NewResult()
	put(r, [3]string{"owed_x", "owed_y", "owed_z"}, owed)
	put(r, [3]string{"current_x", "current_y", "current_z"}, current)
	put(r, [3]string{"candidate_x", "candidate_y", "candidate_z"}, candidate)
	r.Numbers["owed_length"] = owed.Len()
	r.Numbers["lever"] = Lever(in.offset, in.axis)
	r.Numbers["half_sine"] = math.Abs(math.Sin(in.angle / 2)) // past a full turn the sine is negative, the chord is not
	if in.angle == 0 {
		r.Warn("no-rotation", "angle", "Nothing turns, so no pivot can be told from another: every placement owes 0.")
	}
	return r, nil
}

type inputs struct {
	offset, axis, point rigid.Vec
	angle               float64 // radians
}

func read(v catalog.Values) inputs {
	n := v.Numbers
	return inputs{
		offset: rigid.Vec{X: n["offset_x"], Y: n["offset_y"], Z: n["offset_z"]},
		axis:   rigid.Vec{X: n["axis_x"], Y: n["axis_y"], Z: n["axis_z"]},
		point:  rigid.Vec{X: n["point_x"], Y: n["point_y"], Z: n["point_z"]},
		angle:  n["angle"] * math.Pi / 180,
	}
}

func put(r catalog.Result, ids [3]string, v rigid.Vec) {
	r.Numbers[ids[0]], r.Numbers[ids[1]], r.Numbers[ids[2]] = v.X, v.Y, v.Z
}

// Say implements catalog.Calculator.
func (Calculator) Say(v catalog.Values, r catalog.Result) string {
	owed, angle := r.Numbers["owed_length"], v.Numbers["angle"]
	if owed < shown {
		if lever := r.Numbers["lever"]; lever >= shown { // no turn, a whole one or a tiny one is no proof of a place
			return "This turn of " + turn(angle) + " owes less than " + v.Units.Format(shown, quantity.Length, 3) + " of translation, but the pivot lies " +
				v.Units.Format(lever, quantity.Length, 2) + " off the axis line: other turns owe up to " + v.Units.Format(2*lever, quantity.Length, 2) + "."
		}
		return "Rotation alone is enough: the moved pivot owes less than " + v.Units.Format(shown, quantity.Length, 3) + " of translation."
	}
	return "After turning by " + turn(angle) + " the animator must still key " +
		v.Units.Format(owed, quantity.Length, 2) + " of translation, because the pivot lies " +
		v.Units.Format(r.Numbers["lever"], quantity.Length, 2) + " off the axis line."
}

// shown is the least translation in cm that an animator would key.
const shown = 0.005

// turn prints an angle, with a decimal where it has one.
func turn(angle float64) string {
	digits := 0
	if angle != math.Trunc(angle) {
		digits = 1
	}
	return quantity.Format(angle, quantity.Angle, digits)
}

// Verdict implements catalog.Judged: how far off the pivot is, and what that costs in this turn.
func (Calculator) Verdict(v catalog.Values, r catalog.Result) catalog.Verdict {
	lever, owed := r.Numbers["lever"], r.Numbers["owed_length"]
	switch {
	case lever < shown:
		return catalog.Verdict{Good: true, Text: "Not at all. The pivot lies on the axis, and rotation alone is enough."}
	case owed < shown:
		return catalog.Verdict{Good: true, Text: "By " + v.Units.Format(lever, quantity.Length, 2) + ", but this turn owes nothing for it."}
	}
	return catalog.Verdict{Text: "By " + v.Units.Format(lever, quantity.Length, 2) + ". This turn of " + turn(v.Numbers["angle"]) + " owes " +
		v.Units.Format(owed, quantity.Length, 2) + " of keyed translation."}
}
