package page

import (
	"strings"

	"centrode/calc/catalog"
	"centrode/calc/plate"
	"centrode/cmd/centrode/internal/lesson"
)

func inputRows(t catalog.Table, rows catalog.Rows) Rows {
	out := Rows{ID: t.ID, Label: t.Label}
	for _, c := range t.Columns {
		head := c.Label
		if unit := c.Kind.Unit(); unit != "" && !c.Text {
			head += ", " + unit
		}
		out.Head = append(out.Head, Column{Name: head, Words: c.Text})
	}
	out.Cells = plate.InputCells(t, rows)
	return out
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
func (s *site) outputValue(a catalog.Answer, id string) (Value, bool) {
	o, ok := a.Spec.Output(id)
	if !ok {
		return Value{}, false
	}
	return Value{ID: id, Label: s.outputLabel(o), Text: plate.Text(a, o), Help: o.Help}, true
}
