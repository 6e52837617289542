package proof

import (
	"fmt"
	"strconv"

	"centrode/calc/catalog"
	"centrode/calc/quantity"
	"centrode/calc/vary"
	"centrode/cmd/centrode/internal/lesson"
)

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
	sound := e.Answer.Text == "" || p.expect(block, e.Answer, asked, a)
	q := vary.Question{Given: a.Values, Ask: asked.ID, Tolerance: p.tolerance(block, e, asked)}
	q.Ranges, q.Wobbles = p.varied(block, e, a.Spec, a.Values)
	var read []int // the hints that could be read; the others are reported
	for i, h := range e.Hints {
		if m, ok := p.mistake(c, block, e, h, hintName(block, i)); ok {
			q.Mistakes, read = append(q.Mistakes, m), append(read, i)
		}
	}
	printed, err := q.Printed(c)
	if err != nil {
		return // reported
	}
	p.questions[block.ID] = q
	sound = p.outcomes(block, e, asked, printed, read) && sound
	if sound && len(read) == len(e.Hints) {
		p.fresh(c, block, q)
	}
}

func hintName(block lesson.Block, i int) string { return block.ID + ": hint " + strconv.Itoa(i+1) }

// outcomes reports mistakes that cannot be told from the right answer or from each other, and whether all of them can.
func (p prover) outcomes(block lesson.Block, e lesson.Exercise, asked catalog.Output, printed vary.Drawn, read []int) (sound bool) {
	sound = true
	for i, x := range printed.Outcomes {
		name, line := hintName(block, read[i]), e.Hints[read[i]].Line
		switch {
		case !x.Exists:
			sound = false
			p.problem(line, name+": the mistake leads to no value, so no answer can be recognised by it")
		case x.Like(printed.Right, printed.Tolerance):
			sound = false
			p.problem(line, fmt.Sprintf("%s: the mistake gives %s, which counts as the right answer %s (tolerance %s)",
				name, show(x, asked), show(printed.Right, asked), e.Tolerance))
		}
		for j, y := range printed.Outcomes[:i] {
			if x.Like(y, printed.Tolerance) {
				sound = false
				p.problem(line, fmt.Sprintf("%s: the mistake gives %s, the same as hint %d within the tolerance %s",
					name, show(x, asked), read[j]+1, e.Tolerance))
				break
			}
		}
	}
	return sound
}

// show prints an outcome with digits enough to compare two.
func show(x vary.Outcome, o catalog.Output) string {
	if x.IsWord {
		return x.Word
	}
	return withUnit(quantity.Fixed(x.Number, o.Digits+2), o.Kind.Suffix())
}

// mistake reads one hint and runs its inputs, so that what is refused is reported; ok is false then.
func (p prover) mistake(c catalog.Calculator, block lesson.Block, e lesson.Exercise, h lesson.Hint, name string) (vary.Mistake, bool) {
	a, ok := p.answers[block.ID], true
	if len(h.Given) > 0 {
		block.ID = name // whom to blame
		if a, ok = p.compute(c, block, h.Line, e.Given, h.Given); !ok {
			return vary.Mistake{}, false
		}
	}
	m := vary.Mistake{Given: a.Values, Output: e.Ask.Text, Times: h.Times, Formula: h.Formula}
	if h.Output.Text != "" {
		m.Output = h.Output.Text
	}
	if h.Formula != "" {
		if _, err := vary.Formula(h.Formula, a); err != nil {
			p.problem(h.Line, name+": formula: "+strconv.Quote(h.Formula)+": "+err.Error())
			return m, false
		}
		return m, true
	}
	_, known := a.Spec.Output(m.Output) // an unknown one is reported by the book
	return m, known
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
