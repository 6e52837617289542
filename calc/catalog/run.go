package catalog

import "math"

// Answer is one completed run: the values that were used, defaults filled in, and what they gave.
type Answer struct {
	Calculator Calculator
	Spec       Spec
	Values     Values
	Result     Result
}

// Run prepares the given values, solves, and makes sure that nothing infinite or undefined leaves the catalogue.
func Run(c Calculator, given Values) (Answer, error) { return RunSpec(c, c.Spec(), given) }

// RunSpec is Run for callers that ask many times: spec is c.Spec(), which costs more to build than most answers.
func RunSpec(c Calculator, spec Spec, given Values) (Answer, error) {
	values, err := Prepare(spec, given)
	if err != nil {
		return Answer{}, err
	}
	result, err := c.Solve(values)
	if err != nil {
		return Answer{}, err
	}
	if id := firstNotFinite(spec, result); id != "" {
		return Answer{}, &InputError{Field: id, Allowed: "cannot be computed from these values: a number grew past what can be represented; use values nearer to each other in size"}
	}
	return Answer{c, spec, values, result}, nil
}

// Say returns the answer as one plain sentence.
func (a Answer) Say() string { return a.Calculator.Say(a.Values, a.Result) }

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
