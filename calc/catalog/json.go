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
	if a.Measures != nil {
		b = append(b, `,"units":{`...)
		for i, kind := range []quantity.Kind{quantity.Length, quantity.Angle, quantity.Area} {
			b = jsontree.AppendString(appendKey(b, i, kind.Name()), a.Measures.Unit(kind))
		}
		b = append(b, '}')
	}
	b = append(b, `,"inputs":`...)
	b = a.appendInputs(b)
	b = append(b, `,"outputs":{`...)
	for i, o := range a.Spec.Outputs {
		b = appendKey(b, i, o.ID)
		b = a.appendOutput(b, o)
	}
	b = append(b, `},"tables":{`...)
	written := 0
	for _, t := range a.Spec.Answers {
		rows, ok := a.Result.Tables[t.ID]
		if !ok {
			continue
		}
		b = appendKey(b, written, t.ID)
		b = appendRows(b, t, rows, a.Measures)
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

func (a Answer) appendInputs(b []byte) []byte {
	b = append(b, '{')
	written := 0
	for _, f := range a.Spec.Fields {
		b = appendKey(b, written, f.ID)
		if f.Worded() {
			b = jsontree.AppendString(b, a.Values.Choices[f.ID])
		} else {
			b = appendNumber(b, a.Values.Numbers[f.ID], f.Kind, a.Measures)
		}
		written++
	}
	for _, t := range a.Spec.Tables {
		if rows, ok := a.Values.Tables[t.ID]; ok {
			b = appendKey(b, written, t.ID)
			b = appendRows(b, t, rows, a.Measures)
			written++
		}
	}
	return append(b, '}')
}

func (a Answer) appendOutput(b []byte, o Output) []byte {
	if o.Text {
		if text, ok := a.Result.Texts[o.ID]; ok {
			return jsontree.AppendString(b, text)
		}
		return append(b, "null"...)
	}
	if n, ok := a.Result.Numbers[o.ID]; ok {
		return appendNumber(b, n, o.Kind, a.Measures)
	}
	return append(b, "null"...)
}

func appendRows(b []byte, t Table, rows Rows, m Measures) []byte {
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
				b = appendNumber(b, rows.Numbers[c.ID][i], c.Kind, m)
			default: // an optional column that the rows leave out, as the default of a table may
				b = appendNumber(b, c.Default, c.Kind, m)
			}
		}
		b = append(b, '}')
	}
	return append(b, ']')
}

// appendNumber writes null for the NaN that an optional cell may hold; nothing else that is not finite gets here.
func appendNumber(b []byte, n float64, kind quantity.Kind, m Measures) []byte {
	if math.IsNaN(n) {
		return append(b, "null"...)
	}
	return appendIn(m, b, n, kind)
}

func appendKey(b []byte, position int, id string) []byte {
	if position > 0 {
		b = append(b, ',')
	}
	return append(jsontree.AppendString(b, id), ':')
}
