package placementmap

import (
	"math"

	"centrode/calc/figure"
	"centrode/calc/plane"
	"centrode/calc/quantity"
)

// tick is the length of a mark at the map's edge, as a share of the map's longer side.
const tick = 0.015

// ems is the width that a sheet has for the map and its numbers, in the type of the numbers, where a page gives it the least.
const ems = 20

// withEdges is the map with room for the numbers at its left and lower edge.
func withEdges(area figure.Rect, units quantity.Units) figure.Rect {
	const margin = 1.3 // what a sheet itself leaves free there, in em, but for the tick
	size := longer(area)
	more := newScale(area, units).widest(area.Min.Y, area.Max.Y) - margin
	left := size * math.Max(0.07, more/(ems-more))
	return figure.Rect{Min: area.Min.Sub(plane.Vec{X: left, Y: 0.03 * size}), Max: area.Max}
}

// scale is the distance of the numbers along an edge, and how they are written.
type scale struct {
	units     quantity.Units
	one, step float64
}

func newScale(area figure.Rect, units quantity.Units) scale {
	s := scale{units: units, one: units.In(1, quantity.Length), step: 1}
	if size := longer(area); size > 0 { // a page asks where a finger points before it knows that the region is one
		s.step = nice(size*s.one/4) / s.one
	}
	return s
}

func (s scale) text(k float64) string {
	return quantity.Number(k*s.step*s.one, decimals(s.step*s.one))
}

// widest is the room that the longest number between two places takes, in em.
func (s scale) widest(lo, hi float64) float64 {
	wide := 0.0
	for k := math.Ceil(lo / s.step); k*s.step <= hi; k++ {
		wide = math.Max(wide, figure.TextWidth(s.text(k)))
	}
	return wide
}

// every is how many ticks of the lower edge share a number, so that each has room below its own.
func (s scale) every(area figure.Rect) float64 {
	const between = 0.3 // em
	room := s.step / longer(withEdges(area, s.units)) * ems
	return math.Ceil((s.widest(area.Min.X, area.Max.X) + between) / room)
}

func longer(area figure.Rect) float64 {
	d := area.Max.Sub(area.Min)
	return math.Max(d.X, d.Y)
}

// edges puts numbers, round in the reader's units, along the lower and the left edge, and the two letters of the plane at their
// ends. The numbers come before all other words, which can stand elsewhere.
func edges(area figure.Rect, name string, units quantity.Units) []figure.Mark {
	size := longer(area)
	s := newScale(area, units)
	step, every := s.step, s.every(area)
	out := func(away plane.Vec) plane.Vec { return away.Scale(tick * size) }
	var marks []figure.Mark
	number := func(at, away plane.Vec, text string) {
		marks = append(marks,
			figure.Polyline{Points: []plane.Vec{at, at.Add(out(away))}, Hair: true},
			figure.Label{At: at.Add(out(away)), Text: text, Away: away})
	}
	down, left := plane.Vec{Y: -1}, plane.Vec{X: -1}
	for k := math.Ceil(area.Min.X / step); k*step <= area.Max.X; k++ {
		text := ""
		if math.Mod(k, every) == 0 {
			text = s.text(k)
		}
		number(plane.Vec{X: k * step, Y: area.Min.Y}, down, text)
	}
	for k := math.Ceil(area.Min.Y / step); k*step <= area.Max.Y; k++ {
		number(plane.Vec{X: area.Min.X, Y: k * step}, left, s.text(k))
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
