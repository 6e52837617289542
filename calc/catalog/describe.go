package catalog

import (
	"centrode/calc/jsontree"
)

// AppendDescription appends the Spec as one JSON object: what `calc NAME -describe` prints and what a program needs to
// build a form of its own.
func (s Spec) AppendDescription(b []byte) []byte {
	w := writer{jsontree.Writer{B: b}}
	w.Open('{')
	w.text("id", s.ID)
	w.text("title", s.Title)
	w.text("purpose", s.Purpose)
	w.flag("compares", s.Compares)
	w.list("groups", len(s.Groups), func(i int) { w.text("id", s.Groups[i].ID); w.text("label", s.Groups[i].Label) })
	w.list("fields", len(s.Fields), func(i int) { w.field(s.Fields[i]) })
	w.list("tables", len(s.Tables), func(i int) { w.table(s.Tables[i]) })
	w.list("outputs", len(s.Outputs), func(i int) { w.output(s.Outputs[i]) })
	w.list("answers", len(s.Answers), func(i int) { w.table(s.Answers[i]) })
	w.list("workings", len(s.Workings), func(i int) { w.output(s.Workings[i]) })
	w.list("steps", len(s.Steps), func(i int) { w.text("say", s.Steps[i].Say); w.text("tex", s.Steps[i].TeX) })
	w.list("presets", len(s.Presets), func(i int) { w.preset(s.Presets[i]) })
	w.Key("sources").Texts(s.Sources)
	w.Key("cautions").Texts(s.Cautions)
	w.Close('}')
	return w.B
}

// writer is a JSON writer of members.
type writer struct{ jsontree.Writer }

func (w *writer) text(id, text string)        { w.Key(id).Text(text) }
func (w *writer) number(id string, n float64) { w.Key(id).Number(n) }
func (w *writer) flag(id string, on bool)     { w.Key(id).Flag(on) }

func (w *writer) list(id string, n int, item func(i int)) {
	w.Key(id).Open('[')
	for i := range n {
		w.Open('{')
		item(i)
		w.Close('}')
	}
	w.Close(']')
}

func (w *writer) field(f Field) {
	w.text("id", f.ID)
	w.text("label", f.Label)
	w.text("help", f.Help)
	w.text("group", f.Group)
	if f.Free {
		w.text("quantity", "text")
		w.text("default", f.DefaultChoice)
		return
	}
	if len(f.Choices) > 0 {
		w.text("quantity", "text")
		w.text("default", f.DefaultChoice)
		w.list("choices", len(f.Choices), func(i int) { w.text("id", f.Choices[i].ID); w.text("label", f.Choices[i].Label) })
		return
	}
	w.text("quantity", f.Kind.Name())
	w.text("unit", f.Kind.Suffix())
	w.number("default", f.Default)
	w.bounds(f.Min, f.Max, f.MinOpen)
	w.number("step", f.Step)
}

func (w *writer) bounds(lo, hi float64, open bool) {
	w.number("min", lo)
	w.number("max", hi)
	w.flag("above_min", open)
}

func (w *writer) table(t Table) {
	w.text("id", t.ID)
	w.text("label", t.Label)
	w.text("help", t.Help)
	w.flag("optional", t.Optional)
	if t.MaxRows > 0 { // what comes out has no bounds
		w.number("min_rows", float64(t.MinRows))
		w.number("max_rows", float64(t.MaxRows))
	}
	w.list("columns", len(t.Columns), func(i int) { w.column(t.Columns[i]) })
	w.Key("default")
	w.B = appendRows(w.B, t, t.Default, nil)
}

func (w *writer) column(c Column) {
	w.text("id", c.ID)
	w.text("label", c.Label)
	w.text("help", c.Help)
	w.flag("optional", c.Optional)
	if c.Text {
		w.text("quantity", "text")
		return
	}
	w.text("quantity", c.Kind.Name())
	w.text("unit", c.Kind.Suffix())
	if c.Min < c.Max {
		w.bounds(c.Min, c.Max, c.MinOpen)
	}
	if c.Optional {
		w.number("default", c.Default)
	}
}

func (w *writer) output(o Output) {
	w.text("id", o.ID)
	w.text("label", o.Label)
	w.text("help", o.Help)
	if o.Text {
		w.text("quantity", "text")
	} else {
		w.text("quantity", o.Kind.Name())
		w.text("unit", o.Kind.Suffix())
		w.number("digits", float64(o.Digits))
	}
	if o.Side != "" {
		w.text("side", o.Side)
		w.text("pair", o.Pair)
	}
}

func (w *writer) preset(p Preset) {
	w.text("id", p.ID)
	w.text("label", p.Label)
	w.text("note", p.Note)
	w.list("values", len(p.Values), func(i int) { w.text("id", p.Values[i].ID); w.text("value", p.Values[i].Text) })
}
