package placementmap

import (
	"centrode/calc/catalog"
	"centrode/calc/posefit"
	"centrode/calc/quantity"
)

const far = 1e6 // ten kilometres

// Spec implements catalog.Calculator.
func (Calculator) Spec() catalog.Spec { return spec }

// spec is built once: that costs more than most answers. Nobody may change it.
var spec = func() catalog.Spec {
	// The sliders of least and greatest do not overlap, so that no slide turns the region inside out.
	bound := func(id, label string, initial, lowest, highest float64) catalog.Field {
		return catalog.Field{ID: id, Label: label, Help: "Edge of the region that is mapped; u runs along the first letter of the plane, v along the second.", Group: "region",
			Kind: quantity.Length, Default: initial, Min: -far, Max: far, SlideMin: lowest, SlideMax: highest, Step: 0.5}
	}
	kind, _ := posefit.Calculator{}.Spec().Field("kind")
	kind.Group = "poses"
	return catalog.Spec{
		ID:      "placement-map",
		Title:   "How wrong is every other place",
		Purpose: "Maps, over a plane, what rotation alone would leave if the pivot stood there.",
		Single:  true,
		Groups:  []catalog.Group{{ID: "poses", Label: "The joint"}, {ID: "region", Label: "The region that is mapped"}},
		Fields: []catalog.Field{
			kind,
			{ID: "plane", Label: "Plane", Help: "The plane in which the pivot would move: its first letter is u, across the map, and its second v, up the map.", Group: "region", DefaultChoice: "xy",
				Choices: []catalog.Choice{{ID: "xy", Label: "xy"}, {ID: "yz", Label: "yz"}, {ID: "zx", Label: "zx"}}},
			{ID: "level", Label: "Level", Help: "The coordinate that is not in the plane, the same all over the map.", Group: "region", Kind: quantity.Length,
				Min: -far, Max: far, SlideMin: -20, SlideMax: 20, Step: 0.1},
			bound("min_u", "Least u", -5, -20, 0), bound("max_u", "Greatest u", 7, 0.5, 20), bound("min_v", "Least v", -6, -20, 0), bound("max_v", "Greatest v", 6, 0.5, 20),
			{ID: "cells", Label: "Cells per side", Help: "How finely each side is divided; twice as many take four times as long.", Group: "region", Kind: quantity.Count,
				Default: 48, Min: 2, Max: 400, SlideMin: 8, SlideMax: 120, Step: 4},
			{ID: "tolerance", Label: "Tolerance", Help: "How much more than the best place may leave and still be good enough.", Group: "region", Kind: quantity.Length,
				Default: 0.05, Min: 0, Max: far, SlideMin: 0, SlideMax: 1, Step: 0.01},
		},
		Tables: []catalog.Table{posefit.LandmarkTable(), posefit.ParentTable()},
		Outputs: []catalog.Output{
			{ID: "best_u", Label: "Best u", Help: "Centre of the best cell, along the first letter of the plane.", Kind: quantity.Length, Digits: 3},
			{ID: "best_v", Label: "Best v", Help: "Centre of the best cell, along the second letter of the plane.", Kind: quantity.Length, Digits: 3},
			{ID: "best_rms", Label: "Left at the best place", Help: "Root mean square distance that rotation alone leaves there.", Kind: quantity.Length, Digits: 4},
			{ID: "worst_rms", Label: "Left at the worst place", Help: "The most that rotation alone leaves anywhere on the map.", Kind: quantity.Length, Digits: 4},
			{ID: "area_within", Label: "Area within the tolerance", Help: "Total area of the cells that leave no more than the best cell and the tolerance together.", Kind: quantity.Area, Digits: 3},
		},
		Answers: []catalog.Table{{ID: "cells", Label: "Cells", Columns: []catalog.Column{
			{ID: "u", Label: "u", Kind: quantity.Length, Digits: 3}, {ID: "v", Label: "v", Kind: quantity.Length, Digits: 3},
			{ID: "rms", Label: "Left by rotation alone", Kind: quantity.Length, Digits: 4}}}},
		Workings: []catalog.Output{
			{ID: "cell_area", Label: "Area of a cell", Kind: quantity.Area, Digits: 4},
			{ID: "cells_within", Label: "Cells within the tolerance", Kind: quantity.Count},
		},
		Steps: []catalog.Step{
			{Say: "For a pivot at each cell's centre, every pose takes its best rotation about it: for a ball any rotation (where all landmarks lie in one plane, any within it), for a hinge one about the fitted axis.",
				TeX: `\operatorname{rms}(p)^2 = \frac{1}{\sum w}\, \sum_i\ \min_{R}\ \sum_k w_{ik}\,\bigl|\,p + R\,(x_k - p) - y_{ik}\,\bigr|^2`},
			{Say: "The least of these is the best place.",
				TeX: `\operatorname{rms}(\slot{best_u},\ \slot{best_v}) = \slot{best_rms}\ \text{cm}`},
			{Say: "The cells that are good enough are counted, and their area is added up.",
				TeX: `\slot{cells_within} \times \slot{cell_area} = \slot{area_within}\ \text{cm}^2`},
		},
		Sources: []string{"horn1987"},
		Cautions: []string{
			"For drawn and animated characters. A joint centre for an orthosis, an implant or any moving machine is a licensed practitioner's measurement, not this map.",
		},
	}
}()
