package plate

import (
	"strconv"
	"strings"

	"centrode/calc/catalog"
	"centrode/calc/quantity"
	"centrode/calc/spell"
)

// MaxPasted is the longest text of cells that is read, in bytes.
const MaxPasted = 16 << 20

// Pasted is a block of cells, read from what a spreadsheet copied or a file held.
type Pasted struct {
	// Rows are the cells as text. Headed blocks have them in the order of the table's columns; others as they stood.
	Rows [][]string
	// Headed is true when the first line named the columns.
	Headed bool
	// Unused are the names in the first line that are no column, each with the nearest one that is.
	Unused []string
}

// ReadPasted reads text as cells for the table t: lines with tabs, semicolons or commas between the cells (see Divider), with
// or without quotes, numbers alone also with spaces between them, or rows divided by semicolons and cells by commas as in a link. A first line with the columns' ids or
// labels, or with the given labels of another language in the order of the columns, says which column is which, and may
// give units: "x (mm)". Where tabs or semicolons divide, a decimal comma becomes a
// point, unless it could as well mark thousands. Empty lines are skipped.
//
// What the cells say is not judged here. Refusals are *catalog.InputError naming the table, and the row or column if
// that is known: text over MaxPasted bytes, more rows or cells than the table may have, a first line without a column
// that every row needs, a row longer than that line where commas divide, an ambiguous comma.
func ReadPasted(t catalog.Table, text string, labels ...string) (Pasted, error) {
	if len(text) > MaxPasted {
		return Pasted{}, &catalog.InputError{Field: t.ID, Given: strconv.Itoa(len(text)) + " bytes", Allowed: "must be at most " + strconv.Itoa(MaxPasted) + " bytes"}
	}
	text = spaced(t, newlines(strings.TrimPrefix(text, "\ufeff")))
	divider, byRow := dividers(t, text)
	p := Pasted{Rows: grid(text, divider, byRow)}
	if len(p.Rows) > 0 {
		if err := p.takeHeader(heads{t, labels}, divider); err != nil {
			return Pasted{}, err
		}
	}
	if len(p.Rows) > t.MaxRows {
		return Pasted{}, &catalog.InputError{Field: t.ID, Given: strconv.Itoa(len(p.Rows)) + " rows", Allowed: "must have at most " + strconv.Itoa(t.MaxRows) + " rows"}
	}
	for i, row := range p.Rows {
		if len(row) > len(t.Columns) {
			return Pasted{}, &catalog.InputError{Field: t.ID, Row: i + 1, Given: strconv.Itoa(len(row)) + " cells",
				Allowed: "must have at most " + strconv.Itoa(len(t.Columns)) + " cells, or a first line that names the columns: " + columnNames(t)}
		}
	}
	if divider != ',' {
		return p, Points(t, p.Rows)
	}
	return p, nil
}

func newlines(text string) string {
	return catalog.Replaced(text, "\r\n", "\n", "\r", "\n", "\u2028", "\n")
}

// PastedJSON is ReadPasted for the table with the id, as JSON: {"headed", "unused", "rows"} or a refusal as Solve writes it.
// labels are what the page calls the columns, a line each.
func PastedJSON(c catalog.Calculator, table, text, labels string) []byte {
	t, ok := c.Spec().Table(table)
	if !ok {
		return Refusal(catalog.UnknownField(c.Spec(), table))
	}
	p, err := ReadPasted(t, text, strings.Split(labels, "\n")...)
	if err != nil {
		return Refusal(err)
	}
	w := writer{}
	w.Open('{')
	w.Key("headed").Flag(p.Headed)
	w.Key("unused").Texts(p.Unused)
	w.Key("rows")
	w.Open('[')
	for _, row := range p.Rows {
		w.Texts(row)
	}
	w.Close(']')
	w.Close('}')
	return w.B
}

// heads are the columns of a table with what a page in another language calls them.
type heads struct {
	catalog.Table
	labels []string
}

// takeHeader recognises a first line that names columns, brings the cells into the table's order and writes the units of
// the header behind bare numbers. A line with a number in it is no header, nor is one that names no column. Where commas divide, a row
// may not have more cells than the header: a decimal comma would put its digits into the next column, and the rest would be lost.
func (p *Pasted) takeHeader(t heads, divider byte) error {
	names := p.Rows[0]
	place, units, found := make([]int, len(names)), make([]string, len(names)), false
	for i, name := range names {
		if _, err := quantity.Parse(name, quantity.Ratio); err == nil {
			return nil
		}
		place[i], units[i] = columnNamed(t, name)
		found = found || place[i] >= 0
	}
	if !found {
		return nil
	}
	if err := p.checkHeader(t.Table, names, place); err != nil {
		return err
	}
	p.Headed = true
	rows := make([][]string, 0, len(p.Rows)-1)
	for r, cells := range p.Rows[1:] {
		if divider == ',' && len(cells) > len(names) {
			return &catalog.InputError{Field: t.ID, Row: r + 1, Given: strconv.Itoa(len(cells)) + " cells",
				Allowed: "must have at most the " + strconv.Itoa(len(names)) + " of the first line; write decimals with a point"}
		}
		row := make([]string, len(t.Columns))
		for i, cell := range cells {
			if i < len(place) && place[i] >= 0 {
				row[place[i]] = WithUnit(cell, units[i])
			}
		}
		rows = append(rows, row)
	}
	p.Rows = rows
	return nil
}

func (p *Pasted) checkHeader(t catalog.Table, names []string, place []int) error {
	has := make([]bool, len(t.Columns))
	for i, at := range place {
		switch {
		case at < 0 && names[i] != "":
			p.Unused = append(p.Unused, clip(oneCell(names[i]))+spell.Offer(strings.ToLower(names[i]), t.IDs()))
		case at >= 0 && has[at]:
			return &catalog.InputError{Field: t.ID + "." + t.Columns[at].ID, Allowed: "must stand only once in the first line"}
		case at >= 0:
			has[at] = true
		}
	}
	for i, c := range t.Columns {
		if !has[i] && !c.Optional {
			return &catalog.InputError{Field: t.ID + "." + c.ID, Allowed: "is missing from the first line; the columns are " + columnNames(t)}
		}
	}
	return nil
}

// Named is what the first line of a text is read by, for readers of their own: see columnNamed.
func Named(t catalog.Table, head string) (at int, unit string) {
	return columnNamed(heads{Table: t}, head)
}

// Unmeasured is a head without the unit that stands behind its name, whatever that is.
func Unmeasured(head string) string {
	return strings.TrimSpace(head[:strings.IndexAny(head+"(", "([,/")])
}

// Mismeasured says what is wrong with a head that names a column, but with a unit that is none of it; nil for others.
func Mismeasured(t catalog.Table, head string) error {
	at, unit := named(heads{Table: t}, head, func(c catalog.Column, unit string) bool { return unit != "" && measured(unit, c.Kind) != nil })
	if at < 0 || unit == "" {
		return nil
	}
	return measured(unit, t.Columns[at].Kind)
}

// columnNamed finds the column that a head names by id or label, and the unit that it gives; -1 when there is none.
func columnNamed(t heads, head string) (at int, unit string) {
	return named(t, head, func(c catalog.Column, unit string) bool { return measured(unit, c.Kind) == nil })
}

// named is columnNamed for units that fit.
func named(t heads, head string, fits func(c catalog.Column, unit string) bool) (at int, unit string) {
	name := strings.ToLower(strings.TrimSpace(head))
	if at = columnAt(t, name); at >= 0 {
		return at, ""
	}
	for _, form := range [][2]string{{"(", ")"}, {"[", "]"}, {",", ""}, {" in ", ""}, {"/", ""}} {
		before, inside, ok := strings.Cut(name, form[0])
		if !ok || !strings.HasSuffix(inside, form[1]) {
			continue
		}
		unit = strings.TrimSpace(strings.TrimSuffix(inside, form[1]))
		if at = columnAt(t, strings.TrimSpace(before)); at >= 0 && !t.Columns[at].Text && fits(t.Columns[at], unit) {
			return at, unit
		}
	}
	return -1, ""
}

func columnAt(t heads, name string) int {
	for i, c := range t.Columns {
		if name == strings.ToLower(c.ID) || name == strings.ToLower(c.Label) || i < len(t.labels) && name != "" && name == strings.ToLower(t.labels[i]) {
			return i
		}
	}
	return -1
}

// measured says why the unit is none of the kind; nil where it is one.
func measured(unit string, kind quantity.Kind) error {
	_, err := quantity.Parse("1 "+unit, kind)
	return err
}

// WithUnit writes a header's unit behind a number that has none of its own.
func WithUnit(cell, unit string) string {
	if cell == "" || unit == "" || bare(cell) != cell {
		return cell
	}
	return cell + " " + unit
}

// columnNames lists the columns in words: "pose, x, y, z and, if there is one, weight".
func columnNames(t catalog.Table) string {
	var needed, more []string
	for _, c := range t.Columns {
		if c.Optional {
			more = append(more, c.ID)
		} else {
			needed = append(needed, c.ID)
		}
	}
	text := strings.Join(needed, ", ")
	if len(more) > 0 {
		text += " and, where there are any, " + strings.Join(more, ", ")
	}
	return text
}
