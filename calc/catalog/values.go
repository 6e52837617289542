package catalog

import (
	"slices"

	"centrode/calc/quantity"
)

// Values are the inputs of one run, in base units.
type Values struct {
	Numbers map[string]float64
	Choices map[string]string
	Tables  map[string]Rows
	Units   quantity.Units // what sentences and drawings print lengths in; nothing is computed from it
	// On is the run on whose sheet the drawing lies; nil is for a sheet of its own, arranged for what it holds. So nothing slips from
	// under a hand: what moves is drawn where it was gripped. A drawing that is the same on any sheet need not look.
	On *Answer
}

// NewValues returns an empty set of values, ready to be filled.
func NewValues() Values {
	return Values{Numbers: map[string]float64{}, Choices: map[string]string{}, Tables: map[string]Rows{}}
}

// Clone returns a copy that shares nothing that is ever written to: the maps are new, table columns are shared, and
// columns are read-only by convention.
func (v Values) Clone() Values {
	c := NewValues()
	c.add(v)
	return c
}

func (v *Values) add(from Values) {
	v.Units = from.Units
	for k, n := range from.Numbers {
		v.Numbers[k] = n
	}
	for k, s := range from.Choices {
		v.Choices[k] = s
	}
	for k, t := range from.Tables {
		v.Tables[k] = t
	}
}

// Rows is a table stored by column, so that large tables cost no allocation per row. Every column has Len entries.
type Rows struct {
	Len     int
	Numbers map[string][]float64
	Texts   map[string][]string
}

// Result is the answer of one run, in base units. A missing key in Numbers and Texts is a null output.
type Result struct {
	Numbers  map[string]float64
	Texts    map[string]string
	Tables   map[string]Rows
	Warnings []Warning
	// Own is what the calculator's own drawing would otherwise work out again; nobody else reads it. Nil for none.
	Own any
}

// NewResult returns an empty result, ready to be filled.
func NewResult() Result {
	return Result{Numbers: make(map[string]float64, 16), Texts: map[string]string{}, Tables: map[string]Rows{}}
}

// Warn appends a warning: code is a stable word ("open-curl"), field the input or output it is about, text a sentence.
func (r *Result) Warn(code, field, text string) {
	r.Warnings = append(r.Warnings, Warning{Code: code, Field: field, Text: text})
}

// Note appends a warning that asks for no care: it says why an output has no value, or which of two readings holds.
func (r *Result) Note(code, field, text string) {
	r.Warnings = append(r.Warnings, Warning{Code: code, Field: field, Text: text, Note: true})
}

// Told returns the warnings as a reader wants them: every sentence once, though it may be about several outputs.
func (r Result) Told() []Warning {
	var list []Warning
	for _, w := range r.Warnings {
		if !slices.ContainsFunc(list, func(told Warning) bool { return told.Text == w.Text }) {
			list = append(list, w)
		}
	}
	return list
}

// Has reports whether the numeric output exists.
func (r Result) Has(id string) bool { _, ok := r.Numbers[id]; return ok }

// Warning is something a reader must know about a result that is still an answer.
type Warning struct {
	_                 Uncompared
	Code, Field, Text string
	Note              bool // no caution: see Result.Note
}
