package browser

import (
	"strconv"
	"strings"
	"testing"

	"github.com/chromedp/chromedp/kb"
)

// card is the exercise with the id on the page that is open.
type card struct {
	*tab
	id string
}

// at is a script expression about the card: `.querySelector('input')` of it, for instance.
func (c card) at(rest string) string {
	return `document.getElementById('` + c.id + `')` + rest
}

// lesson opens a lesson of an exercise with nothing noted.
func openExercise(t testing.TB, slug, id string, v view) card {
	t.Helper()
	c := card{open(t, "/lessons/"+slug+"/", v), id}
	eval[bool](t, c.tab, `(localStorage.clear(), true)`)
	c.visit(t, origin+"/lessons/"+slug+"/#"+id)
	c.until(t, c.at(`.querySelector('form').hidden === false`))
	return c
}

// answer types an answer, asks for the verdict, and returns its kind and its words.
func (c card) answer(t testing.TB, text string) (kind, words string) {
	t.Helper()
	eval[bool](t, c.tab, `(`+c.at(`.querySelector('[data-verdict]').dataset.result = ''`)+`, true)`)
	eval[bool](t, c.tab, `((input) => { input.value = `+strconv.Quote(text)+`; input.form.requestSubmit(); return true; })(`+c.at(`.querySelector('input')`)+`)`)
	c.until(t, c.at(`.querySelector('[data-verdict]').dataset.result !== ''`))
	return eval[string](t, c.tab, c.at(`.querySelector('[data-verdict]').dataset.result`)), eval[string](t, c.tab, c.at(`.querySelector('[data-verdict]').textContent`))
}

func (c card) text(t testing.TB, selector string) string {
	t.Helper()
	return eval[string](t, c.tab, c.at(`.querySelector('`+selector+`').textContent.trim()`))
}

// drawn presses "New numbers" and waits for them.
func (c card) drawn(t testing.TB) {
	t.Helper()
	before := c.text(t, "[data-numbers-note]")
	eval[bool](t, c.tab, `(`+c.at(`.querySelector('[data-new-numbers]').click()`)+`, true)`)
	c.until(t, c.at(`.querySelector('[data-numbers-note]').textContent.trim() !== `+strconv.Quote(before)))
	c.until(t, `location.hash.includes('?')`)
}

// Each kind of verdict, in a lesson, with the words that a reader gets. What counts as which is tested in calc/plate.
func TestAnExerciseTellsEachMistakeApart(t *testing.T) {
	parallel(t)
	c := openExercise(t, "the-owed-translation", "hock-debt-y", view{})
	open := c.at(`.querySelector('.exercise-solution').open`)
	for _, try := range []struct{ text, kind, words string }{
		{"", "empty", "Type an answer first."},
		{"quite far", "unread", "must be a length"},
		{"12", "wrong", "Not yet. Compare your steps"},
		{"-17.03", "unit", "The number is right in mm; write the unit with it."},
		{"1.703 cm", "hint", "Right size, wrong way."},
		{"-0.761", "hint", "That is x."},
	} {
		kind, words := c.answer(t, try.text)
		if kind != try.kind || !strings.Contains(words, try.words) {
			t.Errorf("%q: is %s, %q; want %s, %q", try.text, kind, words, try.kind, try.words)
		}
		if eval[bool](t, c.tab, open) {
			t.Errorf("%q: shows the working", try.text)
		}
	}
	if kind, words := c.answer(t, "-17.03 mm"); kind != "right" || words != "Right." {
		t.Errorf("the right answer in millimetres is %s, %q", kind, words)
	}
	if !eval[bool](t, c.tab, open) {
		t.Error("the working is not shown after a right answer")
	}
	if got := c.text(t, "[data-exercise-standing]"); got != "Solved" {
		t.Errorf("the exercise stands as %q", got)
	}
	if got := eval[string](t, c.tab, `localStorage.getItem('centrode-progress')`); !strings.Contains(got, `"the-owed-translation/hock-debt-y": {`) || !strings.Contains(strings.ReplaceAll(got, " ", ""), `"tries":5,`+"\n"+`"own":true,`+"\n"+`"fresh":0,`+"\n"+`"shown":false`) {
		t.Errorf("the record is %s", got)
	}
	c.clean(t)
}

// A mistake with radians and one with the wrong pivot, where a lesson has them; and the sign, where no hint speaks of it.
func TestAnExerciseKnowsRadiansAndTheWrongPivot(t *testing.T) {
	parallel(t)
	c := openExercise(t, "turning-about-a-point", "hook-x", view{})
	hints := strings.Fields(eval[string](t, c.tab, c.at(`.dataset.hintValues`)))
	for i, words := range []string{"You turned about the scene", "measured from the pin", "took the angle for radians"} {
		if kind, got := c.answer(t, hints[i]); kind != "hint" || !strings.Contains(got, words) {
			t.Errorf("mistake %d, %s: %s, %q", i+1, hints[i], kind, got)
		}
	}
	if kind, words := c.answer(t, "-367.1"); kind != "sign" || words != "The size is right; look at the sign." {
		t.Errorf("the sign is %s, %q", kind, words)
	}
	c.clean(t)
}

// New numbers: the question, the given values, the right answer, the hints and the working change together; the link
// brings the same ones back; the printed ones return.
func TestNewNumbersAreAskedGradedAndLinked(t *testing.T) {
	parallel(t)
	c := openExercise(t, "the-owed-translation", "pin-debt", view{})
	whole := c.at(`.textContent.replaceAll(/\s+/g, ' ')`)
	question := c.text(t, ".exercise-question")
	printed := eval[string](t, c.tab, c.at(`.dataset.answer`))
	c.drawn(t)
	if c.text(t, ".exercise-question") == question {
		t.Error("the question tells the printed numbers")
	}
	fresh := eval[string](t, c.tab, c.at(`.dataset.answer`))
	if fresh == printed {
		t.Fatal("the answer is the printed one")
	}
	if kind, _ := c.answer(t, printed); kind == "right" {
		t.Error("the answer to the printed numbers counts as right")
	}
	for _, outcome := range strings.Fields(eval[string](t, c.tab, c.at(`.dataset.hintValues`))) {
		if kind, words := c.answer(t, outcome); kind != "hint" {
			t.Errorf("the mistake that gives %s is %s, %q", outcome, kind, words)
		}
	}
	angle := c.text(t, `[data-given="angle"]`)
	if !strings.Contains(c.text(t, ".exercise-question"), angle) {
		t.Errorf("the question does not tell the angle %s of the table", angle)
	}
	if kind, _ := c.answer(t, fresh); kind != "right" {
		t.Errorf("the right answer is %s", kind)
	}
	if got := c.text(t, "[data-exercise-standing]"); got != "Solved with new numbers" {
		t.Errorf("the exercise stands as %q", got)
	}
	if open := eval[string](t, c.tab, c.at(`.querySelector('a.open-plate').getAttribute('href')`)); !strings.Contains(open, "#plate-pivot-offset?") {
		t.Errorf("the plate is opened with %s", open)
	}
	link, told := eval[string](t, c.tab, `location.href`), eval[string](t, c.tab, whole)
	other := card{open(t, strings.TrimPrefix(link, origin), view{}), "pin-debt"}
	other.until(t, other.at(`.dataset.answer === `+strconv.Quote(fresh)))
	other.answer(t, fresh)
	if got := eval[string](t, other.tab, whole); got != told {
		t.Errorf("the link shows\n%s\nand not\n%s", got, told)
	}
	eval[bool](t, c.tab, `(`+c.at(`.querySelector('[data-own-numbers]').click()`)+`, true)`)
	c.until(t, c.at(`.dataset.answer === `+strconv.Quote(printed)))
	if got := c.text(t, ".exercise-question"); got != question {
		t.Errorf("the printed question came back as %q", got)
	}
	if kind, _ := c.answer(t, printed); kind != "right" {
		t.Error("the printed answer is no longer right")
	}
	c.clean(t)
	other.clean(t)
}

// A table of landmarks, whose numbers stand in no sentence.
func TestNewNumbersReachTheTable(t *testing.T) {
	parallel(t)
	c := openExercise(t, "many-poses-one-pivot", "tail-root-y", view{})
	cells := c.at(`.querySelector('table[data-rows] tbody').textContent`)
	before := eval[string](t, c.tab, cells)
	c.drawn(t)
	if eval[string](t, c.tab, cells) == before {
		t.Error("the table is the printed one")
	}
	if kind, words := c.answer(t, eval[string](t, c.tab, c.at(`.dataset.answer`))); kind != "right" {
		t.Errorf("the right answer is %s, %q", kind, words)
	}
	c.clean(t)
}

func TestASpoiledSetShowsThePrintedNumbersAndOneLine(t *testing.T) {
	parallel(t)
	for name, set := range map[string]string{
		"a script": `<img src=x onerror=window.hacked=1>`, "a megabyte": strings.Repeat("1", 1<<20), "nothing": "", "many parts": "1?2?3", "a name of every object": "__proto__",
	} {
		t.Run(name, func(t *testing.T) {
			c := card{open(t, "/lessons/the-owed-translation/#pin-debt?"+set, view{}), "pin-debt"}
			c.until(t, c.at(`.querySelector('[data-numbers-note]').textContent === 'The link’s numbers could not be read, so the printed ones stand.'`))
			if eval[bool](t, c.tab, `'hacked' in window`) || !strings.HasPrefix(eval[string](t, c.tab, c.at(`.dataset.answer`)), "11.62") {
				t.Error("the printed numbers do not stand")
			}
			c.clean(t)
		})
	}
}

// All by keyboard: new numbers, an answer, Enter, the working, the mark at the lesson's end.
func TestALessonIsDoneByKeyboard(t *testing.T) {
	parallel(t)
	c := openExercise(t, "the-owed-translation", "pin-debt", view{still: true})
	eval[bool](t, c.tab, `(`+c.at(`.querySelector('input').focus()`)+`, true)`)
	c.presses(t, kb.Tab) // the button that checks
	c.presses(t, kb.Tab)
	c.until(t, `document.activeElement.matches('[data-new-numbers]')`)
	c.presses(t, kb.Enter)
	c.until(t, c.at(`.querySelector('[data-own-numbers]').hidden === false`))
	eval[bool](t, c.tab, `(`+c.at(`.querySelector('input').focus()`)+`, true)`)
	for _, sign := range eval[string](t, c.tab, c.at(`.dataset.answer`)) {
		c.presses(t, string(sign))
	}
	c.presses(t, kb.Enter)
	c.until(t, c.at(`.querySelector('[data-verdict]').dataset.result === 'right'`))
	eval[bool](t, c.tab, `(document.querySelector('[data-mark-read]').focus(), true)`)
	c.presses(t, kb.Enter)
	c.until(t, `document.querySelector('[data-mark-read]').getAttribute('aria-pressed') === 'true'`)
	if got := eval[string](t, c.tab, `document.querySelector('[data-lesson-end] [data-standing]').textContent`); got != "Read, exercises solved: 1 of 2." {
		t.Errorf("the lesson stands as %q", got)
	}
	c.clean(t)
}
