package hingearc

import (
	"math"

	"centrode/calc/catalog"
	"centrode/calc/quantity"
)

// visible is half of the last digit that a sentence shows: less is said to be no difference.
const visible = 0.005

// length prints lengths in the reader's units.
func length(v catalog.Values) func(float64) string {
	return func(x float64) string { return v.Units.Format(x, quantity.Length, 2) }
}

func deg(v float64) string { return quantity.Format(v, quantity.Angle, 1) }

// Say implements catalog.Calculator.
func (Calculator) Say(v catalog.Values, r catalog.Result) string {
	n, cm := r.Numbers, length(v)
	if n["pivot_shift"] == 0 {
		return "The candidate pivot is the current one: the tip ends " + cm(n["current_reach_to"]) + " from the root after travelling " +
			cm(n["current_arc_length"]) + "."
	}
	return "With the candidate pivot the tip ends " + sayReach(cm, n["current_reach_to"], n["candidate_reach_to"]) +
		", " + cm(n["shift_length"]) + " from where it ends now" + sayContact(r) + "."
}

// sayReach compares the two reaches at the end of the sweep.
func sayReach(cm func(float64) string, current, candidate float64) string {
	off := candidate - current
	both := " (" + cm(candidate) + " instead of " + cm(current) + ")"
	switch {
	case math.Abs(off) < visible:
		return "as far from the root as now (" + cm(candidate) + ")"
	case off < 0:
		return cm(-off) + " nearer the root" + both
	}
	return cm(off) + " farther from the root" + both
}

// sayContact compares where the tip first touches the parent; empty when it never does.
func sayContact(r catalog.Result) string {
	current, candidate := r.Numbers["current_contact_angle"], r.Numbers["candidate_contact_angle"]
	switch was, is := r.Has("current_contact_angle"), r.Has("candidate_contact_angle"); {
	case was && is && math.Abs(current-candidate) < 0.05:
		return ", and touches the parent at " + deg(candidate) + " as now"
	case was && is:
		return ", and touches the parent at " + deg(candidate) + " instead of " + deg(current)
	case is:
		return ", and touches the parent at " + deg(candidate) + ", which it does not do now"
	case was:
		return ", and no longer touches the parent"
	}
	return ""
}
