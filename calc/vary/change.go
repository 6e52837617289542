package vary

import (
	"math"
	"strings"

	"centrode/calc/catalog"
	"centrode/calc/quantity"
)

// change is one draw: what becomes of the numbers of a question and of its mistakes.
type change struct {
	factor float64
	fields map[string]float64             // new values of the fields that are drawn by themselves
	cells  map[string]map[float64]float64 // for each table that wobbles: what becomes of a size
}

// The factors by which lengths grow, in steps of a fiftieth: enough to be another character, not another kind of one.
const (
	leastFactor = 0.7
	factorStep  = 0.02
	factors     = 36
)

// change draws.
func (q Question) change(spec catalog.Spec, random *stream) change {
	by := change{factor: 1, fields: map[string]float64{}, cells: map[string]map[float64]float64{}}
	for math.Abs(by.factor-1) < 0.05 {
		by.factor = rounded(leastFactor+factorStep*float64(random.below(factors)), 2)
	}
	for _, r := range q.Ranges {
		if f, ok := spec.Field(r.Field); ok && len(f.Choices) > 0 {
			continue
		}
		steps := int(math.Floor((r.To-r.From)/r.Step+1e-9)) + 1
		by.fields[r.Field] = rounded(r.From+r.Step*float64(random.below(steps)), 6)
	}
	for _, w := range q.Wobbles {
		by.cells[w.Table] = wobble(q.Given.Tables[w.Table], w.Share, spec, w.Table, random)
	}
	return by
}

// wobble draws a new size for each size in a table, in the order of its columns.
func wobble(rows catalog.Rows, share float64, spec catalog.Spec, table string, random *stream) map[float64]float64 {
	sizes := map[float64]float64{}
	t, _ := spec.Table(table)
	for _, c := range t.Columns {
		for _, v := range rows.Numbers[c.ID] {
			size := math.Abs(v)
			if _, known := sizes[size]; size == 0 || known {
				continue
			}
			part := share * (2*float64(random.below(41))/40 - 1)
			if c.Kind == quantity.Length {
				sizes[size] = round(size*(1+part), size)
			} else {
				sizes[size] = roundTo(size*(1+part), decimalsOf([]float64{size}, 0))
			}
		}
	}
	return sizes
}

// values applies the change to values that are those of the question, printed, or of one of its mistakes.
func (by change) values(spec catalog.Spec, printed, given catalog.Values) catalog.Values {
	out := given.Clone()
	for _, f := range spec.Fields {
		v, ok := given.Numbers[f.ID]
		if !ok {
			continue
		}
		fresh, drawn := by.fields[f.ID]
		switch {
		case drawn:
			out.Numbers[f.ID] = follow(v, printed.Numbers[f.ID], fresh)
		case f.Kind == quantity.Length:
			out.Numbers[f.ID] = Grown(v, by.factor)
		}
	}
	for _, t := range spec.Tables {
		if rows, ok := given.Tables[t.ID]; ok {
			out.Tables[t.ID] = by.rows(t, rows)
		}
	}
	return out
}

// follow returns what a mistake makes of an input that is drawn by itself. Where it turned, doubled, halved, converted or
// complemented the printed value, it does the same to the fresh one; a value of its own it keeps.
func follow(v, printed, fresh float64) float64 {
	for _, times := range [...]float64{1, -1, 2, -2, 0.5, -0.5, 180 / math.Pi, math.Pi / 180} {
		if math.Abs(v-times*printed) <= 1e-9*math.Abs(v) {
			return times * fresh
		}
	}
	for _, whole := range [...]float64{1, 180} { // a fraction counted from the other side; the other angle on a line
		if math.Abs(v-(whole-printed)) <= 1e-9 {
			return whole - fresh
		}
	}
	return v
}

func (by change) rows(t catalog.Table, rows catalog.Rows) catalog.Rows {
	out := catalog.Rows{Len: rows.Len, Texts: rows.Texts, Numbers: map[string][]float64{}}
	sizes := by.cells[t.ID] // nil when the table does not wobble; one that does keeps its size
	for _, c := range t.Columns {
		column, ok := rows.Numbers[c.ID]
		if !ok {
			continue
		}
		fresh := make([]float64, len(column))
		for i, v := range column {
			size, drawn := sizes[math.Abs(v)]
			switch {
			case drawn:
				fresh[i] = math.Copysign(size, v)
			case sizes == nil && c.Kind == quantity.Length && by.factor != 1:
				fresh[i] = roundTo(v*by.factor, decimalsOf(column, 2))
			default:
				fresh[i] = v
			}
		}
		out.Numbers[c.ID] = fresh
	}
	return out
}

// Grown returns a length of an exercise when all of them have grown by the factor, rounded as a person would.
func Grown(length, factor float64) float64 {
	if factor == 1 {
		return length
	}
	return round(length*factor, length)
}

// round rounds as finely as the author wrote like, and a length of everyday size to hundredths at least.
func round(v, like float64) float64 {
	least := 2
	switch size := math.Abs(like); {
	case size >= 100:
		least = 1
	case size < 0.2:
		least = 3
	}
	return roundTo(v, decimalsOf([]float64{like}, least))
}

func roundTo(v float64, digits int) float64 { return rounded(v, digits) }

// rounded rounds to decimals. The result is the number that those decimals are read as, so that it prints in as many.
func rounded(v float64, digits int) float64 {
	unit := 1.0
	for range digits {
		unit *= 10
	}
	return math.Round(v*unit)/unit + 0
}

// decimalsOf is how many decimals the numbers were written with, at least so many and at most six.
func decimalsOf(list []float64, least int) int {
	for _, v := range list {
		_, after, _ := strings.Cut(quantity.Shortest(v), ".")
		least = max(least, min(len(after), 6))
	}
	return least
}
