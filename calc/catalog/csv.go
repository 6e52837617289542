package catalog

import (
	"math"
	"strconv"
	"strings"
)

// Header returns the CSV columns of an answer: the scalar inputs, the outputs, then "warnings" (codes) and "error". Measures may be nil.
func Header(spec Spec, m Measures) []string {
	var ids []string
	for _, f := range spec.Fields {
		ids = append(ids, headIn(m, f.ID, f.Kind, f.Worded()))
	}
	return append(ids, OutputHeader(spec, m)...)
}

// OutputHeader returns the columns that AppendOutputCells fills.
func OutputHeader(spec Spec, m Measures) []string {
	var ids []string
	for _, o := range spec.Outputs {
		ids = append(ids, headIn(m, o.ID, o.Kind, o.Text))
	}
	return append(ids, "warnings", "error")
}

// AppendCSV appends the answer as one CSV record, in the order of Header, with a line feed.
func (a Answer) AppendCSV(b []byte) []byte {
	for i, f := range a.Spec.Fields {
		if i > 0 {
			b = append(b, ',')
		}
		if f.Worded() {
			b = AppendCell(b, a.Values.Choices[f.ID])
		} else {
			b = appendIn(a.Measures, b, a.Values.Numbers[f.ID], f.Kind)
		}
	}
	if len(a.Spec.Fields) > 0 {
		b = append(b, ',')
	}
	return append(a.AppendOutputCells(b), '\n')
}

// AppendOutputCells appends the outputs, the warning codes and an empty error cell, comma separated. A missing output
// is an empty cell.
func (a Answer) AppendOutputCells(b []byte) []byte {
	for _, o := range a.Spec.Outputs {
		if o.Text {
			b = AppendCell(b, a.Result.Texts[o.ID])
		} else if n, ok := a.Result.Numbers[o.ID]; ok {
			b = appendIn(a.Measures, b, n, o.Kind)
		}
		b = append(b, ',')
	}
	for i, w := range a.Result.Warnings {
		if i > 0 {
			b = append(b, ' ')
		}
		b = append(b, w.Code...)
	}
	return append(b, ',')
}

// AppendErrorCells appends empty output cells and the refusal in the error column: the record of a row that was refused.
func AppendErrorCells(b []byte, spec Spec, err error) []byte {
	for range len(spec.Outputs) + 1 {
		b = append(b, ',')
	}
	return AppendCell(b, err.Error())
}

// AppendTableCSV appends a table as CSV with its header line. Measures may be nil.
func AppendTableCSV(b []byte, t Table, rows Rows, m Measures) []byte {
	for i, c := range t.Columns {
		if i > 0 {
			b = append(b, ',')
		}
		b = append(b, headIn(m, c.ID, c.Kind, c.Text)...)
	}
	b = append(b, '\n')
	for i := range rows.Len {
		for j, c := range t.Columns {
			if j > 0 {
				b = append(b, ',')
			}
			if c.Text {
				b = AppendCell(b, rows.Texts[c.ID][i])
			} else if n := rows.Numbers[c.ID][i]; !math.IsNaN(n) {
				b = appendIn(m, b, n, c.Kind)
			}
		}
		b = append(b, '\n')
	}
	return b
}

// formulaSigns are what a spreadsheet takes for the beginning of a formula.
const formulaSigns = "=+-@\t\r"

// CellText is what a cell says: without the apostrophe that AppendCell puts before what would be read as a formula.
func CellText(cell string) string {
	if len(cell) > 1 && cell[0] == '\'' && strings.IndexByte(formulaSigns, cell[1]) >= 0 {
		return cell[1:]
	}
	return cell
}

// AppendCell appends text as one CSV cell: quoted when needed, and with a leading apostrophe where a spreadsheet would
// otherwise read a formula. Numbers, signed or not, stay numbers, also with a decimal comma.
func AppendCell(b []byte, text string) []byte {
	if text != "" && strings.IndexByte(formulaSigns, text[0]) >= 0 {
		if _, err := strconv.ParseFloat(Replaced(text, ",", "."), 64); err != nil {
			text = "'" + text
		}
	}
	if !strings.ContainsAny(text, ",\"\r\n") && strings.TrimSpace(text) == text {
		return append(b, text...)
	}
	return append(append(append(b, '"'), strings.ReplaceAll(text, `"`, `""`)...), '"')
}
