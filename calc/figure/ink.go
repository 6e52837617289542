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
	words      int      // of a row
	cells      []uint64 // rows·words
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
