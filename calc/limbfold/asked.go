package limbfold

import (
	"math"
	"strings"

	"centrode/calc/catalog"
	"centrode/calc/figure"
	"centrode/calc/quantity"
)

// shown is the least length in cm that the verdict does not print as 0.0.
const shown = 0.05

// missing returns by how much the nearest span asked for is too short for the limb, and the farthest too long; 0 asks for
// nothing, and one span alone is both.
func missing(near, far, least, greatest float64) (tooLong, tooShort float64) {
	if near == 0 {
		near = far
	}
	if far == 0 {
		far = near
	}
	if near == 0 {
		return 0, 0
	}
	return math.Max(0, least-near), math.Max(0, far-greatest)
}

// Verdict implements catalog.Judged: whether the limb takes the spans that the pose asks for.
func (Calculator) Verdict(v catalog.Values, r catalog.Result) catalog.Verdict {
	length := func(cm float64) string { return v.Units.Format(cm, quantity.Length, 1) }
	near, far, n := v.Numbers["near"], v.Numbers["far"], r.Numbers
	reach := "It reaches from " + length(n["span_min"]) + " to " + length(n["span_max"])
	short, long := n["missing_far"] >= shown, n["missing_near"] >= shown
	switch {
	case near == 0 && far == 0:
		return catalog.Verdict{Good: true, Text: reach + ". Say which spans the pose asks for."}
	case short && long:
		return catalog.Verdict{Text: "No. It ends " + length(n["missing_far"]) + " short of the farthest, and folds " + length(n["missing_near"]) + " too little for the nearest."}
	case short:
		return catalog.Verdict{Text: "No. Stretched, it ends " + length(n["missing_far"]) + " short."}
	case long:
		return catalog.Verdict{Text: "No. Folded, it is still " + length(n["missing_near"]) + " too long."}
	}
	return catalog.Verdict{Good: true, Text: "Yes. " + reach + "."}
}

// answer begins the sentence with whether the limb takes the spans that are asked for.
func answer(v catalog.Values, r catalog.Result) string {
	n, near, far := r.Numbers, v.Numbers["near"], v.Numbers["far"]
	farthest, nearest := "the farthest span asked for", "the nearest span asked for"
	if near == far || near == 0 || far == 0 {
		farthest, nearest = "the span asked for", "the span asked for"
	}
	var missed []string
	if n["missing_far"] >= shown {
		missed = append(missed, "ends "+v.Units.Format(n["missing_far"], quantity.Length, 1)+" short of "+farthest)
	}
	if n["missing_near"] >= shown {
		missed = append(missed, "folds "+v.Units.Format(n["missing_near"], quantity.Length, 1)+" too little for "+nearest)
	}
	switch {
	case len(missed) > 0:
		return "It " + strings.Join(missed, ", and ") + ". "
	case near > 0 || far > 0:
		return "It reaches what is asked. "
	}
	return ""
}

// wanted draws the spans that the pose asks for: an arc of each about the base, beside the chain that comes nearest to it.
func wanted(v catalog.Values, r catalog.Result, poses []pose, size float64) []figure.Mark {
	var marks []figure.Mark
	for _, one := range []struct {
		id, missing, name string
		beside            pose
	}{{"near", "missing_near", "nearest asked for", poses[0]}, {"far", "missing_far", "farthest asked for", poses[1]}} {
		radius := v.Numbers[one.id]
		if !(radius > 0) {
			continue
		}
		role := figure.Guide
		if r.Numbers[one.missing] >= shown {
			role = figure.Caution
		}
		at, wide := one.beside.end().Angle(), math.Min(0.9, 0.25*size/radius)
		arc := figure.Arc{Name: "The " + one.name, Role: role, Radius: radius, From: at - wide, To: at + wide}
		end := one.beside.end().Unit().Scale(radius)
		marks = append(marks, arc, figure.Label{Role: role, At: end, Text: one.name, Away: end, Rank: 3})
	}
	return marks
}
