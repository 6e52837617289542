package plate

import (
	"strconv"
	"strings"

	"centrode/calc/catalog"
	"centrode/calc/quantity"
)

// Entries returns what every input of a form shows: a number in the field's base unit, shortest digits and at most
// twelve significant ones (so that 12 mm shows as 1.2 and not as 1.2000000000000002); a choice by its id; a table
// with one row a line and cells divided by ", ", names written as in a state.
func Entries(a catalog.Answer) []catalog.Entry {
	var list []catalog.Entry
	for _, f := range a.Spec.Fields {
		if f.Worded() {
			list = append(list, catalog.Entry{ID: f.ID, Text: a.Values.Choices[f.ID]})
			continue
		}
		list = append(list, catalog.Entry{ID: f.ID, Text: quantity.Shortest(significant(a.Values.Numbers[f.ID]))})
	}
	for _, t := range a.Spec.Tables {
		list = append(list, catalog.Entry{ID: t.ID, Text: lines(t, a.Values.Tables[t.ID])})
	}
	return list
}

// significant rounds v to twelve significant digits.
func significant(v float64) float64 {
	short, err := strconv.ParseFloat(strconv.FormatFloat(v, 'g', 12, 64), 64)
	if err != nil {
		return v
	}
	return short
}

func lines(t catalog.Table, rows catalog.Rows) string {
	short := catalog.Rows{Len: rows.Len, Texts: rows.Texts, Numbers: map[string][]float64{}}
	for id, column := range rows.Numbers {
		rounded := make([]float64, len(column))
		for i, v := range column {
			rounded[i] = significant(v)
		}
		short.Numbers[id] = rounded
	}
	return strings.NewReplacer(";", "\n", ",", ", ").Replace(tableText(t, short))
}

// tableText is the text by which a state holds the rows of a table, the default ones included.
func tableText(t catalog.Table, rows catalog.Rows) string {
	t.Default = catalog.Rows{}
	values := catalog.NewValues()
	values.Tables[t.ID] = rows
	for _, e := range catalog.State(catalog.Spec{Tables: []catalog.Table{t}}, values) {
		return e.Text
	}
	return ""
}

// MaxRows is how many rows of an answer table a plate prints; the rest is in the CSV.
const MaxRows = 24

// Table is an answer table as a plate prints it.
type Table struct {
	ID, Label string
	Head      []string
	Rows      [][]string // formatted with units; at most MaxRows
	Left      int        // rows of the answer that are not among Rows
}

// Tables returns the answer tables of a, in the Spec's order; those that the answer does not have are left out.
func Tables(a catalog.Answer) []Table {
	var list []Table
	for _, t := range a.Spec.Answers {
		rows, ok := a.Result.Tables[t.ID]
		if !ok {
			continue
		}
		shown := min(rows.Len, MaxRows)
		table := Table{ID: t.ID, Label: t.Label, Left: rows.Len - shown}
		for _, c := range t.Columns {
			table.Head = append(table.Head, c.Label)
		}
		for i := range shown {
			table.Rows = append(table.Rows, cellsOf(t, rows, i))
		}
		list = append(list, table)
	}
	return list
}

func cellsOf(t catalog.Table, rows catalog.Rows, i int) []string {
	cells := make([]string, 0, len(t.Columns))
	for _, c := range t.Columns {
		texts, numbers := rows.Texts[c.ID], rows.Numbers[c.ID]
		switch {
		case c.Text && i < len(texts):
			cells = append(cells, texts[i])
		case i < len(numbers) && numbers[i] == numbers[i]: // not NaN, which an optional cell may hold
			cells = append(cells, quantity.Format(numbers[i], c.Kind, c.Digits))
		default:
			cells = append(cells, None)
		}
	}
	return cells
}
