package plate

import (
	"strconv"
	"strings"

	"centrode/calc/catalog"
	"centrode/calc/quantity"
)

// Entries returns what every input of a form shows: a number in the field's base unit, shortest digits and at most
// twelve significant ones (so that sums of binary fractions show as they were meant); a choice by its id; a table with a
// row on each line and tabs between the cells, as spreadsheets copy them.
func Entries(a catalog.Answer) []catalog.Entry {
	var list []catalog.Entry
	for _, f := range a.Spec.Fields {
		if f.Worded() {
			list = append(list, catalog.Entry{ID: f.ID, Text: a.Values.Choices[f.ID]})
			continue
		}
		list = append(list, catalog.Entry{ID: f.ID, Text: quantity.Shortest(quantity.Significant(a.Values.Numbers[f.ID]))})
	}
	for _, t := range a.Spec.Tables {
		list = append(list, catalog.Entry{ID: t.ID, Text: lines(t, a.Values.Tables[t.ID])})
	}
	return list
}

// Typed returns what the inputs for lengths and areas show in the units that the reader chose; none for centimetres, where that is
// what Entries gives.
func Typed(a catalog.Answer) []catalog.Entry {
	var list []catalog.Entry
	for _, f := range a.Spec.Fields {
		if a.Values.Units.Change(f.Kind) {
			list = append(list, catalog.Entry{ID: f.ID, Text: a.Values.Units.Typed(a.Values.Numbers[f.ID], f.Kind)})
		}
	}
	return list
}

// lines writes the rows of an input table; a tab or line feed inside a name becomes a space.
func lines(t catalog.Table, rows catalog.Rows) string {
	b := make([]byte, 0, rows.Len*len(t.Columns)*len("12.34\t"))
	for i := range rows.Len {
		if i > 0 {
			b = append(b, '\n')
		}
		for j := range t.Columns {
			c := &t.Columns[j]
			if j > 0 {
				b = append(b, '\t')
			}
			if c.Text {
				b = append(b, oneCell(rows.Texts[c.ID][i])...)
			} else {
				b = quantity.AppendShortest(b, quantity.Significant(rows.Numbers[c.ID][i]))
			}
		}
	}
	return string(b)
}

func oneCell(text string) string { return catalog.Replaced(text, "\t", " ", "\n", " ", "\r", " ") }

// MaxRows is how many rows of an answer table a plate prints; the rest is in the CSV.
const MaxRows = 24

// Heading is the head of a column: its label, the unit of its numbers, and whether it holds words instead.
type Heading struct {
	_               catalog.Uncompared
	ID, Label, Unit string
	Text, Named     bool
}

// Table is an answer table as a plate prints it, or the numbered columns of one, which stand in a table of their own.
type Table struct {
	ID    string // of the answer table
	Key   string // unique among the tables of an answer: the ID, or the ID and the letter of the numbered columns
	Label string
	Part  bool // numbered columns, taken out of the table with the same ID
	Head  []Heading
	Rows  [][]string // rounded to the columns' digits, without units; at most MaxRows
	Left  int        // rows of the answer that are not among Rows
}

// Tables returns the answer tables of a, in the Spec's order; those that the answer does not have are left out. Eight or
// more columns that are numbered from 0 (m0, m1, …) become a table of their own, with the first column beside them.
func Tables(a catalog.Answer) []Table {
	var list []Table
	for _, t := range a.Spec.Answers {
		rows, ok := a.Result.Tables[t.ID]
		if !ok {
			continue
		}
		from, to := numbered(t.Columns)
		if from == to {
			list = append(list, printed(t, t.Columns, rows))
			continue
		}
		rest := append(append([]catalog.Column{}, t.Columns[:from]...), t.Columns[to:]...)
		part := printed(t, append([]catalog.Column{t.Columns[0]}, t.Columns[from:to]...), rows)
		first, last := t.Columns[from], t.Columns[to-1]
		part.Key, part.Part, part.Label = t.ID+"-"+strings.TrimRight(first.ID, "0"), true, t.Label+": "+first.Label+" … "+last.Label
		list = append(list, printed(t, rest, rows), part)
	}
	return list
}

// numbered finds the columns that share a stem and count from 0; from == to when there are fewer than eight.
func numbered(columns []catalog.Column) (from, to int) {
	const least = 8
	for i, c := range columns {
		stem, ok := strings.CutSuffix(c.ID, "0")
		if !ok || stem == "" || i == 0 {
			continue
		}
		end := i
		for end < len(columns) && columns[end].ID == stem+strconv.Itoa(end-i) {
			end++
		}
		if end-i >= least {
			return i, end
		}
	}
	return 0, 0
}

func printed(t catalog.Table, columns []catalog.Column, rows catalog.Rows) Table {
	shown := min(rows.Len, MaxRows)
	table := Table{ID: t.ID, Key: t.ID, Label: t.Label, Left: rows.Len - shown, Head: Headings(columns)}
	for i := range shown {
		table.Rows = append(table.Rows, cellsOf(columns, rows, i))
	}
	return table
}

// Headings returns the heads of columns.
func Headings(columns []catalog.Column) []Heading {
	var list []Heading
	for _, c := range columns {
		h := Heading{ID: c.ID, Label: c.Label, Text: c.Text, Named: c.Named}
		if !c.Text {
			h.Unit = c.Kind.Unit()
		}
		list = append(list, h)
	}
	return list
}

func cellsOf(columns []catalog.Column, rows catalog.Rows, i int) []string {
	cells := make([]string, 0, len(columns))
	for _, c := range columns {
		texts, numbers := rows.Texts[c.ID], rows.Numbers[c.ID]
		switch {
		case c.Text && i < len(texts):
			cells = append(cells, texts[i])
		case i < len(numbers) && numbers[i] == numbers[i]: // not NaN, which an optional cell may hold
			cells = append(cells, quantity.Number(numbers[i], c.Digits))
		default:
			cells = append(cells, None)
		}
	}
	return cells
}
