package plate

import (
	"errors"
	"strconv"
	"strings"

	"centrode/calc/catalog"
	"centrode/calc/figure"
	"centrode/calc/jsontree"
	"centrode/calc/quantity"
)

// Solve answers one plate as JSON text: the sentence, the verdict where there is one (verdict, good), warnings, what the inputs hold in base units and what they show where the reader chose others, the table's cells, the steps'
// slots, the answer tables, the drawing as a tree, what its handles say to assistive technology, whether the live state
// differs from the base, whether the answer is a rough one, and the state in its shortest form. A refusal is
// {"error":{"field","row","given","allowed","text"}} instead. The text is valid JSON in every case.
func Solve(c catalog.Calculator, r Request) []byte { return new(Desk).Solve(c, r) }

// shown writes what Solve answers.
func (a answers) shown(r Request) []byte {
	drawing, state := Drawing(a.base, a.live), State(a.given)
	w := writer{b: make([]byte, 0, 32<<10)}
	w.open('{')
	w.key("say").text(a.live.Say())
	if v, ok := a.live.Verdict(); ok {
		w.key("verdict").text(v.Text)
		w.key("good").flag(v.Good)
	}
	w.key("state").text(state)
	w.key("rough").flag(a.rough)
	w.key("differs").flag(a.live.Spec.Compares || !a.live.Spec.Single && State(a.base) != state)
	w.key("warnings")
	w.warnings(a.live.Result.Told())
	w.key("fields")
	w.entries(Entries(a.given))
	w.key("typed")
	w.entries(Typed(a.given))
	w.key("cells")
	w.cells(Cells(a.base, a.live))
	w.key("slots")
	w.entries(Slots(a.live))
	w.key("answers")
	w.tables(Tables(a.live))
	w.key("handles")
	w.handles(a.given, drawing.Handles)
	w.key("figure").drawing(figure.Layout(drawing, options(r)))
	w.close('}')
	return w.b
}

// options are the layout's options for a request.
func options(r Request) figure.Options {
	return figure.Options{Width: clampWidth(r.Width), ID: r.ID}
}

// Refusal writes an error as the JSON that Solve answers with: field, 1-based row and what was given when they are
// known, and the text a person reads at that field.
func Refusal(err error) []byte {
	input, ok := errors.AsType[*catalog.InputError](err)
	if !ok {
		input = &catalog.InputError{Allowed: err.Error()}
	}
	text := input.Allowed
	if input.Given != "" {
		text = input.Given + ": " + text
	}
	if input.Row > 0 {
		text = "Row " + strconv.Itoa(input.Row) + ": " + text
	}
	w := writer{}
	w.open('{')
	w.key("error")
	w.open('{')
	w.key("field").text(input.Field)
	w.key("row").number(float64(input.Row))
	w.key("given").text(input.Given)
	w.key("allowed").text(input.Allowed)
	w.key("text").text(text)
	w.close('}')
	w.close('}')
	return w.b
}

// writer appends JSON; it places commas by looking at what was written last.
type writer struct{ b []byte }

func (w *writer) comma() {
	if n := len(w.b); n > 0 && w.b[n-1] != '{' && w.b[n-1] != '[' && w.b[n-1] != ':' {
		w.b = append(w.b, ',')
	}
}

func (w *writer) open(bracket byte)  { w.comma(); w.b = append(w.b, bracket) }
func (w *writer) close(bracket byte) { w.b = append(w.b, bracket) }
func (w *writer) raw(json []byte)    { w.comma(); w.b = append(w.b, json...) }
func (w *writer) text(s string)      { w.comma(); w.b = jsontree.AppendString(w.b, s) }
func (w *writer) number(v float64)   { w.comma(); w.b = quantity.AppendShortest(w.b, v) }

func (w *writer) drawing(n figure.Node) { w.comma(); w.b = figure.AppendJSON(w.b, n) }

func (w *writer) flag(on bool) {
	if on {
		w.raw([]byte("true"))
	} else {
		w.raw([]byte("false"))
	}
}

func (w *writer) key(name string) *writer {
	w.text(name)
	w.b = append(w.b, ':')
	return w
}

func (w *writer) entries(list []catalog.Entry) {
	w.open('{')
	for _, e := range list {
		w.key(e.ID).text(e.Text)
	}
	w.close('}')
}

func (w *writer) warnings(list []catalog.Warning) {
	w.open('[')
	for _, warning := range list {
		w.open('{')
		w.key("code").text(warning.Code)
		w.key("field").text(warning.Field)
		w.key("text").text(warning.Text)
		w.key("note").flag(warning.Note)
		w.close('}')
	}
	w.close(']')
}

func (w *writer) cells(rows []Row) {
	w.open('{')
	for _, r := range rows {
		w.key(r.Key)
		w.open('{')
		w.key("current").text(r.Current)
		w.key("candidate").text(r.Candidate)
		w.key("difference").text(r.Difference)
		w.close('}')
	}
	w.close('}')
}

func (w *writer) tables(list []Table) {
	w.open('{')
	for _, t := range list {
		w.key(t.Key)
		w.open('{')
		w.key("rows")
		w.open('[')
		for _, row := range t.Rows {
			w.texts(row)
		}
		w.close(']')
		w.key("left").number(float64(t.Left))
		w.close('}')
	}
	w.close('}')
}

func (w *writer) texts(list []string) {
	w.open('[')
	for _, text := range list {
		w.text(text)
	}
	w.close(']')
}

// handles writes the name of every handle, one sentence with all that it sets, and for each axis range and value.
func (w *writer) handles(a catalog.Answer, list []figure.Handle) {
	w.open('[')
	for _, h := range list {
		targets := targetsOf(a, h)
		texts := shownValues(a.Values.Units, targets)
		w.open('{')
		w.key("name").text(h.Name)
		w.key("valuetext").text(spoken(targets, texts))
		w.key("axes")
		w.axes(targets, texts)
		w.close('}')
	}
	w.close(']')
}

func (w *writer) axes(targets []target, texts []string) {
	w.open('[')
	for i, t := range targets {
		w.open('{')
		w.key("field").text(t.id)
		w.key("min").number(t.field.Min)
		w.key("max").number(t.field.Max)
		w.key("now").number(t.now)
		w.key("text").text(texts[i])
		w.close('}')
	}
	w.close(']')
}

// shownValue prints a field's value with its unit, as fine as it was set.
func shownValue(units quantity.Units, f catalog.Field, v float64) string {
	text := ""
	if units.Change(f.Kind) {
		text = strings.Replace(units.Typed(v, f.Kind), "-", "−", 1)
	} else {
		text = exact(v, f.Digits())
	}
	return text + units.After(f.Kind)
}
