package page

import (
	"html/template"
	"slices"
	"strconv"
	"strings"

	"centrode/calc/catalog"
	"centrode/calc/figure"
	"centrode/calc/plate"
)

// printedWidth is the width of a drawing in a page as it is built; the style sheet scales it.
const printedWidth = 480

// drawn is a figure as a page has it, and how low it is for its width.
type drawn struct {
	svg  template.HTML
	flat string
}

// draw returns a figure as SVG, in the words of the language. id must be unique in the page.
func (s *site) draw(f figure.Figure, id string) drawn {
	if s.language.Draws() {
		return drawnIn(s.language.Draw, f, id)
	}
	return drawnIn(nil, f, id)
}

func drawnIn(words figure.Words, f figure.Figure, id string) drawn {
	laid := figure.Layout(f, figure.Options{Width: printedWidth, ID: id, Words: words})
	return drawn{ready(string(figure.Markup(laid))), flatness(laid)}
}

// drawings remembers the figures of one text by their language and their ids.
type drawings map[[2]string]drawn

// drawn is the figure of an id, drawn once for all pages of the language.
func (d *document) drawn(id string, figure func() figure.Figure) drawn {
	key := [2]string{d.site.language.Tag, id}
	one, ok := d.shared.drawings[key]
	if !ok {
		one = d.site.draw(figure(), id)
		d.shared.drawings[key] = one
	}
	return one
}

// flatness sorts drawings by their height for their width, so that the style sheet knows which can stay in sight on a small screen:
// "low" up to a half, "middle" up to three quarters, else "".
func flatness(laid figure.Node) string {
	for _, a := range laid.Attrs {
		if a.Name != "viewBox" {
			continue
		}
		var box [4]float64
		if parts := strings.Fields(a.Value); len(parts) == len(box) {
			for i, part := range parts {
				box[i], _ = strconv.ParseFloat(part, 64)
			}
		}
		switch high, wide := box[3], box[2]; {
		case wide > 0 && high <= wide/2:
			return "low"
		case wide > 0 && high <= wide*3/4:
			return "middle"
		}
	}
	return ""
}

// drawing returns the calculator's own figure of an answer.
func drawing(a catalog.Answer) figure.Figure { return a.Calculator.Figure(a.Values, a.Result) }

// figure is the drawing of a card.
func (d *document) figure(block string, a catalog.Answer) template.HTML {
	return d.drawn(block+"-figure", func() figure.Figure { return drawing(a) }).svg
}

// Step is one line of a derivation with its numbers filled in. Its formula stands in parts where a line may break.
type Step struct {
	Say     string
	Formula []template.HTML
}

// steps fills the derivation of a calculator with the numbers of an answer.
func (d *document) steps(a catalog.Answer, line int) []Step {
	var list []Step
	for _, s := range a.Spec.Steps {
		step := Step{Say: s.Say}
		for _, part := range parts(s.TeX) {
			step.Formula = append(step.Formula, ready(d.formula(part, true, line, func(id string) string { return plate.Slot(a, id) })))
		}
		list = append(list, step)
	}
	return list
}

// wideSpaces are what stands between formulas on one line.
var wideSpaces = []string{`\qquad`, `\quad`}

// parts divides a line of formulas at the wide spaces between them, where a narrow column may break it. Spaces inside
// braces or an environment belong to their formula.
func parts(tex string) []string {
	var list []string
	depth, start := 0, 0
	for i := 0; i < len(tex); i++ {
		if c := tex[i]; c != '{' && c != '}' && c != '\\' { // most of it
			continue
		}
		rest := tex[i:]
		switch {
		case tex[i] == '{', strings.HasPrefix(rest, `\begin`), strings.HasPrefix(rest, `\left`) && !strings.HasPrefix(rest, `\leftarrow`):
			depth++
		case tex[i] == '}', strings.HasPrefix(rest, `\end`), strings.HasPrefix(rest, `\right`) && !strings.HasPrefix(rest, `\rightarrow`):
			depth--
		case depth == 0:
			for _, space := range wideSpaces {
				if strings.HasPrefix(rest, space) {
					list = append(list, strings.TrimSpace(tex[start:i]))
					start = i + len(space)
					break
				}
			}
		}
	}
	return append(list, strings.TrimSpace(tex[start:]))
}

// Value is a labelled quantity: an input as given, or a result.
type Value struct {
	ID     string
	Label  string
	Text   string
	Help   string
	Stated string // what the author stated; results of worked examples only
	Chosen bool   // the text is a choice of the calculator, in the language of the interface
}

// Rows is a table of input as it is printed.
type Rows struct {
	ID    string
	Label string
	Head  []Column
	Cells [][]string
}

// Column is the head of a column; words stand at its start, numbers at its end. Named holds names that somebody gave.
type Column struct {
	Name         string
	Words, Named bool
}

// Given are the inputs of a run: those that the block sets, and the rest, which stand at their defaults.
type Given struct {
	Values []Value
	Tables []Rows
	Rest   []Value
}

// without leaves out the inputs that are told elsewhere: what differs between two runs is no default of either.
func (g Given) without(told func(id string) bool) Given {
	gone := func(v Value) bool { return told(v.ID) }
	g.Values, g.Rest = slices.DeleteFunc(g.Values, gone), slices.DeleteFunc(g.Rest, gone)
	return g
}

// given sorts the inputs of an answer by whether named says that the block sets them.
func given(a catalog.Answer, named func(id string) bool) Given {
	var g Given
	for _, f := range a.Spec.Fields {
		v := Value{ID: f.ID, Label: f.Label, Text: plate.FieldText(a, f), Chosen: len(f.Choices) > 0}
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
