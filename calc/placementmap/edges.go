package placementmap

import (
	"math"

	"centrode/calc/figure"
	"centrode/calc/plane"
	"centrode/calc/quantity"
)

// tick is the length of a mark at the map's edge, as a share of the map's longer side.
const tick = 0.015

// withEdges is the map with room for the numbers at its left and lower edge.
func withEdges(area figure.Rect) figure.Rect {
	size := longer(area)
	return figure.Rect{Min: area.Min.Sub(plane.Vec{X: 0.07 * size, Y: 0.03 * size}), Max: area.Max}
}

func longer(area figure.Rect) float64 {
	d := area.Max.Sub(area.Min)
	return math.Max(d.X, d.Y)
}

// edges puts numbers, round in the reader's units, along the lower and the left edge, and the two letters of the plane at their ends.
func edges(area figure.Rect, name string, units quantity.Units) []figure.Mark {
	one := units.In(1, quantity.Length)
	size := longer(area)
	step := nice(size*one/4) / one
	out := func(away plane.Vec) plane.Vec { return away.Scale(tick * size) }
	var marks []figure.Mark
	number := func(at, away plane.Vec, value float64) {
		marks = append(marks,
			figure.Polyline{Points: []plane.Vec{at, at.Add(out(away))}, Hair: true},
			figure.Label{At: at.Add(out(away)), Text: quantity.Number(value*one, decimals(step*one)), Away: away, Rank: 5})
	}
	down, left := plane.Vec{Y: -1}, plane.Vec{X: -1}
	for k := math.Ceil(area.Min.X / step); k*step <= area.Max.X; k++ {
		number(plane.Vec{X: k * step, Y: area.Min.Y}, down, k*step)
	}
	for k := math.Ceil(area.Min.Y / step); k*step <= area.Max.Y; k++ {
		number(plane.Vec{X: area.Min.X, Y: k * step}, left, k*step)
	}
	return append(marks,
		figure.Label{Role: figure.Guide, At: plane.Vec{X: area.Max.X, Y: area.Min.Y}, Text: name[:1], Away: plane.Vec{X: 1, Y: -0.3}, Rank: 6},
		figure.Label{Role: figure.Guide, At: plane.Vec{X: area.Min.X, Y: area.Max.Y}, Text: name[1:], Away: plane.Vec{X: -0.3, Y: 1}, Rank: 6})
}

// decimals is how many a number needs to show a step.
func decimals(step float64) int {
	n := 0
	for ; step < 0.999 && n < 6; n++ {
		step *= 10
	}
	return n
}
