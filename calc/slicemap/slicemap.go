// Package slicemap draws what a pivot at each place of a slice through a body would leave unexplained, with the body's
// own outline where the slice cuts it.
//
// Start at Figure; Cut is the outline alone. Lengths in cm, world space; the drawing lies in the plane of the slice. The
// values are computed elsewhere (see calc/room); here they are only laid out, so nothing in a drawing is a new number.
package slicemap

import (
	"math"

	"centrode/calc/figure"
	"centrode/calc/plane"
	"centrode/calc/quantity"
	"centrode/calc/rigid"
)

// Slice is a grid of values on a plane and the body that the plane cuts.
type Slice struct {
	Corner     rigid.Vec // middle of the first cell
	U, V       rigid.Vec // from one cell to the next, cm; at a right angle
	Cols, Rows int
	Values     []float64 // cm, row by row along U; finite
	Tolerance  float64   // cm above the least value that is still good enough
	Current    rigid.Vec // the pivot as it is
	Found      rigid.Vec // the candidate
	Positions  []float32 // the surface at rest, xyz a vertex
	Triangles  []uint32
	Name       string // what the map is of, for assistive technology
	Say        string // what can be read off it
}

// Figure draws the slice: the map with contour lines, the region that is good enough, the body's outline, both pivots
// where they lie in the plane or before it.
func Figure(s Slice) figure.Figure {
	least, most := extremes(s.Values)
	half := plane.Vec{X: s.U.Len() / 2, Y: s.V.Len() / 2}
	area := figure.Rect{Min: half.Scale(-1), Max: plane.Vec{X: s.U.Len() * (float64(s.Cols) - 0.5), Y: s.V.Len() * (float64(s.Rows) - 0.5)}}
	f := figure.Figure{Title: s.Name, Desc: s.Say, View: area}
	limit := least + s.Tolerance
	f.Marks = append(f.Marks, figure.Heat{Name: s.Name, Area: area, Cols: s.Cols, Rows: s.Rows, Values: s.Values, Levels: figure.Levels(least, most, limit, 8), Unit: "cm",
		Edges: []figure.Edge{{Role: figure.Candidate, Level: limit, Text: "up to " + quantity.Format(s.Tolerance, quantity.Length, 2) + " more", Rank: 3}}})
	for _, line := range clipped(Cut(s), area) {
		f.Marks = append(f.Marks, figure.Polyline{Role: figure.Flesh, Points: line, Heavy: true})
	}
	for _, p := range []struct {
		at    rigid.Vec
		role  figure.Role
		shape figure.Shape
		name  string
		away  plane.Vec
	}{{s.Current, figure.Current, figure.Ring, "current", plane.Vec{Y: -1}}, {s.Found, figure.Candidate, figure.Diamond, "candidate", plane.Vec{Y: 1}}} {
		if at := s.place(p.at); area.Has(at) {
			f.Marks = append(f.Marks, figure.Marker{Name: p.name, Role: p.role, Shape: p.shape, At: at}, figure.Label{Role: p.role, At: at, Text: p.name, Away: p.away, Rank: 1})
		}
	}
	return f
}

// place is where a point lies in the drawing, seen straight onto the plane.
func (s Slice) place(p rigid.Vec) plane.Vec {
	d := p.Sub(s.Corner)
	return plane.Vec{X: d.Dot(s.U.Unit()), Y: d.Dot(s.V.Unit())}
}

func extremes(values []float64) (least, most float64) {
	least, most = math.Inf(1), math.Inf(-1)
	for _, v := range values {
		least, most = min(least, v), max(most, v)
	}
	return least, most
}

// clipped parts lines where they leave the area: pieces outside are dropped, and a piece that crosses keeps its inner end.
func clipped(lines [][]plane.Vec, area figure.Rect) [][]plane.Vec {
	var kept [][]plane.Vec
	for _, line := range lines {
		var run []plane.Vec
		for _, p := range line {
			if area.Has(p) {
				run = append(run, p)
				continue
			}
			if len(run) > 1 {
				kept = append(kept, run)
			}
			run = nil
		}
		if len(run) > 1 {
			kept = append(kept, run)
		}
	}
	return kept
}
