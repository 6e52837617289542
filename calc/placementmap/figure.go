package placementmap

import (
	"math"

	"centrode/calc/catalog"
	"centrode/calc/figure"
	"centrode/calc/plane"
	"centrode/calc/quantity"
)

// Figure implements catalog.Calculator: the map with contour lines, the best place, the region within the tolerance.
func (c Calculator) Figure(v catalog.Values, r catalog.Result) figure.Figure {
	n, cells := v.Numbers, r.Tables["cells"].Numbers["rms"]
	area := figure.Rect{Min: plane.Vec{X: n["min_u"], Y: n["min_v"]}, Max: plane.Vec{X: n["max_u"], Y: n["max_v"]}}
	side := int(n["cells"])
	name := v.Choices["plane"]
	best := plane.Vec{X: r.Numbers["best_u"], Y: r.Numbers["best_v"]}
	f := figure.Figure{Title: "What rotation alone leaves, mapped over the " + name + " plane", Desc: c.Say(v, r), View: area}
	f.Marks = append(f.Marks,
		figure.Heat{Name: "What rotation alone leaves", Area: area, Cols: side, Rows: side, Values: cells, Levels: levels(r.Numbers["best_rms"], r.Numbers["worst_rms"]), Unit: "cm"},
		figure.Label{Role: figure.Guide, At: plane.Vec{X: area.Max.X, Y: area.Min.Y}, Text: name[:1], Away: plane.Vec{Y: -1}, Rank: 5},
		figure.Label{Role: figure.Guide, At: plane.Vec{X: area.Min.X, Y: area.Max.Y}, Text: name[1:], Away: plane.Vec{X: -1}, Rank: 5},
		figure.Marker{Name: "Best place", Role: figure.Candidate, Shape: figure.Diamond, At: best},
		figure.Label{Role: figure.Candidate, At: best, Text: "best " + quantity.Format(r.Numbers["best_rms"], quantity.Length, 3), Away: plane.Vec{Y: 1}})
	return f
}

// levels are about six round values between the least and the greatest.
func levels(lo, hi float64) []float64 {
	if !(hi > lo) {
		return nil
	}
	step := nice((hi - lo) / 6)
	var list []float64
	for k := 1; k < 20; k++ {
		if level := step * (math.Floor(lo/step) + float64(k)); level < hi {
			list = append(list, level)
		}
	}
	return list
}

// nice rounds down to 1, 2 or 5 times a power of ten, by repeated multiplication so that every platform agrees.
func nice(x float64) float64 {
	unit := 1.0
	for unit > x {
		unit /= 10
	}
	for unit*10 <= x {
		unit *= 10
	}
	switch {
	case unit*5 <= x:
		return unit * 5
	case unit*2 <= x:
		return unit * 2
	}
	return unit
}
