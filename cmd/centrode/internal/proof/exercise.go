package proof

import (
	"fmt"
	"math"
	"strconv"

	"centrode/calc/catalog"
	"centrode/calc/quantity"
	"centrode/cmd/centrode/internal/lesson"
)

// outcome is what a reader may arrive at: a number in the base unit, a word, or neither.
type outcome struct {
	number float64
	word   string
	exists bool
	isWord bool
}

func outcomeOf(a catalog.Answer, o catalog.Output) outcome {
	if o.Text {
		word, ok := a.Result.Texts[o.ID]
		return outcome{word: word, exists: ok, isWord: true}
	}
	v, ok := a.Result.Numbers[o.ID]
	return outcome{number: v, exists: ok}
}

// like reports whether grading could take one for the other.
func (x outcome) like(y outcome, tolerance float64) bool {
	if !x.exists || !y.exists || x.isWord != y.isWord {
		return false
	}
	if x.isWord {
		return x.word == y.word
	}
	return math.Abs(x.number-y.number) <= tolerance*(1+1e-12)
}

func (x outcome) text() string {
	switch {
	case !x.exists:
		return ""
	case x.isWord:
		return x.word
	}
	return quantity.Shortest(x.number)
}

// exercise proves the stated answer and runs each known mistake: one that leads to the right answer, or to where
// another mistake leads, would tell a reader something untrue.
func (p prover) exercise(c catalog.Calculator, block lesson.Block, e lesson.Exercise) {
	a, ok := p.run(c, block, e.Given)
	if !ok {
		return
	}
	asked, known := a.Spec.Output(e.Ask.Text)
	if !known {
		return // reported by the book
	}
	if e.Answer.Text != "" {
		p.expect(block, e.Answer, asked, a)
	}
	tolerance := p.tolerance(block, e, asked)
	right := outcomeOf(a, asked)
	outcomes := make([]outcome, len(e.Hints))
	texts := make([]string, len(e.Hints))
	for i, h := range e.Hints {
		name := block.ID + ": hint " + strconv.Itoa(i+1)
		outcomes[i], ok = p.hint(c, block, e, h, name)
		texts[i] = outcomes[i].text()
		if !ok {
			continue
		}
		switch {
		case !outcomes[i].exists:
			p.problem(h.Line, name+": the mistake leads to no value, so no answer can be recognised by it")
		case outcomes[i].like(right, tolerance):
			p.problem(h.Line, fmt.Sprintf("%s: the mistake gives %s, which counts as the right answer %s (tolerance %s)",
				name, show(outcomes[i], asked), show(right, asked), e.Tolerance))
		}
		for j := range i {
			if outcomes[i].like(outcomes[j], tolerance) {
				p.problem(h.Line, fmt.Sprintf("%s: the mistake gives %s, the same as hint %d within the tolerance %s",
					name, show(outcomes[i], asked), j+1, e.Tolerance))
				break
			}
		}
	}
	p.hints[block.ID] = texts
}

// show prints an outcome with digits enough to compare two.
func show(x outcome, o catalog.Output) string {
	if x.isWord {
		return x.word
	}
	return withUnit(quantity.Fixed(x.number, o.Digits+2), o.Kind.Suffix())
}

// hint runs one mistake.
func (p prover) hint(c catalog.Calculator, block lesson.Block, e lesson.Exercise, h lesson.Hint, name string) (outcome, bool) {
	a, ok := p.answers[block.ID], true
	if len(h.Given) > 0 {
		block.ID, block.Preset.Line = name, h.Line // whom to blame
		if a, ok = p.compute(c, block, h.Line, e.Given, h.Given); !ok {
			return outcome{}, false
		}
	}
	id := e.Ask.Text
	if h.Output.Text != "" {
		id = h.Output.Text
	}
	o, known := a.Spec.Output(id)
	if !known {
		return outcome{}, false // reported by the book
	}
	x := outcomeOf(a, o)
	x.number *= h.Times
	return x, true
}

// tolerance reads how near a reader must come, in the base unit. It must let the stated answer itself pass.
func (p prover) tolerance(block lesson.Block, e lesson.Exercise, o catalog.Output) float64 {
	if o.Text || e.Answer.Text == none {
		return 0
	}
	if e.Tolerance == "" {
		p.problem(block.Line, block.ID+`: "tolerance" is missing: how near a reader must come, as in 0.05 cm`)
		return 0
	}
	tolerance, err := quantity.Parse(e.Tolerance, o.Kind)
	switch {
	case err != nil:
		p.problem(block.Line, block.ID+": tolerance: "+err.Error())
		return 0
	case tolerance == 0 && o.Kind == quantity.Count:
		return 0 // a count is right or wrong
	case tolerance <= 0:
		p.problem(block.Line, block.ID+": tolerance: "+strconv.Quote(e.Tolerance)+": must be above 0")
		return 0
	}
	if answer, err := readExpectation(e.Answer.Text, o.Kind); err == nil && tolerance < answer.tolerance*answer.factor*(1-1e-9) {
		p.problem(block.Line, fmt.Sprintf("%s: tolerance: %q is finer than the answer %s is printed; widen it or print more digits",
			block.ID, e.Tolerance, e.Answer.Text))
	}
	return tolerance
}
