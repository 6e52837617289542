package catalog

import (
	"math"

	"centrode/calc/jsontree"
	"centrode/calc/quantity"
)

// AppendJSON appends the answer as one JSON object on one line: calculator, inputs, outputs, tables, warnings, in the
// Spec's order, numbers unrounded in the shortest form that reads back the same. A missing output is null. The command
// line, the page and the tests all print answers with this function.
func (a Answer) AppendJSON(b []byte) []byte {
	b = append(b, `{"calculator":`...)
	b = jsontree.AppendString(b, a.Spec.ID)
	b = append(b, `,"inputs":`...)
	b = appendInputs(b, a.Spec, a.Values)
	b = append(b, `,"outputs":{`...)
	for i, o := range a.Spec.Outputs {
		b = appendKey(b, i, o.ID)
		b = appendOutput(b, o, a.Result)
	}
	b = append(b, `},"tables":{`...)
	written := 0
	for _, t := range a.Spec.Answers {
		rows, ok := a.Result.Tables[t.ID]
		if !ok {
			continue
		}
		b = appendKey(b, written, t.ID)
		b = appendRows(b, t, rows)
		written++
	}
	b = append(b, `},"warnings":[`...)
	for i, w := range a.Result.Warnings {
		if i > 0 {
			b = append(b, ',')
		}
		b = w.appendJSON(b)
	}
	return append(b, "]}"...)
}

func (w Warning) appendJSON(b []byte) []byte {
	b = append(b, `{"code":`...)
	b = jsontree.AppendString(b, w.Code)
	b = append(b, `,"field":`...)
	b = jsontree.AppendString(b, w.Field)
	b = append(b, `,"text":`...)
	return append(jsontree.AppendString(b, w.Text), '}')
}

func appendInputs(b []byte, spec Spec, v Values) []byte {
	b = append(b, '{')
	written := 0
	for _, f := range spec.Fields {
		b = appendKey(b, written, f.ID)
		if f.Worded() {
			b = jsontree.AppendString(b, v.Choices[f.ID])
		} else {
			b = appendNumber(b, v.Numbers[f.ID])
		}
		written++
	}
	for _, t := range spec.Tables {
		if rows, ok := v.Tables[t.ID]; ok {
			b = appendKey(b, written, t.ID)
			b = appendRows(b, t, rows)
			written++
		}
	}
	return append(b, '}')
}

func appendOutput(b []byte, o Output, r Result) []byte {
	if o.Text {
		if text, ok := r.Texts[o.ID]; ok {
			return jsontree.AppendString(b, text)
		}
		return append(b, "null"...)
	}
	if n, ok := r.Numbers[o.ID]; ok {
		return appendNumber(b, n)
	}
	return append(b, "null"...)
}

func appendRows(b []byte, t Table, rows Rows) []byte {
	b = append(b, '[')
	for i := range rows.Len {
		if i > 0 {
			b = append(b, ',')
		}
		b = append(b, '{')
		for j, c := range t.Columns {
			b = appendKey(b, j, c.ID)
			switch {
			case c.Text && i < len(rows.Texts[c.ID]):
				b = jsontree.AppendString(b, rows.Texts[c.ID][i])
			case c.Text:
				b = jsontree.AppendString(b, "")
			case i < len(rows.Numbers[c.ID]):
				b = appendNumber(b, rows.Numbers[c.ID][i])
			default: // an optional column that the rows leave out, as the default of a table may
				b = appendNumber(b, c.Default)
			}
		}
		b = append(b, '}')
	}
	return append(b, ']')
}

// appendNumber writes null for the NaN that an optional cell may hold; nothing else that is not finite gets here.
func appendNumber(b []byte, n float64) []byte {
	if math.IsNaN(n) {
		return append(b, "null"...)
	}
	return quantity.AppendShortest(b, n)
}

func appendKey(b []byte, position int, id string) []byte {
	if position > 0 {
		b = append(b, ',')
	}
	return append(jsontree.AppendString(b, id), ':')
}
