package catalog

import "centrode/calc/figure"

// Staged is a Calculator whose work can grow until a reader has to wait. It can be done in stages, so that a page can
// show how far it is and stop it, and for values with less work whose answer is near.
type Staged interface {
	Calculator
	// Stages begins the work of Solve for prepared values; it refuses what Solve refuses.
	Stages(Values) (Stages, error)
	// Rough returns the values with as little of the detail as a reader needs while something moves: short work, the same
	// problem. Values that are short work already come back as they are.
	Rough(Values) Values
}

// Stages is work in the making.
type Stages interface {
	Total() int // how many stages there are, at least 1
	Next()      // does one more
	// Result is what Solve would have answered; call it after Total stages.
	Result() Result
}

// Probed is a Calculator whose drawing can be read at any point, as a map can.
type Probed interface {
	Calculator
	// View is the part of the model that the drawing for prepared values shows, as in figure.Figure.
	View(Values) figure.Rect
	// Probe says in a phrase with units what holds at x, y of the drawing, in its model units; "" where there is nothing.
	Probe(v Values, x, y float64) string
}

// Judged is a Calculator that answers a plain question about its result, as a quick check asks it.
type Judged interface {
	Calculator
	// Verdict answers in one sentence that begins with the answer itself: "No. The pulp stops 1.00 cm short of the palm."
	Verdict(Values, Result) Verdict
}

// Verdict is a yes or a no with its reason.
type Verdict struct {
	Good bool
	Text string
}

// Work is one run that is done in parts. Start at Begin, call Next until Done is Total, then ask for the Answer.
type Work struct {
	answer      Answer
	stages      Stages
	done, total int
	err         error
}

// Begin prepares the given values and begins the run; a calculator that is not Staged is one part.
func Begin(c Calculator, given Values) (*Work, error) {
	spec := c.Spec()
	values, err := Prepare(spec, given)
	if err != nil {
		return nil, err
	}
	w := &Work{answer: Answer{Calculator: c, Spec: spec, Values: values}, total: 1}
	if staged, ok := c.(Staged); ok {
		if w.stages, err = staged.Stages(values); err != nil {
			return nil, err
		}
		w.total = max(1, w.stages.Total())
	}
	return w, nil
}

// Total is the number of parts, at least 1.
func (w *Work) Total() int { return w.total }

// Done is how many of them are done.
func (w *Work) Done() int { return w.done }

// Next does one more part; after the last it does nothing.
func (w *Work) Next() {
	switch {
	case w.done >= w.total:
		return
	case w.stages == nil:
		w.answer.Result, w.err = w.answer.Calculator.Solve(w.answer.Values)
	default:
		w.stages.Next()
	}
	w.done++
}

// Answer does what is left to be done and returns what Run would have.
func (w *Work) Answer() (Answer, error) {
	for w.done < w.total {
		w.Next()
	}
	if w.err != nil {
		return Answer{}, w.err
	}
	if w.stages != nil {
		w.answer.Result = w.stages.Result()
		w.stages = nil
	}
	if err := checked(w.answer); err != nil {
		return Answer{}, err
	}
	return w.answer, nil
}

// Prepared is the set of values that the run uses, defaults filled in.
func (w *Work) Prepared() Values { return w.answer.Values }
