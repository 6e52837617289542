package figure

import (
	"math"
	"math/bits"

	"centrode/calc/plane"
)

// ink remembers where lines run, on a coarse grid, a bit for a cell, so that the amount of line under a box is soon counted.
type ink struct {
	sheet      Rect
	cell       float64 // px
	cols, rows int
	words      int             // of a row
	cells      []uint64        // rows·words
	lines      []plane.Segment // the same to the last bit
}

// newInk makes an empty grid: cells of 4 px, larger on wide sheets, so that its cost does not grow with the screen.
func newInk(s sheet) ink {
	k := ink{sheet: s.bounds(), cell: max(4, s.width/160)}
	k.cols, k.rows = int(s.width/k.cell)+1, int(s.height/k.cell)+1
	k.words = (k.cols + 63) / 64
	k.cells = make([]uint64, k.words*k.rows)
	return k
}

// line marks the cells under a line through points.
func (k *ink) line(points ...plane.Vec) {
	for i := 1; i < len(points); i++ {
		if a, b, ok := k.sheet.clip(points[i-1], points[i]); ok {
			k.segment(a, b)
			k.lines = append(k.lines, plane.Segment{A: a, B: b})
		}
	}
}

func (k *ink) segment(a, b plane.Vec) {
	n := math.Ceil(b.Sub(a).Len() / k.cell)
	for i := 0.0; i <= n; i++ {
		p := a.Lerp(b, i/max(n, 1))
		col, row := k.index(p.X, k.cols), k.index(p.Y, k.rows)
		k.cells[row*k.words+col/64] |= 1 << (col % 64)
	}
}

func (k *ink) index(x float64, n int) int { return min(max(int(x/k.cell), 0), n-1) }

// under returns the length of line inside a box, about, in pixels.
func (k *ink) under(r Rect) float64 {
	left, right := k.index(r.Min.X, k.cols), k.index(r.Max.X, k.cols)
	top, bottom := k.index(r.Min.Y, k.rows), k.index(r.Max.Y, k.rows)
	n := 0
	for row := top; row <= bottom; row++ {
		for word := left / 64; word <= right/64; word++ {
			cells := k.cells[row*k.words+word]
			if word == left/64 {
				cells &= ^uint64(0) << (left % 64)
			}
			if word == right/64 {
				cells &= ^uint64(0) >> (63 - right%64)
			}
			n += bits.OnesCount64(cells)
		}
	}
	return float64(n) * k.cell
}

// covered returns the length of line inside a box and half a cell around it, to the last bit: what moves smoothly changes it smoothly,
// and a choice by it does not go to and fro. A line that the box all but touches counts, too: its text would seem to be about that.
func (k *ink) covered(r Rect) float64 {
	air := plane.Vec{X: k.cell, Y: k.cell}.Scale(0.5)
	r = Rect{Min: r.Min.Sub(air), Max: r.Max.Add(air)}
	sum := 0.0
	for _, l := range k.lines {
		if a, b, ok := r.clip(l.A, l.B); ok {
			sum += b.Sub(a).Len()
		}
	}
	return sum
}
