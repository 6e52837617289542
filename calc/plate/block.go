package plate

import (
	"strings"

	"centrode/calc/catalog"
	"centrode/calc/quantity"
)

// Divider finds what stands between the cells of a text, by its first line that has several: tabs outrank semicolons and those outrank
// commas, since a comma may be a decimal one; but a tab right behind one of those is a space. What a cell holds in quotes divides nothing.
// It is a comma where nothing divides.
func Divider(text string) byte {
	found, begins := byte(0), true
	for i := 0; i < len(text); i++ {
		switch c := text[i]; {
		case c == '"' && begins:
			if _, after, ok := quotedCell(text[i+1:]); ok {
				i = len(text) - len(after) - 1
			}
			begins = false
		case c == '\t' && begins && found != 0: // it sets the columns of a text under each other, like spaces behind a comma
		case c == '\t':
			return c
		case c == ';', c == ',':
			if begins = true; found != ';' {
				found = c
			}
		case c == '\n' && found != 0:
			return found
		default:
			begins = c == '\n' || c == ' ' && begins
		}
	}
	if found == 0 {
		return ','
	}
	return found
}

// dividers finds what stands between the cells, and whether semicolons stand between the rows, as they do in a link.
func dividers(t catalog.Table, text string) (cell byte, byRow bool) {
	if cell = Divider(text); cell == ';' && isLinkForm(t, text) {
		return ',', true
	}
	return cell, false
}

// neededCells counts the columns that every row must have.
func neededCells(t catalog.Table) (needed int) {
	for _, c := range t.Columns {
		if !c.Optional {
			needed++
		}
	}
	return needed
}

// Spaced returns what stands in the first line of a text that has nothing but spaces to divide its cells; none where something else may.
func Spaced(text []byte) []string {
	line, _, _ := strings.Cut(newlines(strings.TrimSpace(strings.TrimPrefix(string(text), "\ufeff"))), "\n")
	if strings.ContainsAny(line, dividing) {
		return nil
	}
	return strings.Fields(line)
}

// Tabbed is a text with tabs between cells that nothing but spaces divides; ok is false where it is none of that kind.
func Tabbed(t catalog.Table, text string) (tabbed string, ok bool) {
	text = newlines(strings.TrimPrefix(text, "\ufeff"))
	tabbed = spaced(t, text)
	return tabbed, tabbed != text
}

const dividing = "\t,;\""

// spaced puts tabs between cells that nothing but spaces divides, as programs print lists of numbers: each line has as many as the
// table asks for, and below a line of names stand numbers alone. Any other text stays as it is: a space may also stand before a unit.
func spaced(t catalog.Table, text string) string {
	if strings.ContainsAny(text, dividing) {
		return text
	}
	var out []byte
	begun := false
	for line := range strings.SplitSeq(text, "\n") {
		cells := strings.Fields(line)
		if n := len(cells); n > len(t.Columns) || n > 0 && n < neededCells(t) {
			return text
		}
		names := !begun && !strings.ContainsAny(line, "0123456789")
		for i, cell := range cells {
			if t.Columns[i].Text || !names && strings.Trim(cell, "0123456789.+-eE−") != "" {
				return text
			}
			if i > 0 {
				out = append(out, '\t')
			}
			out = append(out, cell...)
		}
		begun = begun || len(cells) > 0
		out = append(out, '\n')
	}
	return string(out)
}

// isLinkForm recognises rows divided by semicolons on one line: each has as many cells as the table asks for.
func isLinkForm(t catalog.Table, text string) bool {
	needed := neededCells(t)
	text = strings.TrimSpace(text)
	if strings.Contains(text, "\n") || !strings.Contains(text, ",") {
		return false
	}
	for row := range strings.SplitSeq(strings.TrimSuffix(text, ";"), ";") {
		if cells := 1 + strings.Count(row, ","); cells < needed || cells > len(t.Columns) {
			return false
		}
	}
	return true
}

// grid splits text into rows of trimmed cells. A cell in double quotes may hold dividers and line feeds; two quotes are
// one. Empty rows and empty cells at the end of a row are left out.
func grid(text string, divider byte, byRow bool) [][]string {
	var rows [][]string
	var row []string
	endCell := func(cell string) {
		if byRow {
			cell = catalog.Unescaped(cell)
		}
		row = append(row, tidyCell(cell))
	}
	endRow := func() {
		for len(row) > 0 && row[len(row)-1] == "" {
			row = row[:len(row)-1]
		}
		if len(row) > 0 {
			rows = append(rows, row)
		}
		row = nil
	}
	for len(text) > 0 {
		cell, rest := takeCell(text, divider, byRow)
		endCell(cell)
		if rest == "" || rest[0] != divider {
			endRow()
		}
		if rest == "" {
			break
		}
		text = rest[1:]
	}
	endRow()
	return rows
}

// takeCell splits the first cell off; the rest begins with what ended it.
func takeCell(text string, divider byte, byRow bool) (cell, rest string) {
	start := strings.TrimLeft(text, " ")
	if strings.HasPrefix(start, `"`) {
		if inside, after, ok := quotedCell(start[1:]); ok {
			if after = strings.TrimLeft(after, " "); after == "" || ends(after[0], divider, byRow) {
				return inside, after
			}
		}
	}
	for i := range len(text) {
		if ends(text[i], divider, byRow) {
			return text[:i], text[i:]
		}
	}
	return text, ""
}

func ends(c, divider byte, byRow bool) bool { return c == divider || c == '\n' || byRow && c == ';' }

// quotedCell reads up to the closing quote, which must come within the longest cell.
func quotedCell(text string) (inside, after string, ok bool) {
	const longest = 4096
	var b strings.Builder
	for b.Len() < longest {
		before, rest, found := strings.Cut(text, `"`)
		b.WriteString(before)
		if !found {
			return "", "", false
		}
		if !strings.HasPrefix(rest, `"`) {
			return b.String(), rest, true
		}
		b.WriteByte('"')
		text = rest[1:]
	}
	return "", "", false
}

// tidyCell trims a cell, no-break spaces included, makes it one line, and takes off the apostrophe that keeps a
// spreadsheet from reading a name as a formula.
func tidyCell(cell string) string {
	return catalog.CellText(strings.TrimSpace(oneCell(strings.ToValidUTF8(cell, "\ufffd"))))
}

// Points turns decimal commas into points, in rows of cells in the order of the table's columns that no comma divides. Commas that could as
// well mark thousands ("1,234" in every cell that has a comma) are refused; where points stand too, commas are left for the reader of
// numbers to refuse.
func Points(t catalog.Table, rows [][]string) error {
	var at [][2]int // cells with one comma and no point
	certain := false
	for i, row := range rows {
		for j, cell := range row {
			if t.Columns[j].Text {
				continue
			}
			if strings.Contains(cell, ".") {
				return nil
			}
			if before, after, ok := strings.Cut(bare(cell), ","); ok && isDigits(after) {
				at = append(at, [2]int{i, j})
				certain = certain || !quantity.Thousands(before, after)
			}
		}
	}
	if len(at) > 0 && !certain {
		i, j := at[0][0], at[0][1]
		cell := rows[i][j]
		return &catalog.InputError{Field: t.ID + "." + t.Columns[j].ID, Row: i + 1, Given: quantity.Quoted(cell),
			Allowed: "could mean " + strings.Replace(cell, ",", ".", 1) + " or " + strings.Replace(cell, ",", "", 1) + "; write it with a point"}
	}
	for _, c := range at {
		cell := &rows[c[0]][c[1]]
		*cell = strings.Replace(*cell, ",", ".", 1)
	}
	return nil
}

func isDigits(s string) bool { return s != "" && strings.Trim(s, "0123456789") == "" }
