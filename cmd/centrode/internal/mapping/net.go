package mapping

import "math"

// item is what takes a row in a column: a place, or a line that passes on its way to a later column.
type item struct {
	place  int // index; of a passing line the place it comes from
	passes bool
	column int
	band   int
	row    int   // within the band
	from   []int // items of the column before that a line comes from
}

// net is the map before it is measured.
type net struct {
	places  []Place
	items   []item // places first, in order
	columns int
	rows    []int        // of each band
	cells   [][]int      // items by band*columns + column
	ends    [][]int      // items with a line to them, by column
	tops    []float64    // rows above each band
	lines   [][2]float64 // room for those that are counted
}

func newNet(p Plan) *net {
	needs := direct(sound(p.Places))
	steps := stepsOf(needs)
	n := &net{places: p.Places, rows: make([]int, len(p.Bands))}
	for i, place := range p.Places {
		n.items = append(n.items, item{place: i, column: steps[i], band: min(max(place.Band, 0), max(len(p.Bands)-1, 0))})
		n.columns = max(n.columns, steps[i]+1)
	}
	n.join(needs)
	n.cells = make([][]int, len(p.Bands)*n.columns)
	for i, it := range n.items {
		if len(p.Bands) == 0 {
			break
		}
		cell := it.band*n.columns + it.column
		n.items[i].row = len(n.cells[cell])
		n.cells[cell] = append(n.cells[cell], i)
		n.rows[it.band] = max(n.rows[it.band], len(n.cells[cell]))
	}
	n.ends, n.tops = make([][]int, n.columns), make([]float64, len(n.rows))
	for i, it := range n.items {
		if len(it.from) > 0 {
			n.ends[it.column] = append(n.ends[it.column], i)
		}
	}
	for band := 1; band < len(n.tops); band++ {
		n.tops[band] = n.tops[band-1] + float64(n.rows[band-1])
	}
	return n
}

// join ties each place to its needs. Where columns lie between, one line passes through them for all that come from the
// same place.
func (n *net) join(needs [][]int) {
	passing := map[[2]int]int{} // place and column → item
	for i, list := range needs {
		for _, need := range list {
			at := need
			for column := n.items[need].column + 1; column < n.items[i].column; column++ {
				next, ok := passing[[2]int{need, column}]
				if !ok {
					next = len(n.items)
					n.items = append(n.items, item{place: need, passes: true, column: column, band: n.items[need].band, from: []int{at}})
					passing[[2]int{need, column}] = next
				}
				at = next
			}
			n.items[i].from = append(n.items[i].from, at)
		}
	}
}

// crossing is what two crossing lines cost, in rows of detour.
const crossing = 2

// settle exchanges rows within a column and band as long as the lines get shorter or cross less.
func (n *net) settle() {
	for range 30 { // far more rounds than are needed; each ends with a lower cost, or is the last
		better := false
		for cell := range n.cells {
			better = n.settleCell(cell) || better
		}
		if !better {
			return
		}
	}
}

// settleCell tries every exchange of two rows of one cell, an empty row included. An exchange changes the lines that end in the
// column and those that begin there, and no others.
func (n *net) settleCell(cell int) (better bool) {
	column := cell % n.columns
	near := n.ends[column:min(column+2, n.columns)]
	best := n.costOf(near)
	for _, i := range n.cells[cell] {
		for row := range n.rows[n.items[i].band] {
			was := n.items[i].row
			if row == was {
				continue
			}
			other := n.at(cell, row)
			n.items[i].row = row
			if other >= 0 {
				n.items[other].row = was
			}
			if cost := n.costOf(near); cost < best-1e-9 {
				best, better = cost, true
				continue
			}
			n.items[i].row = was
			if other >= 0 {
				n.items[other].row = row
			}
		}
	}
	return better
}

func (n *net) at(cell, row int) int {
	for _, i := range n.cells[cell] {
		if n.items[i].row == row {
			return i
		}
	}
	return -1
}

// costOf is the cost of the lines that end in some columns: the height that they climb, plus their crossings.
func (n *net) costOf(ends [][]int) float64 {
	sum := 0.0
	for _, items := range ends {
		n.lines = n.lines[:0]
		for _, i := range items {
			at := n.height(i)
			for _, from := range n.items[i].from {
				one := [2]float64{n.height(from), at}
				sum += math.Abs(one[0] - one[1])
				for _, other := range n.lines {
					if (one[0]-other[0])*(one[1]-other[1]) < 0 {
						sum += crossing
					}
				}
				n.lines = append(n.lines, one)
			}
		}
	}
	return sum
}

// height is an item's row counted from the top of the map.
func (n *net) height(i int) float64 {
	if len(n.tops) == 0 {
		return 0
	}
	return n.tops[n.items[i].band] + float64(n.items[i].row)
}
