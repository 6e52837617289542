package catalog

import (
	"math"
	"unicode/utf8"

	"centrode/calc/quantity"
)

// AppendText appends the answer for a person at a terminal: the sentence, then inputs and outputs in aligned columns
// with units, numbers unrounded, then tables and warnings.
func (a Answer) AppendText(b []byte) []byte {
	b = append(append(b, a.Say()...), "\n\ngiven\n"...)
	b = appendAligned(b, a.inputLines())
	b = append(b, "\nresult\n"...)
	b = appendAligned(b, a.outputLines())
	for _, t := range a.Spec.Answers {
		if rows, ok := a.Result.Tables[t.ID]; ok {
			b = append(append(append(b, '\n'), t.ID...), '\n')
			b = appendAligned(b, tableLines(t, rows, a.Measures))
		}
	}
	for _, w := range a.Result.Told() {
		b = append(b, "\nnote: "...)
		b = append(b, w.Text...)
	}
	if len(a.Result.Warnings) > 0 {
		b = append(b, '\n')
	}
	return b
}

func (a Answer) inputLines() [][]string {
	var lines [][]string
	for _, f := range a.Spec.Fields {
		value := a.Values.Choices[f.ID]
		if !f.Worded() {
			value = entryIn(a.Measures, a.Values.Numbers[f.ID], f.Kind)
		}
		lines = append(lines, []string{f.ID, value, f.Label})
	}
	for _, t := range a.Spec.Tables {
		if rows, ok := a.Values.Tables[t.ID]; ok {
			lines = append(lines, []string{t.ID, quantity.Things(rows.Len, "row", "rows"), t.Label})
		}
	}
	return lines
}

func (a Answer) outputLines() [][]string {
	var lines [][]string
	for _, o := range a.Spec.Outputs {
		value := "none"
		if text, ok := a.Result.Texts[o.ID]; ok && o.Text {
			value = text
		} else if n, ok := a.Result.Numbers[o.ID]; ok {
			value = entryIn(a.Measures, n, o.Kind)
		}
		lines = append(lines, []string{o.ID, value, o.Label})
	}
	return lines
}

// tableLines shows at most maxShown rows: a map of 160,000 cells is for -format csv, not for a terminal.
func tableLines(t Table, rows Rows, m Measures) [][]string {
	const maxShown = 40
	var head []string
	for _, c := range t.Columns {
		head = append(head, c.ID)
	}
	lines := [][]string{head}
	for i := range min(rows.Len, maxShown) {
		var line []string
		for _, c := range t.Columns {
			switch {
			case c.Text:
				line = append(line, rows.Texts[c.ID][i])
			case math.IsNaN(rows.Numbers[c.ID][i]):
				line = append(line, "none")
			default:
				line = append(line, entryIn(m, rows.Numbers[c.ID][i], c.Kind))
			}
		}
		lines = append(lines, line)
	}
	if rows.Len > maxShown {
		lines = append(lines, []string{"… " + quantity.Things(rows.Len-maxShown, "more row", "more rows") + "; use -format csv -table " + t.ID})
	}
	return lines
}

func appendAligned(b []byte, lines [][]string) []byte {
	var widths []int
	for _, line := range lines {
		if len(line) == 1 {
			continue // a remark across the table sets no width
		}
		for i, cell := range line {
			if i == len(widths) {
				widths = append(widths, 0)
			}
			widths[i] = max(widths[i], utf8.RuneCountInString(cell))
		}
	}
	for _, line := range lines {
		b = append(b, ' ')
		for i, cell := range line {
			b = append(append(b, ' '), cell...)
			if i < len(line)-1 {
				for range widths[i] - utf8.RuneCountInString(cell) {
					b = append(b, ' ')
				}
			}
		}
		b = append(b, '\n')
	}
	return b
}
