package limbfold

import (
	"centrode/calc/catalog"
	"centrode/calc/quantity"
)

// Spec implements catalog.Calculator.
func (Calculator) Spec() catalog.Spec { return spec }

// spec is built once: that costs more than most answers. Nobody may change it.
var spec = func() catalog.Spec {
	angle := func(id, label, help string, lo, hi float64) catalog.Column {
		return catalog.Column{ID: id, Label: label, Help: help, Kind: quantity.Angle, Min: lo, Max: hi}
	}
	return catalog.Spec{
		ID:      "limb-fold",
		Title:   "How far a limb stretches and folds",
		Purpose: "Finds the longest and the shortest span of a planar chain of segments within its joint limits.",
		Groups:  []catalog.Group{{ID: "asked", Label: "What the pose asks for"}},
		Fields: []catalog.Field{
			asked("near", "Nearest span asked for", "The shortest distance from base to end that the pose asks for; 0 asks for none."),
			asked("far", "Farthest span asked for", "The longest distance from base to end that the pose asks for; 0 asks for none."),
		},
		Tables: []catalog.Table{{ID: "segments", Label: "Segments, from the base on", MinRows: 2, MaxRows: 8,
			Help: "One row for each segment. A direction is the turn from the segment before it, the first one from the x axis. The limits of the first segment only turn the whole limb and do not change its span.",
			Columns: []catalog.Column{
				{ID: "length", Label: "Length", Help: "From this joint's pivot to the next.", Kind: quantity.Length, Max: 1e6, MinOpen: true},
				angle("rest", "Rest direction", "Turn from the segment before it in the rest pose, counter-clockwise positive.", -360, 360),
				angle("fold_min", "Lower limit", "Least turn from rest that is allowed; mostly negative.", -720, 720),
				angle("fold_max", "Upper limit", "Greatest turn from rest that is allowed; mostly positive.", -720, 720),
			}, Default: example()}},
		Outputs: []catalog.Output{
			{ID: "total_length", Label: "Total length", Help: "Sum of the segments.", Kind: quantity.Length, Digits: 2},
			{ID: "span_rest", Label: "Span at rest", Help: "Distance from base to end in the rest pose.", Kind: quantity.Length, Digits: 2},
			{ID: "span_max", Label: "Longest span", Help: "Greatest distance from base to end that the limits allow.", Kind: quantity.Length, Digits: 2},
			{ID: "span_min", Label: "Shortest span", Help: "Least distance from base to end that the limits allow.", Kind: quantity.Length, Digits: 2},
			{ID: "extension", Label: "Extension", Help: "Longest span / total length: 1 when the limb can be drawn straight.", Digits: 3},
			{ID: "fold", Label: "Fold", Help: "Shortest span / total length: 0 when the end can touch the base.", Digits: 3},
			{ID: "stroke", Label: "Stroke", Help: "Longest minus shortest span: how far a foot can travel along its line.", Kind: quantity.Length, Digits: 2},
			{ID: "missing_near", Label: "Too long for the nearest", Help: "Shortest span minus the nearest one asked for; 0 when the limb folds far enough.", Kind: quantity.Length, Digits: 2},
			{ID: "missing_far", Label: "Missing to the farthest", Help: "Farthest span asked for minus the longest; 0 when the limb reaches far enough.", Kind: quantity.Length, Digits: 2},
		},
		Answers: []catalog.Table{{ID: "extremes", Label: "Angles from rest at the extremes", Columns: []catalog.Column{
			{ID: "segment", Label: "Segment", Kind: quantity.Count},
			{ID: "at_max", Label: "At the longest", Kind: quantity.Angle, Digits: 1},
			{ID: "at_min", Label: "At the shortest", Kind: quantity.Angle, Digits: 1}}}},
		Steps: []catalog.Step{
			{Say: "Directions add along the chain, and the span is the length of the sum.",
				TeX: `s(\alpha) = \Bigl|\sum_i \ell_i\,(\cos\varphi_i,\ \sin\varphi_i)\Bigr|,\qquad \varphi_i = \sum_{j \le i} (\rho_j + \alpha_j):\qquad s(0) = \slot{span_rest}\ \text{cm}`},
			{Say: "At the longest span every joint stands at a limit or on the line from base to end; so it does at the shortest, unless the end can touch the base. All such poses are tried.",
				TeX: `s_{\max} = \slot{span_max}\ \text{cm},\qquad s_{\min} = \slot{span_min}\ \text{cm}`},
			{Say: "The stroke is their difference, and both are compared with the total length.",
				TeX: `\slot{span_max} - \slot{span_min} = \slot{stroke}\ \text{cm},\qquad \frac{\slot{span_max}}{\slot{total_length}} = \slot{extension}`},
		},
		Sources: []string{"craig2005"},
		Cautions: []string{
			"For drawn and animated characters. Reach on a machine, a puppet or a worn device is limited by loads and safety rules that are not computed here; follow local codes and a licensed engineer.",
		},
	}
}()

// asked is a span that the pose asks for.
func asked(id, label, help string) catalog.Field {
	return catalog.Field{ID: id, Label: label, Help: help, Group: "asked", Kind: quantity.Length, Max: 1e6, SlideMax: 100, Step: 0.5}
}

// example is an invented hind leg: thigh, shank, and the long foot of a digitigrade down to the toes.
func example() catalog.Rows {
	return catalog.Rows{Len: 3, Numbers: map[string][]float64{
		"length":   {18, 19, 13},
		"rest":     {-70, -50, 60},
		"fold_min": {-40, -70, -55},
		"fold_max": {60, 45, 70},
	}}
}
