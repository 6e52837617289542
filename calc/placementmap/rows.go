package placementmap

import (
	"math"

	"centrode/calc/catalog"
	"centrode/calc/centre"
	"centrode/calc/figure"
	"centrode/calc/plane"
	"centrode/calc/quantity"
)

// roughCells is how many cells a side a map has while something moves: few enough for each frame, enough for its shape.
const roughCells = 24

// mostWork is how many poses all cells of a map may ask together, some four seconds of a core. The most cells and the most rows of
// landmarks together would take an hour without a word.
const mostWork = 40_000_000

// rows is a map in the making, one row of cells after the other.
type rows struct {
	values catalog.Values
	grid   Grid
	field  *Field
	fit    centre.Fit
	cells  []float64
	done   int
}

func begin(v catalog.Values) (*rows, error) {
	grid, err := ReadGrid(v)
	if err != nil {
		return nil, err
	}
	field, fit, err := ReadField(v)
	if err != nil {
		return nil, err
	}
	if side := int(math.Sqrt(float64(mostWork / len(field.pairs)))); grid.Cells > side {
		return nil, &catalog.InputError{Field: "cells", Given: quantity.Shortest(float64(grid.Cells)),
			Allowed: "must be at most " + quantity.Shortest(float64(side)) + " for " + quantity.Shortest(float64(len(field.pairs))) + " poses: each cell asks every pose"}
	}
	return &rows{v, grid, field, fit, make([]float64, 0, grid.Cells*grid.Cells), 0}, nil
}

// Stages implements catalog.Staged: each row of cells is one.
func (Calculator) Stages(v catalog.Values) (catalog.Stages, error) {
	r, err := begin(v)
	if err != nil {
		return nil, err // and not a nil pointer in an interface
	}
	return r, nil
}

// Rough implements catalog.Staged: at most 24 cells a side.
func (Calculator) Rough(v catalog.Values) catalog.Values {
	rough := v.Clone()
	rough.Numbers["cells"] = math.Min(roughCells, v.Numbers["cells"])
	return rough
}

// Total is the number of rows.
func (r *rows) Total() int { return r.grid.Cells }

// Next computes one more row.
func (r *rows) Next() {
	r.cells = r.grid.Row(r.field, r.done, r.cells)
	r.done++
}

// Result summarises all rows.
func (r *rows) Result() catalog.Result {
	return Summarise(r.values, r.grid, r.field, r.fit, r.cells)
}

// View implements catalog.Probed: the mapped region with the numbers at its edges.
func (Calculator) View(v catalog.Values) figure.Rect { return withEdges(region(v), v.Units) }

// region is what is mapped.
func region(v catalog.Values) figure.Rect {
	n := v.Numbers
	return figure.Rect{Min: plane.Vec{X: n["min_u"], Y: n["min_v"]}, Max: plane.Vec{X: n["max_u"], Y: n["max_v"]}}
}

// Probe implements catalog.Probed: where the point lies, and what rotation alone would leave with the pivot there. The
// value is computed at the point itself and not read from the nearest cell.
func (c Calculator) Probe(v catalog.Values, x, y float64) string {
	area, name := region(v), v.Choices["plane"]
	if !(x >= area.Min.X && x <= area.Max.X && y >= area.Min.Y && y <= area.Max.Y) {
		return ""
	}
	grid, err := ReadGrid(v)
	if err != nil {
		return ""
	}
	field, _, err := ReadField(v)
	if err != nil {
		return ""
	}
	return name[:1] + " " + v.Units.Format(x, quantity.Length, 2) + ", " + name[1:] + " " + v.Units.Format(y, quantity.Length, 2) +
		": rotation alone leaves " + v.Units.Format(field.RMS(grid.At(x, y)), quantity.Length, 3) + "."
}
