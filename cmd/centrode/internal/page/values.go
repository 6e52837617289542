package page

import (
	"strings"

	"centrode/calc/catalog"
	"centrode/calc/plate"
	"centrode/calc/quantity"
	"centrode/cmd/centrode/internal/lesson"
)

// fieldText prints an input with its unit, as fine as it was set.
func fieldText(a catalog.Answer, f catalog.Field) string {
	text := plate.Slot(a, f.ID)
	if f.Worded() {
		return text
	}
	return text + unitOf(f.Kind)
}

// unitOf is the unit of a kind with the space that stands before it.
func unitOf(kind quantity.Kind) string { return strings.TrimPrefix(quantity.Format(0, kind, 0), "0") }

func inputRows(t catalog.Table, rows catalog.Rows) Rows {
	out := Rows{Label: t.Label}
	for _, c := range t.Columns {
		head := c.Label
		if unit := c.Kind.Unit(); unit != "" && !c.Text {
			head += ", " + unit
		}
		out.Head = append(out.Head, Column{head, c.Text})
	}
	for i := range rows.Len {
		out.Cells = append(out.Cells, inputCells(t, rows, i))
	}
	return out
}

func inputCells(t catalog.Table, rows catalog.Rows, i int) []string {
	var cells []string
	for _, c := range t.Columns {
		switch {
		case c.Text && i < len(rows.Texts[c.ID]):
			cells = append(cells, rows.Texts[c.ID][i])
		case !c.Text && i < len(rows.Numbers[c.ID]):
			cells = append(cells, strings.Replace(quantity.Shortest(rows.Numbers[c.ID][i]), "-", "−", 1))
		default:
			cells = append(cells, "")
		}
	}
	return cells
}

// withMinus sets the minus sign of numbers as a minus and leaves the hyphens of words.
func withMinus(text string) string {
	runes := []rune(text)
	for i, r := range runes {
		opens := i == 0 || strings.ContainsRune(" (,±", runes[i-1])
		if r == '-' && opens && i+1 < len(runes) && strings.ContainsRune("0123456789.", runes[i+1]) {
			runes[i] = '−'
		}
	}
	return string(runes)
}

// named answers whether a block sets a field, by its preset or itself.
func (s *site) named(spec catalog.Spec, preset lesson.Ref, lists ...[]lesson.Given) func(id string) bool {
	set := map[string]bool{}
	for _, p := range s.Book.Presets(spec) {
		if preset.Text != "" && p.ID == preset.Text {
			for _, v := range p.Values {
				set[v.ID] = true
			}
		}
	}
	for _, list := range lists {
		for _, g := range list {
			set[g.ID] = true
		}
	}
	return func(id string) bool { return set[id] }
}

// outputValue prints an output of an answer.
func outputValue(a catalog.Answer, id string) (Value, bool) {
	o, ok := a.Spec.Output(id)
	if !ok {
		return Value{}, false
	}
	label := o.Label
	if o.Side != "" {
		label += ", " + o.Side
	}
	return Value{ID: id, Label: label, Text: plate.Text(a.Result, o), Help: o.Help}, true
}

// warnings returns the sentences of an answer's warnings.
func warnings(a catalog.Answer) []string {
	var list []string
	for _, w := range a.Result.Warnings {
		list = append(list, w.Text)
	}
	return list
}
