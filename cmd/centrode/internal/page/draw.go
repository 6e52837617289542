package page

import (
	"html/template"

	"centrode/calc/catalog"
	"centrode/calc/figure"
	"centrode/calc/plate"
)

// printedWidth is the width of a drawing in a page as it is built; the style sheet scales it.
const printedWidth = 480

// draw returns a figure as SVG. id must be unique in the page.
func draw(f figure.Figure, id string) template.HTML {
	return ready(string(figure.Markup(figure.Layout(f, figure.Options{Width: printedWidth, ID: id}))))
}

// drawing returns the calculator's own figure of an answer.
func drawing(a catalog.Answer) figure.Figure { return a.Calculator.Figure(a.Values, a.Result) }

// Step is one line of a derivation with its numbers filled in.
type Step struct {
	Say     string
	Formula template.HTML
}

// steps fills the derivation of a calculator with the numbers of an answer.
func (d *document) steps(a catalog.Answer, line int) []Step {
	var list []Step
	for _, s := range a.Spec.Steps {
		list = append(list, Step{s.Say, ready(d.formula(s.TeX, true, line, func(id string) string { return plate.Slot(a, id) }))})
	}
	return list
}

// Value is a labelled quantity: an input as given, or a result.
type Value struct {
	ID     string
	Label  string
	Text   string
	Help   string
	Stated string // what the author stated; results of worked examples only
}

// Rows is a table of input as it is printed.
type Rows struct {
	Label string
	Head  []string
	Cells [][]string
}

// Given are the inputs of a run: those that the block sets, and the rest, which stand at their defaults.
type Given struct {
	Values []Value
	Tables []Rows
	Rest   []Value
}

// given sorts the inputs of an answer by whether named says that the block sets them.
func given(a catalog.Answer, named func(id string) bool) Given {
	var g Given
	for _, f := range a.Spec.Fields {
		v := Value{ID: f.ID, Label: f.Label, Text: fieldText(a, f)}
		if named(f.ID) {
			g.Values = append(g.Values, v)
		} else {
			g.Rest = append(g.Rest, v)
		}
	}
	for _, t := range a.Spec.Tables {
		if rows, ok := a.Values.Tables[t.ID]; ok && rows.Len > 0 {
			g.Tables = append(g.Tables, inputRows(t, rows))
		}
	}
	return g
}
