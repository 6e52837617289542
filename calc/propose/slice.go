package propose

import (
	"math"

	"centrode/calc/rigid"
)

// Slice is the error map over a flat piece of space through the body: how much turning alone would leave with the pivot at
// each place.
type Slice struct {
	Origin rigid.Vec // the middle of the first cell
	U, V   rigid.Vec // from the middle of a cell to the next along a row, and from row to row
	Cells  int       // a row, and rows
	Values []float64 // row by row
	Least  float64
	Most   float64
}

// Across returns the map on the plane through a point with the given normal, a square of so many cells a side and the given
// half width around the point. A zero normal stands for the axis that was found, or z.
func (p *Proposal) Across(through, normal rigid.Vec, half float64, cells int) Slice {
	if normal == (rigid.Vec{}) {
		if normal = p.Axis; normal == (rigid.Vec{}) {
			normal = rigid.Vec{Z: 1}
		}
	}
	u, v := rigid.Basis(normal.Unit())
	step := 2 * half / float64(cells)
	s := Slice{U: u.Scale(step), V: v.Scale(step), Cells: cells, Least: math.Inf(1), Values: make([]float64, 0, cells*cells)}
	s.Origin = through.Sub(u.Add(v).Scale(half - step/2))
	for j := range cells {
		for i := range cells {
			rms := p.At(s.Origin.Add(s.U.Scale(float64(i))).Add(s.V.Scale(float64(j))))
			s.Values = append(s.Values, rms)
			s.Least, s.Most = math.Min(s.Least, rms), math.Max(s.Most, rms)
		}
	}
	return s
}

// Half is how far a map should reach from the pivot: so far that it shows the current pivot and much of the segment, or of what is around a joint
// without a length, which holds no skin.
func (p *Proposal) Half() float64 {
	much := 0.6 * p.size
	if p.size == 0 {
		much = p.around / 20
	}
	return math.Max(much, 1.5*p.Offset.Len())
}

// At is what turning alone would leave with the pivot at a place: of the landmarks, or without any of the joint.
func (p *Proposal) At(pivot rigid.Vec) float64 {
	if p.field == nil {
		return p.owed(pivot)
	}
	return p.field.RMS(pivot)
}
