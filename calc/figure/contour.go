package figure

import "centrode/calc/plane"

// contours returns the lines on which the grid, read linearly between cell centres, has the level: chains of points in
// units of cells, (0, 0) being the centre of the first cell. A closed line ends where it starts. A saddle is resolved
// by the mean of its four corners. Values that are not finite end a line. Marching squares; O(cells). It needs g.next.
func (g grid) contours(level float64) [][]plane.Vec {
	w := walk{grid: g, level: level}
	for row := 0; row+1 < g.rows; row++ {
		low, high := g.values[row*g.cols:(row+1)*g.cols], g.values[(row+1)*g.cols:(row+2)*g.cols]
		wasLow, wasHigh := low[0] >= level, high[0] >= level
		for col := 1; col < g.cols; col++ {
			isLow, isHigh := low[col] >= level, high[col] >= level
			if isLow != wasLow || isHigh != wasHigh || isLow != isHigh { // else all four on one side, as nearly all squares are
				w.square(col-1, row)
			}
			wasLow, wasHigh = isLow, isHigh
		}
	}
	var chains [][]plane.Vec
	for pass := 0; pass < 2 && w.linked > 0; pass++ { // open lines from their ends first, then what is left is closed
		for edge := 0; edge < len(w.next) && w.linked > 0; edge++ {
			if n := w.next[edge]; n[0] != 0 && (pass == 1 || n[1] == 0) {
				chains = append(chains, w.follow(int32(edge)))
			}
		}
	}
	return chains
}

// walk links the crossings of one level. A crossing is named by its grid edge: 2·cell for the edge to the right of the
// cell's centre, 2·cell+1 for the one above.
type walk struct {
	grid
	level  float64
	linked int // crossings that no chain has taken yet
}

// links holds the up to two neighbours of each crossing, plus one so that 0 means none. Where all chains are taken none is left, so
// that one is enough for all levels of a grid.
type links [][2]int32

func newLinks(cols, rows int) links { return make(links, 2*cols*rows) }

// square links the crossings on the four sides of the square between four cell centres.
func (w *walk) square(col, row int) {
	corners := [4]float64{w.at(col, row), w.at(col+1, row), w.at(col+1, row+1), w.at(col, row+1)}
	cell := int32(row*w.cols + col)
	up := cell + int32(w.cols)
	sides := [4]int32{2 * cell, 2*(cell+1) + 1, 2 * up, 2*cell + 1} // below, right, above, left
	var cut [4]int32
	n, total := 0, 0.0
	for i, v := range corners {
		total += v / 4
		if (v >= w.level) != (corners[(i+1)%4] >= w.level) {
			cut[n] = sides[i]
			n++
		}
	}
	if total-total != 0 { // a corner is not finite
		return
	}
	switch {
	case n == 2:
		w.link(cut[0], cut[1])
	case n == 4 && (total >= w.level) == (corners[0] >= w.level):
		w.link(cut[0], cut[1])
		w.link(cut[2], cut[3])
	case n == 4:
		w.link(cut[3], cut[0])
		w.link(cut[1], cut[2])
	}
}

func (w *walk) link(a, b int32) {
	w.add(a, b)
	w.add(b, a)
}

func (w *walk) add(from, to int32) {
	n := &w.next[from]
	if n[0] == 0 {
		w.linked++
		n[0] = to + 1
		return
	}
	n[1] = to + 1
}

// follow collects the chain that starts at an edge and unlinks it.
func (w *walk) follow(edge int32) []plane.Vec {
	var chain []plane.Vec
	for previous := int32(-1); ; {
		chain = append(chain, w.crossing(edge))
		n := w.next[edge]
		w.next[edge] = [2]int32{}
		w.linked--
		following := n[0] - 1
		if following == previous || following < 0 {
			following = n[1] - 1
		}
		if following < 0 {
			return chain
		}
		if w.next[following] == ([2]int32{}) { // back at the start
			return append(chain, w.crossing(following))
		}
		previous, edge = edge, following
	}
}

// crossing is the point of an edge at which the level lies.
func (w *walk) crossing(edge int32) plane.Vec {
	cell := int(edge / 2)
	col, row := cell%w.cols, cell/w.cols
	a := w.at(col, row)
	if edge%2 == 0 {
		return plane.Vec{X: float64(col) + fraction(a, w.at(col+1, row), w.level), Y: float64(row)}
	}
	return plane.Vec{X: float64(col), Y: float64(row) + fraction(a, w.at(col, row+1), w.level)}
}

// fraction is where between a and b the level lies; halves keep the difference from overflowing.
func fraction(a, b, level float64) float64 { return (level/2 - a/2) / (b/2 - a/2) }

// toEdges is g with a row or a column more on each side, which stands half a cell from its neighbour: on the map's edge. What it has
// there goes on evenly from the two nearest cells, so that contour lines end on the frame.
func (g grid) toEdges() grid {
	wide := grid{cols: g.cols + 2, rows: g.rows + 2, next: newLinks(g.cols+2, g.rows+2)}
	wide.values = make([]float64, 0, wide.cols*wide.rows)
	for i := range wide.cols * wide.rows {
		x, y := i%wide.cols-1, i/wide.cols-1
		if x >= 0 && x < g.cols && y >= 0 && y < g.rows {
			wide.values = append(wide.values, g.values[y*g.cols+x])
			continue
		}
		u, v := max(-0.5, min(float64(x), float64(g.cols)-0.5)), max(-0.5, min(float64(y), float64(g.rows)-0.5))
		wide.values = append(wide.values, g.between(u, v))
	}
	return wide
}
