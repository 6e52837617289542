package pivotoffset

import (
	"centrode/calc/catalog"
	"centrode/calc/quantity"
)

// far bounds lengths: ten kilometres on either side of the origin.
const far = 1e6

// Spec implements catalog.Calculator.
func (Calculator) Spec() catalog.Spec { return spec }

// spec is built once: that costs more than most answers. Nobody may change it.
var spec = func() catalog.Spec {
	return catalog.Spec{
		ID:       "pivot-offset",
		Title:    "What a moved pivot owes",
		Purpose:  "Tells how much translation must still be keyed when a segment turns about a pivot that was moved.",
		Compares: true,
		Groups: []catalog.Group{
			{ID: "offset", Label: "Where the candidate lies, measured from the current pivot"},
			{ID: "turn", Label: "The turn"},
			{ID: "point", Label: "A point on the segment, measured from the current pivot"},
		},
		Fields: []catalog.Field{
			length("offset_x", "Offset x", "offset", 1, "Candidate minus current pivot along x, in the parent's frame."),
			length("offset_y", "Offset y", "offset", 0.5, "Candidate minus current pivot along y, in the parent's frame."),
			length("offset_z", "Offset z", "offset", 0, "Candidate minus current pivot along z. With the axis along z it changes nothing: a pivot may slide along its own axis."),
			{ID: "angle", Label: "Turn", Help: "How far the segment turns, right-hand rule about the axis.", Group: "turn", Kind: quantity.Angle,
				Default: 60, Min: -36000, Max: 36000, SlideMin: -180, SlideMax: 180, Step: 1},
			direction("axis_x", "Axis x", 0), direction("axis_y", "Axis y", 0), direction("axis_z", "Axis z", 1),
			length("point_x", "Point x", "point", 6, "A point carried by the segment, at rest; its two ends of travel are compared."),
			length("point_y", "Point y", "point", 0, "A point carried by the segment, at rest, along y."),
			length("point_z", "Point z", "point", 0, "A point carried by the segment, at rest, along z."),
		},
		Outputs: []catalog.Output{
			{ID: "owed_length", Label: "Owed translation", Help: "Length of what must still be keyed: 2 · lever · |sin(turn/2)|.", Kind: quantity.Length, Digits: 3},
			{ID: "owed_x", Label: "Owed x", Help: "x of (I − R)·d. With this sign it brings the joint that stands at its old place to the candidate's pose; with the other it keeps the old pose when the joint has moved.", Kind: quantity.Length, Digits: 3},
			{ID: "owed_y", Label: "Owed y", Help: "y of (I − R)·d.", Kind: quantity.Length, Digits: 3},
			{ID: "owed_z", Label: "Owed z", Help: "z of (I − R)·d.", Kind: quantity.Length, Digits: 3},
			{ID: "lever", Label: "Lever", Help: "Distance of the candidate from the axis line through the current pivot.", Kind: quantity.Length, Digits: 3},
			side("current", "x"), side("current", "y"), side("current", "z"),
			side("candidate", "x"), side("candidate", "y"), side("candidate", "z"),
		},
		Workings: []catalog.Output{{ID: "half_sine", Label: "Sine of half the turn", Digits: 4}},
		Steps: []catalog.Step{
			{Say: "The lever is the offset's distance from the axis line.",
				TeX: `\ell = |\hat a \times d| = \slot{lever}\ \text{cm}`},
			{Say: "Every point of the segment misses its place by the same vector.",
				TeX: `t = (I - R)\,d = (\slot{owed_x},\ \slot{owed_y},\ \slot{owed_z})\ \text{cm}`},
			{Say: "Its length is the chord that the lever sweeps.",
				TeX: `|t| = 2\,\ell\,\left|\sin\frac{\theta}{2}\right| = 2 \cdot \slot{lever} \cdot \slot{half_sine} = \slot{owed_length}\ \text{cm}`},
			{Say: "Where a point x lands about the candidate: take the candidate away, turn, put it back.",
				TeX: `x' = d + R\,(x - d) = (\slot{candidate_x},\ \slot{candidate_y},\ \slot{candidate_z})\ \text{cm}`},
		},
		Sources: []string{"rodrigues1840"},
		Cautions: []string{
			"For drawn and animated characters. On a machine or a worn device a moved pivot moves loads too: that is a licensed engineer's decision under local codes.",
		},
	}
}()

func length(id, label, group string, initial float64, help string) catalog.Field {
	return catalog.Field{ID: id, Label: label, Help: help, Group: group, Kind: quantity.Length,
		Default: initial, Min: -far, Max: far, SlideMin: -10, SlideMax: 10, Step: 0.1}
}

func direction(id, label string, initial float64) catalog.Field {
	return catalog.Field{ID: id, Label: label, Help: "Direction of the axis; only its direction counts, not its length.", Group: "turn",
		Kind: quantity.Ratio, Default: initial, Min: -far, Max: far, SlideMin: -1, SlideMax: 1, Step: 0.1}
}

func side(placement, letter string) catalog.Output {
	return catalog.Output{ID: placement + "_" + letter, Label: "Point lands at " + letter,
		Help: "Where the point is after the turn about the " + placement + " pivot.", Kind: quantity.Length, Digits: 3,
		Side: placement, Pair: "point_" + letter}
}
