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

// written is what the answer before this one teaches about how to write it: how long it was, and what its handles said, of which a hand
// moves one.
type written struct {
	size    int
	of      string // the calculator
	units   quantity.Units
	handles []said
}

// said is all that a handle's part of an answer depends on beside what written has, and that part.
type said struct {
	_    catalog.Uncompared
	name string
	at   [2]string // what its axes edit
	now  [2]float64
	json []byte
}

// shown writes what Solve answers in the words of the desk, and notes it in its last.
func (a answers) shown(r Request, drawing figure.Figure, desk *Desk) []byte {
	state := State(a.given)
	last := &desk.last
	w := writer{jsontree.Writer{B: make([]byte, 0, last.size+last.size/16+4<<10)}, desk}
	w.Open('{')
	w.Key("say").Text(a.live.Say())
	if v, ok := a.live.Verdict(); ok {
		w.Key("verdict").Text(v.Text)
		w.Key("good").Flag(v.Good)
	}
	w.Key("state").Text(state)
	w.Key("rough").Flag(a.rough)
	w.Key("differs").Flag(a.live.Spec.Compares || !a.live.Spec.Single && State(a.base) != state)
	w.Key("warnings")
	w.warnings(a.live.Result.Told())
	w.Key("fields")
	w.entries(Entries(a.given))
	w.Key("typed")
	w.entries(Typed(a.given))
	w.Key("cells")
	w.cells(Cells(a.base, a.live))
	w.Key("slots")
	w.entries(Slots(a.live))
	w.Key("answers")
	w.tables(Tables(a.live))
	w.Key("handles")
	w.handles(a.given, drawing.Handles)
	w.Key("figure")
	sheet := options(r)
	sheet.Words = desk.Words
	w.drawing(figure.Layout(drawing, sheet))
	w.Close('}')
	last.size = len(w.B)
	return w.B
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
	w.Open('{')
	w.Key("error")
	w.Open('{')
	w.Key("field").Text(input.Field)
	w.Key("row").Number(float64(input.Row))
	w.Key("given").Text(input.Given)
	w.Key("allowed").Text(input.Allowed)
	w.Key("text").Text(text)
	w.Close('}')
	w.Close('}')
	return w.B
}

// writer is a JSON writer that knows what a plate consists of.
type writer struct {
	jsontree.Writer
	desk *Desk // of what Solve answers
}

func (w *writer) drawing(n figure.Node) {
	w.Comma()
	w.B = figure.AppendJSON(w.B, n)
}

func (w *writer) entries(list []catalog.Entry) {
	w.Open('{')
	for _, e := range list {
		w.Key(e.ID).Text(e.Text)
	}
	w.Close('}')
}

func (w *writer) warnings(list []catalog.Warning) {
	w.Open('[')
	for _, warning := range list {
		w.Open('{')
		w.Key("code").Text(warning.Code)
		w.Key("field").Text(warning.Field)
		w.Key("text").Text(warning.Text)
		w.Key("note").Flag(warning.Note)
		w.Close('}')
	}
	w.Close(']')
}

func (w *writer) cells(rows []Row) {
	w.Open('{')
	for _, r := range rows {
		w.Key(r.Key)
		w.Open('{')
		w.Key("current").Text(r.Current)
		w.Key("candidate").Text(r.Candidate)
		w.Key("difference").Text(r.Difference)
		w.Close('}')
	}
	w.Close('}')
}

func (w *writer) tables(list []Table) {
	w.Open('{')
	for _, t := range list {
		w.Key(t.Key)
		w.Open('{')
		w.Key("rows")
		w.Open('[')
		for _, row := range t.Rows {
			w.Texts(row)
		}
		w.Close(']')
		w.Key("left").Number(float64(t.Left))
		w.Close('}')
	}
	w.Close('}')
}

// handles writes the name of every handle, one sentence with all that it sets, and for each axis range and value.
func (w *writer) handles(a catalog.Answer, list []figure.Handle) {
	w.Open('[')
	last := &w.desk.last
	if last.of != a.Spec.ID || last.units != a.Values.Units || len(last.handles) != len(list) {
		last.of, last.units, last.handles = a.Spec.ID, a.Values.Units, make([]said, len(list))
	}
	var targets []target
	for i, h := range list {
		was := &last.handles[i]
		now := said{name: h.Name, json: was.json}
		targets = appendTargets(targets[:0], a, h)
		for k := range min(len(targets), len(now.at)) {
			now.at[k], now.now[k] = targets[k].id, targets[k].now
		}
		if was.json != nil && was.name == now.name && was.at == now.at && was.now == now.now {
			w.Raw(was.json)
			continue
		}
		from := len(w.B) + min(i, 1) // after the comma
		w.handle(h.Name, targets, a.Values.Units)
		now.json = append(now.json[:0], w.B[from:]...)
		*was = now
	}
	w.Close(']')
}

func (w *writer) handle(name string, targets []target, units quantity.Units) {
	texts, words := shownValues(units, targets), w.desk.Words
	w.Open('{')
	w.Key("name").Text(words.Of(name))
	w.Key("valuetext").Text(spoken(targets, texts, words))
	w.Key("axes")
	w.axes(targets, texts)
	w.Close('}')
}

func (w *writer) axes(targets []target, texts []string) {
	w.Open('[')
	for i := range targets {
		t := &targets[i]
		w.Open('{')
		w.Key("field").Text(t.id)
		w.Key("min").Number(t.field.Min)
		w.Key("max").Number(t.field.Max)
		w.Key("now").Number(t.now)
		w.Key("text").Text(texts[i])
		w.Close('}')
	}
	w.Close(']')
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
