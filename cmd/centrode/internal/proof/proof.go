// Package proof runs every block of the book through its calculator and says whether what the text states is so.
//
// Start at Run. A worked example or an exercise that states another number than the calculator gives is a problem with
// file and line. The answers are kept, since pages print from them and from nothing else. Pages are worked on in
// parallel; what comes out does not depend on the order. It reads no disk and draws nothing.
package proof

import (
	"runtime"
	"sync"

	"centrode/calc/catalog"
	"centrode/calc/catalog/list"
	"centrode/calc/plate"
	"centrode/calc/vary"
	"centrode/cmd/centrode/internal/book"
	"centrode/cmd/centrode/internal/keep"
	"centrode/cmd/centrode/internal/lesson"
	"centrode/cmd/centrode/internal/report"
)

// Proof is the book's answers and verdicts.
type Proof struct {
	Checks []Check // in the order of the book

	book  *book.Book
	pages map[string]*pageProof
}

// Check is one expectation and what became of it.
type Check struct {
	File      string
	Line      int
	Page      string // slug, "plates/ID" or "home"
	Block     string // id
	Output    string
	Expected  string // as written, without the tolerance
	Computed  string // with enough digits to see the difference, "none" when there is no such output
	Tolerance string // in the unit of Expected; "" for words
	OK        bool

	number, computed float64 // both in the unit as written, for the check of the check
}

// pair is the two runs of a comparison.
type pair struct{ current, candidate catalog.Answer }

// pageProof is what came of one page.
type pageProof struct {
	page      book.Page
	answers   map[string]catalog.Answer
	pairs     map[string]pair
	questions map[string]vary.Question
	digits    map[string]int // decimals in the base unit of what a block expects, by "block.output"
	checks    []Check
}

// Run computes every block of every page. What cannot be computed, or differs from what is stated, is in log; inputs
// that book.Load has refused are not reported twice. A page whose proof is kept, and that depends on nothing that changed, is not
// run anew; where kept is nil all are.
func Run(b *book.Book, log *report.Log, kept *keep.Store) *Proof {
	pages := b.Pages()
	done := make([]*pageProof, len(pages))
	next := make(chan int)
	var wait sync.WaitGroup
	for range min(runtime.GOMAXPROCS(0), len(pages)) {
		wait.Go(func() {
			for i := range next {
				key := "proved " + keep.Sum(pages[i].ID, pages[i].Lesson.Sum, b.Context(pages[i].Lesson))
				done[i] = keep.Of(kept, key, func() *pageProof { return provePage(b, pages[i], log) })
			}
		})
	}
	for i := range pages {
		next <- i
	}
	close(next)
	wait.Wait()
	p := &Proof{book: b, pages: map[string]*pageProof{}}
	for _, one := range done {
		p.pages[one.page.ID] = one
		p.Checks = append(p.Checks, one.checks...)
	}
	return p
}

// prover works on one page.
type prover struct {
	*pageProof
	book *book.Book
	log  *report.Log
}

func provePage(b *book.Book, page book.Page, log *report.Log) *pageProof {
	p := prover{&pageProof{page: page, answers: map[string]catalog.Answer{}, pairs: map[string]pair{},
		questions: map[string]vary.Question{}, digits: map[string]int{}}, b, log}
	l := page.Lesson
	for _, block := range l.Blocks() {
		c, err := list.Find(block.Calculator.Text)
		if err != nil || block.ID == "" {
			continue // reported by the reader or the book
		}
		switch block.Kind {
		case lesson.WorkedBlock:
			p.worked(c, block, l.Worked[block.Index])
		case lesson.ExerciseBlock:
			p.exercise(c, block, l.Exercises[block.Index])
		case lesson.PlateBlock:
			p.run(c, block, l.Plates[block.Index].Given)
		case lesson.CompareBlock:
			p.compare(c, block, l.Compares[block.Index])
		}
	}
	return p.pageProof
}

func (p prover) problem(line int, text string) { p.log.Add(p.page.Lesson.File, line, text) }

// run computes the block's answer and keeps it. A refusal is reported where the refused input stands.
func (p prover) run(c catalog.Calculator, block lesson.Block, given []lesson.Given) (catalog.Answer, bool) {
	a, ok := p.compute(c, block, block.Line, given)
	if ok {
		p.answers[block.ID] = a
	}
	return a, ok
}

func (p prover) compute(c catalog.Calculator, block lesson.Block, line int, given ...[]lesson.Given) (catalog.Answer, bool) {
	values, err := p.book.Values(c.Spec(), block.Preset.Text, given...)
	var a catalog.Answer
	if err == nil {
		a, err = catalog.Run(c, values)
	}
	if err != nil {
		if block.Preset.Text != "" && line == block.Line {
			line = block.Preset.Line
		}
		p.problem(book.Blame(block.ID, line, err, given...)) // said in the words of book.Load, so that the log holds it once
		return catalog.Answer{}, false
	}
	return a, true
}

func (p prover) worked(c catalog.Calculator, block lesson.Block, w lesson.Worked) {
	a, ok := p.run(c, block, w.Given)
	if !ok {
		return
	}
	for _, e := range w.Expect {
		if o, ok := a.Spec.Output(e.ID); ok { // an unknown one is the book's to report
			p.expect(block, e, o, a)
		}
	}
}

func (p prover) compare(c catalog.Calculator, block lesson.Block, b lesson.Compare) {
	current, ok := p.compute(c, block, block.Line, b.Given, b.Current)
	candidate, too := p.compute(c, block, block.Line, b.Given, b.Candidate)
	if ok && too {
		p.pairs[block.ID] = pair{current, candidate}
	}
}

// Answer returns the run behind a worked example, an exercise or a plate. A page is a lesson's slug, "plates/ID" or
// "home".
func (p *Proof) Answer(page, block string) (catalog.Answer, bool) {
	one, ok := p.pages[page]
	if !ok {
		return catalog.Answer{}, false
	}
	a, ok := one.answers[block]
	return a, ok
}

// Pair returns the two runs behind a comparison.
func (p *Proof) Pair(page, block string) (current, candidate catalog.Answer, ok bool) {
	one, ok := p.pages[page]
	if !ok {
		return current, candidate, false
	}
	both, ok := one.pairs[block]
	return both.current, both.candidate, ok
}

// Question returns an exercise as data, with the numbers that its sentence tells: what is drawn anew with fresh numbers.
// Refs are what the sentence holds as {=…}, in order; those that the exercise itself does not hold stay as they are, and
// are left out.
func (p *Proof) Question(page, block string, refs []string) (plate.Recipe, bool) {
	one, ok := p.pages[page]
	if !ok {
		return plate.Recipe{}, false
	}
	q, ok := one.questions[block]
	r := plate.Recipe{Question: q}
	for _, ref := range refs {
		if v, err := p.book.Value(one.page.Lesson, ref); err == nil && !v.IsFact && v.Block.ID == block {
			r.Told = append(r.Told, told(v, one.wanted(v)))
		}
	}
	return r, ok
}

// told is a value of a question as calc/plate prints it.
func told(v book.Value, digits int) plate.Told {
	if v.Story {
		return plate.Told{Length: v.Length, Unit: v.Unit}
	}
	return plate.Told{ID: v.Shown.ID, Digits: digits, Unit: v.Unit}
}
