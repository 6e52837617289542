package plate

import (
	"strings"

	"centrode/calc/catalog"
	"centrode/calc/quantity"
)

// None is what stands where an output does not exist for the given input.
const None = "none"

// Row is one line of a plate's table of outputs, formatted with units and ready to print.
type Row struct {
	_          catalog.Uncompared
	Key        string // output id; for a pair of outputs the pair's id
	Pair       bool   // Key is a pair
	Label      string
	Help       string
	Current    string
	Candidate  string
	Difference string // candidate − current, signed
}

// Cells returns the rows of a plate's table of outputs, in the Spec's order.
//
// When the calculator compares placements itself, outputs that come in pairs share a row (the pair's first output
// gives the label) and an output of its own stands in the candidate column alone; base is then not read, and neither is
// it when there is nothing to compare (Spec.Single). Otherwise every output is a row, current from base and candidate from
// live. A missing output prints as None and has no difference; a difference is rounded after subtracting.
func Cells(base, live catalog.Answer) []Row {
	var rows []Row
	for _, o := range live.Spec.Outputs {
		switch {
		case !live.Spec.Compares && !live.Spec.Single:
			rows = append(rows, fill(row(o), o, base, o, live, o))
		case o.Pair == "":
			r := row(o)
			r.Candidate = Text(live, o)
			rows = append(rows, r)
		case o.Side == "current":
			if other, ok := partner(live.Spec, o); ok {
				r := row(o)
				r.Key, r.Pair = o.Pair, true
				rows = append(rows, fill(r, o, live, o, live, other))
			}
		}
	}
	return rows
}

func row(o catalog.Output) Row { return Row{Key: o.ID, Label: o.Label, Help: o.Help} }

// partner finds the candidate's output of the same pair.
func partner(spec catalog.Spec, current catalog.Output) (catalog.Output, bool) {
	for _, o := range spec.Outputs {
		if o.Pair == current.Pair && o.Side == "candidate" {
			return o, true
		}
	}
	return catalog.Output{}, false
}

func fill(r Row, shown catalog.Output, from catalog.Answer, fromID catalog.Output, to catalog.Answer, toID catalog.Output) Row {
	r.Current, r.Candidate = Text(from, fromID), Text(to, toID)
	before, was := from.Result.Numbers[fromID.ID]
	after, is := to.Result.Numbers[toID.ID]
	if was && is && !shown.Text {
		r.Difference = Signed(to.Values.Units, after-before, shown.Kind, shown.Digits)
	}
	return r
}

// Text prints one output in the units of the answer's values, rounded to its digits; None when it does not exist.
func Text(a catalog.Answer, o catalog.Output) string {
	r := a.Result
	if o.Text {
		if word, ok := r.Texts[o.ID]; ok {
			return word
		}
		return None
	}
	if n, ok := r.Numbers[o.ID]; ok {
		return a.Values.Units.Format(n, o.Kind, o.Digits)
	}
	return None
}

// Signed prints a difference with its sign and unit; one that rounds to zero has no sign.
func Signed(units quantity.Units, v float64, kind quantity.Kind, digits int) string {
	text := units.Format(v, kind, digits)
	if v > 0 && strings.Trim(units.Number(v, kind, digits), "0.") != "" {
		return "+" + text
	}
	return text
}

// Slots returns the number that each \slot of the Spec's steps shows, without its unit: outputs and workings rounded
// to their digits; a field with at least the decimals of its step, and more when it was set finer, up to six; a choice
// by its label; None for a missing output.
func Slots(a catalog.Answer) []catalog.Entry {
	var list []catalog.Entry
	for _, id := range SlotIDs(a.Spec) {
		list = append(list, catalog.Entry{ID: id, Text: Slot(a, id)})
	}
	return list
}

// Slot returns the text of one slot, see Slots; an id that the Spec does not have gives None.
func Slot(a catalog.Answer, id string) string {
	if f, ok := a.Spec.Field(id); ok {
		if f.Worded() {
			return choiceLabel(f, a.Values.Choices[id])
		}
		return exact(a.Values.Numbers[id], f.Digits())
	}
	o, ok := a.Spec.Shown(id)
	if !ok {
		return None
	}
	if n, has := a.Result.Numbers[id]; has && !o.Text {
		return quantity.Number(n, o.Digits)
	}
	if word, has := a.Result.Texts[id]; has && o.Text {
		return word
	}
	return None
}

// exact prints v with at least digits decimals and as many more, up to six, as v needs.
func exact(v float64, digits int) string {
	const most = 6
	text := quantity.Number(v, most)
	for extra := most - digits; extra > 0 && strings.HasSuffix(text, "0"); extra-- {
		text = text[:len(text)-1]
	}
	return strings.TrimSuffix(text, ".")
}

func choiceLabel(f catalog.Field, id string) string {
	for _, c := range f.Choices {
		if c.ID == id {
			return c.Label
		}
	}
	return id
}

// SlotIDs lists the ids of all \slot{id} in the Spec's steps, each once, in order of first use.
func SlotIDs(spec catalog.Spec) []string {
	const mark = `\slot{`
	var ids []string
	seen := map[string]bool{}
	for _, step := range spec.Steps {
		rest := step.TeX
		for {
			_, after, found := strings.Cut(rest, mark)
			if !found {
				break
			}
			id, tail, closed := strings.Cut(after, "}")
			if !closed {
				break
			}
			if id = strings.TrimSpace(id); !seen[id] {
				seen[id] = true
				ids = append(ids, id)
			}
			rest = tail
		}
	}
	return ids
}
