package catalog

import (
	"errors"
	"slices"
	"strconv"
	"strings"

	"centrode/calc/quantity"
)

// Set reads text as the value of the field or table with the id and stores it. Quantities may carry a unit. A table
// is written as rows divided by ";" and cells divided by ",", in the order of the Spec's columns; trailing optional
// cells may be left out; a comma, semicolon or percent sign inside a cell is written %2C, %3B, %25. Ranges are checked
// later, by Prepare. Errors are *InputError.
func Set(spec Spec, v *Values, id, text string) error {
	if f, ok := spec.Field(id); ok {
		if f.Worded() {
			v.Choices[id] = strings.TrimSpace(text)
			return nil
		}
		n, err := quantity.Parse(text, f.Kind)
		if err != nil {
			return atField(err, id, 0)
		}
		v.Numbers[id] = n
		return nil
	}
	t, ok := spec.Table(id)
	if !ok {
		return UnknownField(spec, id)
	}
	rows, err := readRows(t, text)
	if err != nil {
		return err
	}
	v.Tables[id] = rows
	return nil
}

// atField turns a quantity's refusal into one that names the field.
func atField(err error, field string, row int) error {
	if q, ok := errors.AsType[*quantity.Error](err); ok {
		return &InputError{Field: field, Row: row, Given: quantity.Quoted(q.Given), Allowed: q.Allowed}
	}
	return err
}

func readRows(t Table, text string) (Rows, error) {
	b := NewRows(t)
	if strings.TrimSpace(text) == "" {
		return b.Rows(), nil
	}
	for line := range strings.SplitSeq(text, ";") {
		cells := strings.Split(line, ",")
		for i := range cells {
			cells[i] = Unescaped(cells[i])
		}
		if err := b.Add(cells); err != nil {
			return Rows{}, err
		}
	}
	return b.Rows(), nil
}

// RowsBuilder fills a table row by row from text cells.
type RowsBuilder struct {
	table Table
	rows  Rows
}

// NewRows returns a builder for the table.
func NewRows(t Table) *RowsBuilder {
	return &RowsBuilder{t, Rows{Numbers: map[string][]float64{}, Texts: map[string][]string{}}}
}

// Add appends one row: cells in the order of the table's columns, with units as in Set. A missing or empty optional
// cell takes the column's default; anything else missing is an *InputError with the row's number, and so is a row too many.
func (b *RowsBuilder) Add(cells []string) error {
	row := b.rows.Len + 1
	if row > b.table.MaxRows { // before more is kept
		return &InputError{Field: b.table.ID, Allowed: "must have at most " + strconv.Itoa(b.table.MaxRows) + " rows"}
	}
	if len(cells) > len(b.table.Columns) {
		return &InputError{Field: b.table.ID, Row: row, Given: strconv.Itoa(len(cells)) + " cells",
			Allowed: "must have at most " + strconv.Itoa(len(b.table.Columns)) + " cells"}
	}
	for i := range b.table.Columns {
		c, cell := &b.table.Columns[i], ""
		if i < len(cells) {
			cell = strings.TrimSpace(cells[i])
		}
		if cell == "" && !c.Optional && !c.Text {
			return &InputError{Field: b.table.ID + "." + c.ID, Row: row, Allowed: "is missing; every row needs it"}
		}
		if c.Text {
			b.rows.Texts[c.ID] = append(b.rows.Texts[c.ID], cell)
			continue
		}
		n := c.Default
		if cell != "" {
			var err error
			if n, err = quantity.Parse(cell, c.Kind); err != nil {
				return atField(err, b.table.ID+"."+c.ID, row)
			}
		}
		b.rows.Numbers[c.ID] = append(b.rows.Numbers[c.ID], n)
	}
	b.rows.Len = row
	return nil
}

// Rows returns the finished table.
func (b *RowsBuilder) Rows() Rows { return b.rows }

// State writes prepared values as the text that Set reads: one "id=value" per entry, only what differs from the
// defaults, in the Spec's order. It is the query of a link and the label of a fixture.
func State(spec Spec, v Values) []Entry {
	var out []Entry
	for _, f := range spec.Fields {
		if f.Worded() {
			if c, ok := v.Choices[f.ID]; ok && c != f.DefaultChoice {
				out = append(out, Entry{ID: f.ID, Text: c})
			}
			continue
		}
		if n, ok := v.Numbers[f.ID]; ok && n != f.Default {
			out = append(out, Entry{ID: f.ID, Text: quantity.Shortest(n)})
		}
	}
	for _, t := range spec.Tables {
		rows, ok := v.Tables[t.ID]
		if !ok {
			continue
		}
		if !sameRows(t, rows, t.Default) {
			out = append(out, Entry{ID: t.ID, Text: writeRows(t, rows)})
		}
	}
	return out
}

// sameRows reports whether two tables are written alike.
func sameRows(t Table, a, b Rows) bool {
	for j := range t.Columns {
		one, other := cellsOf(&t.Columns[j], a), cellsOf(&t.Columns[j], b)
		if !slices.Equal(one.texts, other.texts) || !slices.Equal(one.numbers, other.numbers) {
			return false
		}
	}
	return a.Len == b.Len
}

func writeRows(t Table, rows Rows) string {
	columns := make([]cells, len(t.Columns))
	for j := range columns {
		columns[j] = cellsOf(&t.Columns[j], rows)
	}
	b := make([]byte, 0, rows.Len*len(columns)*len("12.34,"))
	for i := range rows.Len {
		for j := range columns {
			if i+j > 0 {
				b = append(b, ";,"[min(j, 1)])
			}
			if c := &columns[j]; t.Columns[j].Text {
				b = append(b, escaped(c.texts[i])...)
			} else {
				b = quantity.AppendShortest(b, c.numbers[i])
			}
		}
	}
	return string(b)
}

// cells are those of one column, words or numbers.
type cells struct {
	texts   []string
	numbers []float64
}

// cellsOf finds the cells of a column; an optional one that the rows leave out holds its default.
func cellsOf(c *Column, rows Rows) cells {
	its := cells{rows.Texts[c.ID], rows.Numbers[c.ID]}
	switch {
	case c.Text && its.texts == nil:
		its.texts = make([]string, rows.Len)
	case !c.Text && its.numbers == nil:
		its.numbers = make([]float64, rows.Len)
		for i := range its.numbers {
			its.numbers[i] = c.Default
		}
	}
	return its
}

// A name may hold the signs that divide cells and rows; in a state they are written as in an address.
func escaped(name string) string { return Replaced(name, "%", "%25", ",", "%2C", ";", "%3B") }

// Unescaped undoes how a state writes the signs that divide cells and rows; that of the writing itself comes last.
func Unescaped(cell string) string {
	if strings.IndexByte(cell, '%') < 0 {
		return cell
	}
	return Replaced(cell, "%2C", ",", "%3B", ";", "%25", "%")
}

// Replaced puts the second of each pair in place of the first, one pair after the other. A strings.Replacer, whose general form a few
// signs do not need, would add 1 % to what pages load.
func Replaced(text string, pairs ...string) string {
	for i := 0; i+1 < len(pairs); i += 2 {
		text = strings.ReplaceAll(text, pairs[i], pairs[i+1])
	}
	return text
}
