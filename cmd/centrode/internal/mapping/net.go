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
	rows    []int   // of each band
	cells   [][]int // items by band*columns + column
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
	best := n.cost()
	for range 30 { // far more rounds than are needed; each ends with a lower cost, or is the last
		before := best
		for cell := range n.cells {
			best = n.settleCell(cell, best)
		}
		if best > before-1e-9 {
			return
		}
	}
}

// settleCell tries every exchange of two rows of one cell, an empty row included.
func (n *net) settleCell(cell int, best float64) float64 {
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
			if cost := n.cost(); cost < best-1e-9 {
				best = cost
				continue
			}
			n.items[i].row = was
			if other >= 0 {
				n.items[other].row = row
			}
		}
	}
	return best
}

func (n *net) at(cell, row int) int {
	for _, i := range n.cells[cell] {
		if n.items[i].row == row {
			return i
		}
	}
	return -1
}

// cost is the height that all lines climb, plus their crossings.
func (n *net) cost() float64 {
	heights := n.heights()
	lines := make([][][2]float64, n.columns) // by the column they end in
	sum := 0.0
	for i, it := range n.items {
		for _, from := range it.from {
			one := [2]float64{heights[from], heights[i]}
			sum += math.Abs(one[0] - one[1])
			for _, other := range lines[it.column] {
				if (one[0]-other[0])*(one[1]-other[1]) < 0 {
					sum += crossing
				}
			}
			lines[it.column] = append(lines[it.column], one)
		}
	}
	return sum
}

// heights are the rows counted from the top of the map.
func (n *net) heights() []float64 {
	top := make([]float64, len(n.rows))
	for band := 1; band < len(top); band++ {
		top[band] = top[band-1] + float64(n.rows[band-1])
	}
	list := make([]float64, len(n.items))
	for i, it := range n.items {
		if len(top) > 0 {
			list[i] = top[it.band] + float64(it.row)
		}
	}
	return list
}
