package plate

import (
	"math"
	"strconv"

	"centrode/calc/catalog"
	"centrode/calc/figure"
	"centrode/calc/quantity"
)

// apply writes settings into a copy of the answer's values, each rounded and clamped to its range, and returns the state.
func apply(a catalog.Answer, settings []figure.Setting, round func(catalog.Field, float64) float64) string {
	a.Values = a.Values.Clone()
	for _, s := range settings {
		t, ok := targetOf(a, s.Field)
		if ok && !math.IsNaN(s.Value) {
			t.write(a.Values, clamp(t.field, round(t.field, s.Value)))
		}
	}
	return State(a)
}

// stride is the field's step; a field without one moves by a hundredth of its slider.
func stride(f catalog.Field) float64 {
	if f.Step > 0 {
		return f.Step
	}
	lo, hi := slide(f)
	return (hi - lo) / 100
}

// slide is the comfortable part of the field's range.
func slide(f catalog.Field) (lo, hi float64) {
	if f.SlideMin == 0 && f.SlideMax == 0 {
		return f.Min, f.Max
	}
	return f.SlideMin, f.SlideMax
}

// grain is what dragging snaps to: a tenth of the step, a whole one for counts.
func grain(f catalog.Field) float64 {
	if f.Kind == quantity.Count {
		return math.Max(1, math.Round(stride(f)))
	}
	return stride(f) / 10
}

// snap rounds v to the field's grain.
func snap(f catalog.Field, v float64) float64 {
	g := grain(f)
	if !(g > 0) {
		return v
	}
	return tidy(f, math.Round(v/g)*g)
}

// tidy drops the rounding noise of adding steps: ten decimals are a thousand times finer than any step.
func tidy(_ catalog.Field, v float64) float64 {
	short, err := strconv.ParseFloat(strconv.FormatFloat(v, 'f', 10, 64), 64)
	if err != nil {
		return v
	}
	return short + 0
}

// clamp moves v into the field's range; where the lower end itself is excluded, to one grain above it.
func clamp(f catalog.Field, v float64) float64 {
	v = math.Max(f.Min, math.Min(f.Max, v))
	if f.MinOpen && v == f.Min {
		return math.Min(f.Max, tidy(f, f.Min+grain(f)))
	}
	return v
}
