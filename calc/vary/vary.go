// Package vary draws fresh numbers for an exercise and works out again what they lead to.
//
// Start at Question.Draw. All lengths of the printed values grow or shrink by one factor, which keeps every shape and so
// every fact that a question tells about it; inputs that the exercise names (Range, Wobble) are drawn by themselves. The
// mistakes that its hints recognise go along. A draw that would make a poor question is thrown away for the next one:
// see sound. The same seed gives the same numbers, in the build and in the page.
//
// The package writes no text and reads no file; see calc/plate for how a page asks it.
package vary

import (
	"math"

	"centrode/calc/catalog"
	"centrode/calc/quantity"
)

// Question is an exercise as data: what its author wrote, and the mistakes it recognises.
type Question struct {
	Given     catalog.Values // as prepared by catalog.Run, complete
	Ask       string         // id of the output asked for
	Tolerance float64        // how near a reader must come, base unit of the output
	Ranges    []Range
	Wobbles   []Wobble
	Mistakes  []Mistake
}

// Range is an input that is drawn by itself: From, From+Step, … up to To, in its base unit.
type Range struct {
	Field          string
	From, To, Step float64
}

// Wobble is a table whose numbers are drawn one by one, each at most the part Share (0.1: a tenth) away from where it is
// printed. Equal numbers stay equal, so that a mistake that mixes up rows still mixes up the same ones.
type Wobble struct {
	Table string
	Share float64
}

// Mistake is one known way to a wrong answer: the calculator is run with Given, and Output times Times is the outcome; or
// Formula is, see Formula.
type Mistake struct {
	Given   catalog.Values // complete, like Question.Given
	Output  string
	Times   float64
	Formula string
}

// Outcome is what a reader may arrive at: a number in the base unit, a word, or neither.
type Outcome struct {
	Number float64
	Word   string
	Exists bool
	IsWord bool
}

// Drawn is a question with fresh numbers.
type Drawn struct {
	Answer    catalog.Answer
	Factor    float64 // by which all lengths have grown
	Tolerance float64
	Right     Outcome
	Outcomes  []Outcome // of the mistakes
}

// attempts is how many draws are looked at before an exercise is said to have no fresh numbers.
const attempts = 60

// Draw returns the question with the numbers of a seed, any text. ok is false when no sound question was found, which
// the tests of the book rule out for its exercises.
func (q Question) Draw(c catalog.Calculator, seed string) (drawn Drawn, ok bool) {
	printed, err := q.solve(c, change{factor: 1})
	if err != nil {
		return Drawn{}, false
	}
	spec := c.Spec()
	random := newStream(seed)
	for range attempts {
		fresh, err := q.solve(c, q.change(spec, random))
		if err == nil && q.sound(printed, &fresh) {
			return fresh, true
		}
	}
	return Drawn{}, false
}

// Printed returns the question with the numbers it is printed with.
func (q Question) Printed(c catalog.Calculator) (Drawn, error) { return q.solve(c, change{factor: 1}) }

// solve runs the question and its mistakes with a change applied to all of them.
func (q Question) solve(c catalog.Calculator, by change) (Drawn, error) {
	spec := c.Spec()
	a, err := catalog.Run(c, by.values(spec, q.Given, q.Given))
	if err != nil {
		return Drawn{}, err
	}
	d := Drawn{Answer: a, Factor: by.factor, Tolerance: q.Tolerance, Right: Of(a, q.Ask)}
	for _, m := range q.Mistakes {
		outcome := Outcome{}
		if run, err := catalog.Run(c, by.values(spec, q.Given, m.Given)); err == nil {
			outcome = m.outcome(run)
		}
		d.Outcomes = append(d.Outcomes, outcome)
	}
	return d, nil
}

func (m Mistake) outcome(a catalog.Answer) Outcome {
	if m.Formula != "" {
		v, err := Formula(m.Formula, a)
		return Outcome{Number: v, Exists: err == nil}
	}
	x := Of(a, m.Output)
	x.Number *= m.Times
	return x
}

// Of reads an output of an answer.
func Of(a catalog.Answer, id string) Outcome {
	if word, ok := a.Result.Texts[id]; ok {
		return Outcome{Word: word, Exists: true, IsWord: true}
	}
	v, ok := a.Result.Numbers[id]
	return Outcome{Number: v, Exists: ok}
}

// Like reports whether grading could take one for the other.
func (x Outcome) Like(y Outcome, tolerance float64) bool {
	if !x.Exists || !y.Exists || x.IsWord != y.IsWord {
		return false
	}
	if x.IsWord {
		return x.Word == y.Word
	}
	return math.Abs(x.Number-y.Number) <= tolerance*(1+1e-12)
}

// Text writes an outcome as grading reads it: shortest digits, the word, or "" when it does not exist.
func (x Outcome) Text() string {
	switch {
	case !x.Exists:
		return ""
	case x.IsWord:
		return x.Word
	}
	return quantity.Shortest(x.Number)
}

// sound says whether fresh numbers make as good a question as the printed ones, and sets its tolerance: the answer exists
// with the same sign and not far from the same size, no new warning came up, every mistake still leads to a number of its
// own. The tolerance keeps its share of the answer where that is a length or an area.
func (q Question) sound(printed Drawn, fresh *Drawn) bool {
	if fresh.Right.Exists != printed.Right.Exists || fresh.Right.IsWord != printed.Right.IsWord || !warnsNoMore(printed, *fresh) {
		return false
	}
	asked, _ := fresh.Answer.Spec.Output(q.Ask)
	if counted := asked.Kind == quantity.Count; !fresh.Right.IsWord && !counted {
		share := fresh.Right.Number / printed.Right.Number
		if !(share > 0.4 && share < 2.5) {
			return false
		}
		if asked.Kind == quantity.Length || asked.Kind == quantity.Area {
			fresh.Tolerance = twoDigits(q.Tolerance * share)
		}
		if math.Abs(fresh.Right.Number) < 4*fresh.Tolerance || printed.Right.Like(fresh.Right, 2*q.Tolerance) {
			return false
		}
	}
	for i, x := range fresh.Outcomes {
		if x.Exists != printed.Outcomes[i].Exists || x.Like(fresh.Right, fresh.Tolerance) {
			return false
		}
		for _, y := range fresh.Outcomes[:i] {
			if x.Like(y, fresh.Tolerance) {
				return false
			}
		}
	}
	return true
}

func warnsNoMore(printed, fresh Drawn) bool {
	known := map[string]bool{}
	for _, w := range printed.Answer.Result.Warnings {
		known[w.Code] = true
	}
	for _, w := range fresh.Answer.Result.Warnings {
		if !known[w.Code] {
			return false
		}
	}
	return true
}

// twoDigits rounds a positive number to two significant digits, as a person states a tolerance.
func twoDigits(v float64) float64 {
	unit := 1.0
	for v/unit >= 100 {
		unit *= 10
	}
	for v > 0 && v*(1/unit) < 10 {
		unit /= 10
	}
	return rounded(math.Round(v/unit)*unit, 9)
}
