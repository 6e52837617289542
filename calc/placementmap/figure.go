package placementmap

import (
	"math"
	"slices"

	"centrode/calc/catalog"
	"centrode/calc/centre"
	"centrode/calc/figure"
	"centrode/calc/plane"
	"centrode/calc/quantity"
	"centrode/calc/rigid"
)

// Figure implements catalog.Calculator: the map with contour lines and numbered edges, the best place, the region within
// the tolerance, and the pivot that the poses fit best anywhere.
func (c Calculator) Figure(v catalog.Values, r catalog.Result) figure.Figure {
	n, cells := v.Numbers, r.Tables["cells"].Numbers["rms"]
	area := region(v)
	side := int(n["cells"])
	name := v.Choices["plane"]
	best := plane.Vec{X: r.Numbers["best_u"], Y: r.Numbers["best_v"]}
	f := figure.Figure{Title: "What rotation alone leaves, mapped over the " + name + " plane", Desc: c.Say(v, r), View: c.View(v)}
	// What is left is drawn in the reader's units, so that the numbers on the contour lines are round.
	left := func(cm float64) float64 { return v.Units.In(cm, quantity.Length) }
	limit := left(r.Numbers["best_rms"] + n["tolerance"])
	if v.Units != quantity.Centimetres {
		cells = slices.Clone(cells)
		for i, cm := range cells {
			cells[i] = left(cm)
		}
	}
	f.Marks = append(f.Marks, figure.Heat{Name: "What rotation alone leaves", Area: area, Cols: side, Rows: side, Values: cells,
		Levels: figure.Levels(left(r.Numbers["best_rms"]), left(r.Numbers["worst_rms"]), limit, 10), Unit: v.Units.Unit(quantity.Length),
		Edges: []figure.Edge{{Role: figure.Candidate, Level: limit, Text: "up to " + v.Units.Format(n["tolerance"], quantity.Length, 2) + " more", Rank: 3}}})
	f.Marks = append(f.Marks, edges(area, name, v.Units)...)
	f.Marks = append(f.Marks, fitted(v, r, area)...)
	f.Marks = append(f.Marks,
		figure.Marker{Name: "Best place on the map", Role: figure.Candidate, Shape: figure.Diamond, At: best},
		figure.Label{Role: figure.Candidate, At: best, Text: "best " + v.Units.Format(r.Numbers["best_rms"], quantity.Length, 3), Away: plane.Vec{Y: 1}})
	return f
}

// fitted marks the pivot that the poses fit best when it may stand anywhere, as seen along the map's third axis; none
// where that is beyond the map.
func fitted(v catalog.Values, r catalog.Result, area figure.Rect) []figure.Mark {
	fit, ok := r.Own.(*centre.Fit)
	if !ok || fit.Determined == centre.None {
		return nil
	}
	u, w := seen(v.Choices["plane"], fit.Pivot)
	if fit.Determined == centre.Line { // where the axis pierces the map
		across, at := depth(v.Choices["plane"], fit.Axis), depth(v.Choices["plane"], fit.Pivot)
		if math.Abs(across) > 0.1 {
			u, w = seen(v.Choices["plane"], fit.Pivot.Add(fit.Axis.Scale((v.Numbers["level"]-at)/across)))
		}
	}
	if u < area.Min.X || u > area.Max.X || w < area.Min.Y || w > area.Max.Y {
		return nil
	}
	at := plane.Vec{X: u, Y: w}
	return []figure.Mark{
		figure.Marker{Name: "The pivot that fits the poses", Role: figure.Bone, Shape: figure.Cross, At: at},
		figure.Label{Role: figure.Bone, At: at, Text: "fitted pivot", Away: plane.Vec{Y: -1}, Rank: 4},
	}
}

// seen returns the coordinates of a point that the map shows; depth returns the third.
func seen(name string, p rigid.Vec) (u, v float64) {
	switch name {
	case "yz":
		return p.Y, p.Z
	case "zx":
		return p.Z, p.X
	}
	return p.X, p.Y
}

func depth(name string, p rigid.Vec) float64 {
	switch name {
	case "yz":
		return p.X
	case "zx":
		return p.Y
	}
	return p.Z
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
