// Package catalog says what a calculator is: its description, the values it takes, the answer it gives.
//
// A calculator is one package under calc with a type that implements Calculator, and one line in catalog/list. From
// its Spec alone follow its form, plate, command, fixture syntax and reference page. Start at Calculator; callers
// start at Run. Numbers are in the base units of package quantity (cm, degrees) at this boundary.
//
// The package knows no calculator, no file and no page.
package catalog

import (
	"centrode/calc/figure"
	"centrode/calc/quantity"
)

// Calculator is one computation of the handbook. Implementations hold no state.
type Calculator interface {
	// Spec describes the calculator. The description is the same at every call.
	Spec() Spec
	// Solve computes the answer for prepared values (see Prepare): complete, in range, finite. It refuses what only the
	// computation can know to be impossible with an *InputError and otherwise returns finite numbers; an output that
	// does not exist for the input is left out of Result.Numbers and explained by a Warning.
	Solve(Values) (Result, error)
	// Figure draws the answer in model units.
	Figure(Values, Result) figure.Figure
	// Say states the result in one plain sentence, with units, for a reader who sees no figure.
	Say(Values, Result) string
}

// Spec describes a calculator: everything that a form, a command, a fixture or a reference page must know.
type Spec struct {
	ID      string // "finger-curl"
	Title   string // "How tightly a finger closes"
	Purpose string // one sentence
	// Compares is true when the calculator itself takes a current and a candidate placement (hinge-arc). Otherwise a
	// plate overlays two runs: the starting values as current, the edited ones as candidate.
	Compares bool
	// Single is true when the inputs are measured data and no placement, so that there is nothing to compare: a plate then
	// shows one run alone, without the starting values beneath it. Compares is false in that case.
	Single   bool
	Groups   []Group
	Fields   []Field
	Tables   []Table
	Outputs  []Output
	Answers  []Table  // output tables
	Workings []Output // intermediate values that Steps show; in Result.Numbers, but no outputs
	Steps    []Step
	Presets  []Preset
	Sources  []string // keys of content/sources.json
	Cautions []string // sentences
}

// Group is a heading under which fields stand in a form.
type Group struct {
	_         Uncompared
	ID, Label string
}

// Field is one scalar input: a quantity, a choice when Choices is not empty, or free text.
type Field struct {
	ID    string // "mcp_depth": lower case with underscores
	Label string // plain words first: "Knuckle depth (MCP)"
	Help  string // one or two sentences: what it is and how to measure it
	Group string // id of a Group
	Kind  quantity.Kind
	// Default is used when the field is not given.
	Default float64
	// Min and Max bound what is accepted; MinOpen excludes Min itself ("above 0").
	Min, Max float64
	MinOpen  bool
	// SlideMin and SlideMax bound the slider, a comfortable part of the range; both 0 means Min and Max.
	SlideMin, SlideMax float64
	Step               float64 // one key press; ten of them with Shift; dragging snaps to a tenth of it
	Choices            []Choice
	// Free is true for a field of free text, such as the name of a joint; Choices is then empty.
	Free          bool
	DefaultChoice string // the default of a choice or of free text
}

// Worded reports whether the field holds a word, chosen or free, instead of a quantity.
func (f Field) Worded() bool { return f.Free || len(f.Choices) > 0 }

// Choice is one value of a choice field.
type Choice struct {
	_         Uncompared
	ID, Label string
}

// Uncompared marks what no program compares. The compiler writes a function that compares for every struct, and for every length of
// list that a Spec has of it, unless one of its parts cannot be compared: the calculators' module is 1 % smaller for it.
type Uncompared [0]func()

// Column is one column of a table. Text columns hold names; numeric ones quantities.
type Column struct {
	_         Uncompared
	ID, Label string
	Help      string
	Kind      quantity.Kind
	Text      bool
	// Named columns of an answer hold names that somebody gave, which stay as they are in every language.
	Named bool
	// Optional columns may be absent from input; absent cells then hold Default. In an answer table an optional
	// column may hold NaN, which is written as null.
	Optional bool
	Default  float64
	Min, Max float64
	MinOpen  bool
	Digits   int // decimals shown, in answer tables
}

// Table describes a table of input or output.
type Table struct {
	ID, Label        string
	Help             string
	Columns          []Column
	MinRows, MaxRows int
	Optional         bool
	// Default is used when the table is not given.
	Default Rows
}

// Output is one scalar result.
type Output struct {
	_      Uncompared
	ID     string // "pulp_gap"
	Label  string // "Gap between pulp and palm"
	Help   string // what it means for the pose, and its formula in words
	Kind   quantity.Kind
	Digits int  // decimals shown on a page
	Text   bool // a word such as "point" instead of a number
	// Side is "current" or "candidate" for outputs that come in pairs, with the same Pair (its row label's id, such as
	// "radius") on both; empty otherwise.
	Side, Pair string
}

// Step is one line of the derivation. TeX may hold \slot{id}, where id names a field, output or working; the number
// alone is put in, rounded to the output's digits, so the TeX writes the unit itself.
type Step struct {
	_   Uncompared
	Say string // a clause of plain text, no markup: what this line does
	TeX string
}

// Preset is a named set of values, in text as a person would type them ("1.8 cm"); fields left out keep defaults.
type Preset struct {
	ID, Label string
	Note      string // where the values come from: "invented", or a source key
	Values    []Entry
}

// Entry is one field's value as text, in the order it was written.
type Entry struct {
	_        Uncompared
	ID, Text string
}
