package catalog

import (
	"math"

	"centrode/calc/quantity"
)

// Answer is one completed run: the values that were used, defaults filled in, and what they gave.
type Answer struct {
	Calculator Calculator
	Spec       Spec
	Values     Values
	Result     Result
	Measures   Measures // what numbers are written in; nil for base units
}

// Measures writes numbers in units that somebody asked for, see quantity.Measures. It is an interface, since pages write none and need not
// load what does.
type Measures interface {
	Append(b []byte, v float64, kind quantity.Kind) []byte
	Entry(v float64, kind quantity.Kind) string
	Head(id string, kind quantity.Kind) string
	Unit(kind quantity.Kind) string
}

func appendIn(m Measures, b []byte, v float64, kind quantity.Kind) []byte {
	if m == nil {
		return quantity.AppendShortest(b, v)
	}
	return m.Append(b, v, kind)
}

func headIn(m Measures, id string, kind quantity.Kind, text bool) string {
	if m == nil || text {
		return id
	}
	return m.Head(id, kind)
}

func entryIn(m Measures, v float64, kind quantity.Kind) string {
	if m == nil {
		return quantity.Entry(v, kind)
	}
	return m.Entry(v, kind)
}

// Run prepares the given values, solves, and makes sure that nothing infinite or undefined leaves the catalogue.
func Run(c Calculator, given Values) (Answer, error) {
	return runInto(c, c.Spec(), given, NewValues())
}

// Runner answers one question after another with the same memory: a batch spends its time on numbers and not on maps. An
// Answer holds until the next question. A Runner serves one goroutine.
type Runner struct {
	calculator  Calculator
	spec        Spec
	base        Values
	given, full Values
}

// NewRunner returns a Runner whose questions all start from the values in base.
func NewRunner(c Calculator, base Values) *Runner {
	return &Runner{c, c.Spec(), base, base.Clone(), NewValues()}
}

// Question returns the values of the next question, as they are in base, to be filled in.
func (r *Runner) Question() *Values {
	clear(r.given.Numbers)
	clear(r.given.Choices)
	clear(r.given.Tables)
	r.given.add(r.base)
	return &r.given
}

// Answer runs the question that was filled in.
func (r *Runner) Answer() (Answer, error) {
	clear(r.full.Tables)
	return runInto(r.calculator, r.spec, r.given, r.full)
}

func runInto(c Calculator, spec Spec, given, values Values) (Answer, error) {
	if err := prepareInto(spec, given, &values); err != nil {
		return Answer{}, err
	}
	result, err := c.Solve(values)
	if err != nil {
		return Answer{}, err
	}
	a := Answer{Calculator: c, Spec: spec, Values: values, Result: result}
	if err := checked(a); err != nil {
		return Answer{}, err
	}
	return a, nil
}

// checked refuses an answer with a number that is infinite or undefined.
func checked(a Answer) error {
	if id := firstNotFinite(a.Spec, a.Result); id != "" {
		return &InputError{Field: id, Allowed: "cannot be computed from these values: a number grew past what can be represented; use values nearer to each other in size"}
	}
	return nil
}

// Say returns the answer as one plain sentence.
func (a Answer) Say() string { return a.Calculator.Say(a.Values, a.Result) }

// Verdict answers the calculator's plain question; ok is false when it has none.
func (a Answer) Verdict() (v Verdict, ok bool) {
	judged, ok := a.Calculator.(Judged)
	if !ok {
		return v, false
	}
	return judged.Verdict(a.Values, a.Result), true
}

func firstNotFinite(spec Spec, r Result) string {
	for _, list := range [][]Output{spec.Outputs, spec.Workings} {
		for _, o := range list {
			if v, ok := r.Numbers[o.ID]; ok && (math.IsNaN(v) || math.IsInf(v, 0)) {
				return o.ID
			}
		}
	}
	for _, t := range spec.Answers {
		for _, c := range t.Columns {
			for _, v := range r.Tables[t.ID].Numbers[c.ID] {
				if math.IsInf(v, 0) || (math.IsNaN(v) && !c.Optional) {
					return t.ID + "." + c.ID
				}
			}
		}
	}
	return ""
}
