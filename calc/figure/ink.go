package figure

import (
	"math"

	"centrode/calc/plane"
)

// ink remembers where lines run, on a coarse grid, so that the amount of line under a box is known in constant time
// (a summed-area table).
type ink struct {
	sheet      Rect
	cell       float64 // px
	cols, rows int
	cells      []int32 // (rows+1)·(cols+1): the first row and column stay 0 for the sums
}

// newInk makes an empty grid: cells of 4 px, larger on wide sheets, so that its cost does not grow with the screen.
func newInk(s sheet) ink {
	k := ink{sheet: s.bounds(), cell: max(4, s.width/160)}
	k.cols, k.rows = int(s.width/k.cell)+1, int(s.height/k.cell)+1
	k.cells = make([]int32, (k.cols+1)*(k.rows+1))
	return k
}

// line marks the cells under a line through points. Call it before sum.
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
		k.cells[(row+1)*(k.cols+1)+col+1] = 1
	}
}

func (k *ink) index(x float64, n int) int { return min(max(int(x/k.cell), 0), n-1) }

// sum turns marks into running totals.
func (k *ink) sum() {
	stride := k.cols + 1
	for row := 1; row <= k.rows; row++ {
		var run int32
		for i := row*stride + 1; i < (row+1)*stride; i++ {
			run += k.cells[i]
			k.cells[i] = run + k.cells[i-stride]
		}
	}
}

// under returns the length of line inside a box, about, in pixels.
func (k *ink) under(r Rect) float64 {
	stride := k.cols + 1
	left, right := k.index(r.Min.X, k.cols), k.index(r.Max.X, k.cols)+1
	top, bottom := k.index(r.Min.Y, k.rows), k.index(r.Max.Y, k.rows)+1
	n := k.cells[bottom*stride+right] - k.cells[top*stride+right] - k.cells[bottom*stride+left] + k.cells[top*stride+left]
	return float64(n) * k.cell
}
