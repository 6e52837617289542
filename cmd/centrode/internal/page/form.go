package page

import (
	"slices"
	"strings"

	"centrode/calc/catalog"
	"centrode/calc/plate"
	"centrode/calc/quantity"
	"centrode/cmd/centrode/internal/lesson"
)

// FormField is one input of a plate's form: a number with a slider, a choice or a word. Tables are EntryTables.
type FormField struct {
	ID       string // unique in the page
	Field    string // the calculator's id
	Label    string
	Help     string
	Value    string
	Unit     string
	Min, Max string // of the slider
	Step     string
	Choices  []Choice
	Free     bool // a word of the reader's own
}

// Choice is one entry of a choice field.
type Choice struct {
	ID, Label string
	Chosen    bool
}

// groups builds the form. The block may name the inputs that stand open; the others fold away.
func (s *site) groups(a catalog.Answer, b lesson.Plate) (open, more []Group) {
	text := map[string]string{}
	for _, e := range plate.Entries(a) {
		text[e.ID] = e.Text
	}
	isOpen := func(id string) bool { return standsOpen(b, id) }
	for _, g := range append(slices.Clone(a.Spec.Groups), catalog.Group{Label: s.say("valuesGroup")}) { // the last takes fields of no group
		first, rest := Group{ID: g.ID, Label: g.Label}, Group{ID: g.ID, Label: g.Label}
		for _, f := range a.Spec.Fields {
			if groupOf(a.Spec, f) != g.ID {
				continue
			}
			into := &rest
			if isOpen(f.ID) {
				into = &first
			}
			into.Fields = append(into.Fields, s.formField(b.ID, f, text[f.ID]))
		}
		open, more = divide(open, more, first, true)
		open, more = divide(open, more, rest, false)
	}
	return open, more
}

// standsOpen reports whether the block shows the input at once; one that names no inputs shows all.
func standsOpen(b lesson.Plate, id string) bool {
	return len(b.Inputs) == 0 || slices.ContainsFunc(b.Inputs, func(r lesson.Ref) bool { return r.Text == id })
}

// groupOf is the field's group, "" when the Spec has none of that name.
func groupOf(spec catalog.Spec, f catalog.Field) string {
	for _, g := range spec.Groups {
		if g.ID == f.Group {
			return g.ID
		}
	}
	return ""
}

// divide puts a group that has fields at the end of one of the lists.
func divide(open, more []Group, g Group, first bool) ([]Group, []Group) {
	switch {
	case len(g.Fields) == 0:
	case first:
		open = append(open, g)
	default:
		more = append(more, g)
	}
	return open, more
}

func (s *site) formField(block string, f catalog.Field, value string) FormField {
	lo, hi := f.SlideMin, f.SlideMax
	if lo == 0 && hi == 0 {
		lo, hi = f.Min, f.Max
	}
	out := FormField{ID: block + "-" + f.ID, Field: f.ID, Label: f.Label, Value: value, Unit: f.Kind.Unit(),
		Help: s.say("helpAllowed", "help", sentence(f.Help), "range", s.rangeWords(f)),
		Min:  quantity.Shortest(lo), Max: quantity.Shortest(hi), Step: quantity.Shortest(f.Step)}
	if f.Step == 0 {
		out.Step = "any"
	}
	if f.Worded() {
		out.Help, out.Unit, out.Free = sentence(f.Help), "", f.Free
		for _, c := range f.Choices {
			out.Choices = append(out.Choices, Choice{c.ID, c.Label, c.ID == value})
		}
	}
	return out
}

// sentence ends a help text with a full stop.
func sentence(text string) string {
	text = strings.TrimSpace(text)
	if text == "" || strings.HasSuffix(text, ".") || strings.HasSuffix(text, "?") {
		return text
	}
	return text + "."
}
