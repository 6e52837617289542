package bendsection

import (
	"centrode/calc/catalog"
	"centrode/calc/quantity"
)

// Spec implements catalog.Calculator.
func (Calculator) Spec() catalog.Spec { return spec }

// least is the smallest depth and length, cm. The area is what is left of products of both, and of a strip a million million times longer
// than deep it would be the rounding of them.
const least = 1e-6

// spec is built once: that costs more than most answers. Nobody may change it.
var spec = func() catalog.Spec {
	return catalog.Spec{
		ID:      "bend-section",
		Title:   "What blended skin does at a bend",
		Purpose: "Shows how much thickness, area and surface a linearly blended bend keeps, and whether its inside folds through itself.",
		Groups:  []catalog.Group{{ID: "limb", Label: "The limb"}, {ID: "skin", Label: "The skin"}},
		Fields: []catalog.Field{
			{ID: "depth", Label: "Depth", Help: "Thickness of the flesh at the joint, from the back surface to the inside one.", Group: "limb", Kind: quantity.Length,
				Default: 8, Min: least, Max: 1e4, SlideMin: 0.5, SlideMax: 20, Step: 0.1},
			{ID: "pivot", Label: "Pivot depth", Help: "Depth fraction of the pivot: 0 at the back surface, 0.5 in the middle, 1 at the inside surface.", Group: "limb",
				Default: 0.5, Min: -0.5, Max: 1.5, SlideMin: 0, SlideMax: 1, Step: 0.01},
			{ID: "flex", Label: "Bend", Help: "How far the second segment turns toward the inside.", Group: "limb", Kind: quantity.Angle,
				Default: 90, Min: -180, Max: 180, SlideMin: 0, SlideMax: 160, Step: 1},
			{ID: "length", Label: "Length of each side", Help: "How much of each segment is looked at.", Group: "limb", Kind: quantity.Length,
				Default: 16, Min: least, Max: 1e4, SlideMin: 2, SlideMax: 40, Step: 0.5},
			{ID: "blend", Label: "Width of the blend", Help: "Width over which the weights go evenly from one joint to the other, centred on the pivot; 0 is a hard edge. At most twice the length of a side.", Group: "skin",
				Kind: quantity.Length, Default: 6, Min: 0, Max: 2e4, SlideMin: 0, SlideMax: 30, Step: 0.1},
			{ID: "passes", Label: "Smoothing passes", Help: "How often the surface is smoothed after skinning.", Group: "skin", Kind: quantity.Count,
				Default: 0, Min: 0, Max: 500, SlideMin: 0, SlideMax: 100, Step: 1},
			{ID: "strength", Label: "Smoothing strength", Help: "How far a point moves toward the mean of its neighbours in one pass.", Group: "skin",
				Default: 0.5, Min: 0, Max: 1, Step: 0.05},
		},
		Outputs: []catalog.Output{
			{ID: "thickness_ratio", Label: "Thickness kept at the joint", Help: "Distance between the two surfaces at the joint, against the depth at rest.", Digits: 3},
			{ID: "area_ratio", Label: "Area kept", Help: "Area of the skinned outline against the rest outline; an overlap counts negative.", Digits: 3},
			{ID: "inside_length_ratio", Label: "Inside surface", Help: "Length of the inside surface against rest: below 1 it is squashed. What is folded through itself counts as well, so a deep fold may come out above 1.", Digits: 3},
			{ID: "outside_length_ratio", Label: "Outside surface", Help: "Length of the outside surface against rest: above 1 it is stretched.", Digits: 3},
			{ID: "overlap", Label: "Inside folds through itself", Help: "1 when the two halves of the inside surface run through each other, 0 when they do not.", Kind: quantity.Count},
		},
		Workings: []catalog.Output{
			{ID: "half_cosine", Label: "Cosine of half the bend", Digits: 4},
			{ID: "inside_lever", Label: "Flesh on the inside of the pivot", Kind: quantity.Length, Digits: 2},
		},
		Steps: []catalog.Step{
			{Say: "Each surface point is averaged between staying and turning.",
				TeX: `x' = (1 - w)\,x + w\,\bigl(p + R\,(x - p)\bigr)`},
			{Say: "The weight rises evenly from 0 to 1 over the width b of the blend, along the limb.",
				TeX: `w = \min\Bigl(1,\ \max\bigl(0,\ \tfrac12 + x_1/b\bigr)\Bigr)`},
			{Say: "At the joint both shares are a half, and an average of two turned points is nearer the pivot than either.",
				TeX: `\Bigl|\tfrac12\,(I + R)\,(x - p)\Bigr| = |x - p|\,\cos\frac{\theta}{2} = \slot{half_cosine}\,|x - p|`},
			{Say: "So much of the thickness is kept at the joint. Smoothing leaves it as it is, since there the two sides mirror each other.",
				TeX: `\frac{\text{thickness}}{\text{depth}} = \slot{thickness_ratio}`},
			{Say: "In a pass of smoothing every point moves toward the middle of its neighbours. Then each surface is measured along and compared with rest.",
				TeX: `\frac{\sum_k |x'_{k+1} - x'_k|}{\sum_k |x_{k+1} - x_k|} = \slot{outside_length_ratio}\ \text{outside},\quad \slot{inside_length_ratio}\ \text{inside}`},
		},
		Sources: []string{"kavan2008"},
		Cautions: []string{
			"For drawn and animated characters. It says nothing of real flesh, of cloth under load, or of any worn device.",
		},
	}
}()
