package browser

import (
	"bytes"
	"strconv"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"
)

const (
	checkPage = "/paths/onboarding/check/"
	questions = 10
)

// openCheck opens the closing check and begins it with the numbers of a set, or as a link says.
func openCheck(t testing.TB, fragment string) *tab {
	t.Helper()
	tb := open(t, checkPage+fragment, view{still: true})
	tb.until(t, `[...document.querySelectorAll('[data-question]')].filter((q) => q.dataset.answer).length === `+strconv.Itoa(questions))
	return tb
}

// fill types the right answer to every question, rounded as its result is printed, or what is given for it.
func fill(t testing.TB, tb *tab, instead map[int]string) {
	t.Helper()
	for i := range questions {
		text := `q.dataset.computed.replaceAll('\u00a0', ' ')`
		if other, ok := instead[i]; ok {
			text = strconv.Quote(other)
		}
		eval[bool](t, tb, `((q) => { q.querySelector('input').value = `+text+`; return true; })(document.querySelectorAll('[data-question]')[`+strconv.Itoa(i)+`])`)
	}
	eval[bool](t, tb, `(document.querySelector('[data-closing-form]').requestSubmit(), true)`)
	tb.until(t, `document.querySelector('[data-closing-result]').textContent !== ''`)
}

func facts(t testing.TB, tb *tab) string {
	t.Helper()
	tb.until(t, `document.querySelector('[data-closing]').hasAttribute('data-finished') && document.querySelector('[data-fact-result]').textContent !== ''`)
	return eval[string](t, tb, `[...document.querySelectorAll('.closing-facts dd')].map((d) => d.textContent).join(' | ')`)
}

// The check is done with one mistake, then mended; its link shows a lead the same, and a link that was tampered with
// shows what is wrong.
func TestTheClosingCheckIsDoneAndVerified(t *testing.T) {
	parallel(t)
	tb := open(t, checkPage, view{still: true})
	tb.until(t, `document.querySelector('[data-closing-begin]').hidden === false`)
	eval[bool](t, tb, `(document.querySelector('[data-closing-begin] button').click(), true)`)
	tb.until(t, `/^#closing\?[0-9]{4}$/.test(location.hash)`)
	fill(t, tb, map[int]string{3: "123456 cm"})
	if got := eval[string](t, tb, `document.querySelector('[data-closing-result]').textContent`); got != "9 of 10 right" {
		t.Errorf("with one mistake it says %q", got)
	}
	if got := eval[string](t, tb, `document.activeElement.closest('[data-question]')?.querySelector('.card-kind').textContent ?? ''`); got != "4." {
		t.Errorf("the focus is on question %q, want the wrong one", got)
	}
	fill(t, tb, nil)
	if got := eval[string](t, tb, `document.querySelector('[data-closing-result]').textContent`); got != "10 of 10 right" {
		t.Errorf("mended it says %q", got)
	}
	if !eval[bool](t, tb, `/^\d{4}-\d{2}-\d{2}$/.test(document.querySelector('#closing-date').value)`) {
		t.Error("the date is not that of the clock")
	}
	eval[bool](t, tb, `(document.querySelector('#closing-name').value = 'Wren <b>Ashby</b>', document.querySelector('#closing-date').value = '2026-11-27', document.querySelector('[data-closing-end]').requestSubmit(), true)`)
	want := facts(t, tb)
	if !strings.HasPrefix(want, "Wren <b>Ashby</b> | 2026-11-27 | ") || !strings.HasSuffix(want, " | 10 of 10 right") {
		t.Errorf("the page of completion says %q", want)
	}
	link := strings.TrimPrefix(eval[string](t, tb, `location.href`), origin+checkPage)
	lead := openCheck(t, link)
	if got := facts(t, lead); got != want {
		t.Errorf("the link shows %q, want %q", got, want)
	}
	if n := eval[int](t, lead, `[...document.querySelectorAll('.closing input, .closing [data-closing-tools] button')].filter((e) => e.getClientRects().length > 0).length`); n > 0 {
		t.Errorf("a finished check offers %d inputs", n)
	}
	prints(t, lead)
	set := strings.Split(strings.Split(link, "?")[1], "?")[0]
	other := strings.Replace(link, "?"+set+"?", "?"+set+"1?", 1)
	wrong := openCheck(t, other)
	if got := facts(t, wrong); strings.HasSuffix(got, "10 of 10 right") {
		t.Errorf("with other numbers the answers count as right: %q", got)
	}
	first := strings.Index(link, "a=") + 2
	changed := openCheck(t, link[:first]+"9"+link[first:])
	if got := facts(t, changed); !strings.HasSuffix(got, "9 of 10 right") {
		t.Errorf("with one answer changed it says %q", got)
	}
	if got := eval[string](t, changed, `document.querySelector('[data-question] [data-closing-answer]').textContent`); !strings.HasPrefix(got, "Answer given: 9") || !strings.Contains(got, "Computed: ") {
		t.Errorf("the changed answer is shown as %q", got)
	}
	if got := eval[string](t, changed, `document.querySelector('[data-question] [data-verdict]').textContent`); got != "Not right." && !strings.HasPrefix(got, "Not yet. ") || strings.Contains(got, "again") {
		t.Errorf("the verdict on the changed answer is %q, though nothing is left to try", got)
	}
	for _, one := range []*tab{tb, lead, wrong, changed} {
		one.clean(t)
	}
}

// prints makes a PDF of the page and counts its sheets.
func prints(t testing.TB, tb *tab) {
	t.Helper()
	for name, size := range map[string][2]float64{"A4": {8.27, 11.69}, "US Letter": {8.5, 11}} {
		pdf, err := chromedp.Call(tb.ctx, page.PrintToPDF, page.PrintToPDFParams{PaperWidth: size[0], PaperHeight: size[1], PreferCSSPageSize: new(true)})
		must(t, err)
		if n := bytes.Count(pdf.Data, []byte("/Type /Page\n")); n < 1 || n > 2 {
			t.Errorf("%s: it prints on %d sheets", name, n)
		}
	}
}

// Ten questions are more than an evening: whoever comes back on another day, by the path and not by the address of a tab, goes on where
// they were, in whatever language; a check that is finished is not begun again for them.
func TestAClosingCheckGoesOnAnotherDay(t *testing.T) {
	parallel(t)
	tb := open(t, checkPage+"#closing?6273", view{still: true})
	tb.until(t, `[...document.querySelectorAll('[data-question]')].filter((q) => q.dataset.answer).length === `+strconv.Itoa(questions))
	eval[bool](t, tb, `((i) => { i.value = '1.25 cm'; return i.dispatchEvent(new Event('input', { bubbles: true })); })(document.querySelectorAll('.exercise-answer')[2])`)
	for _, page := range []string{checkPage, "/de" + checkPage} {
		eval[bool](t, tb, `(sessionStorage.clear(), true)`) // a tab of its own
		tb.visit(t, origin+page)
		tb.until(t, `location.hash === '#closing?6273' && document.querySelectorAll('.exercise-answer')[2].value === '1.25 cm'`)
		if got := eval[string](t, tb, `document.querySelector('[data-closing-tools]').hidden + ' ' + document.querySelector('[data-closing-begin]').hidden`); got != "false true" {
			t.Errorf("%s: the tools and the beginning are hidden: %s", page, got)
		}
	}
	eval[bool](t, tb, `(document.querySelector('[data-closing-end]').requestSubmit(), true)`)
	facts(t, tb)
	eval[bool](t, tb, `(sessionStorage.clear(), true)`)
	tb.visit(t, origin+checkPage)
	tb.until(t, `document.querySelector('[data-closing-begin]').hidden === false`)
	if got := eval[string](t, tb, `location.hash`); got != "" {
		t.Errorf("a finished check is begun again: %q", got)
	}
	tb.clean(t)
}

// answers types an answer to a question of the check, and written tells what stands in all of them.
func (tb *tab) answers(t testing.TB, question int, text string) {
	t.Helper()
	eval[bool](t, tb, `((i) => { i.value = `+strconv.Quote(text)+`; return i.dispatchEvent(new Event('input', { bubbles: true })); })(document.querySelectorAll('.exercise-answer')[`+strconv.Itoa(question)+`])`)
}

const written = `location.hash + ' ' + [...document.querySelectorAll('.exercise-answer')].map((i) => i.value).join('|')`

// Whoever starts again with other numbers has done with the old ones, also where no letter was typed before the tab was closed.
func TestAClosingCheckThatIsGivenUpDoesNotComeBack(t *testing.T) {
	parallel(t)
	tb := openCheck(t, "#closing?6273")
	tb.answers(t, 2, "1.25 cm")
	eval[bool](t, tb, `(document.querySelector('[data-closing-tools] [data-begin]').click(), true)`)
	tb.until(t, `/^#closing\?[0-9]{4}$/.test(location.hash) && location.hash !== '#closing?6273'`)
	eval[bool](t, tb, `(sessionStorage.clear(), true)`)
	tb.visit(t, origin+checkPage)
	tb.until(t, `document.querySelector('[data-closing-begin]').hidden === false || location.hash !== ''`)
	if got := eval[string](t, tb, written); got != " |||||||||" {
		t.Errorf("the old numbers are back: %q", got)
	}
	tb.clean(t)
}

// Two checks in two tabs: the one that is finished does not cost the answers to the other. One check in two tabs: what was written last stands in
// both, and a tab that is read again does not bring back older letters.
func TestClosingChecksInTwoTabsLoseNoAnswer(t *testing.T) {
	parallel(t)
	one, other := openCheck(t, "#closing?1111"), openCheck(t, "#closing?2222")
	one.answers(t, 2, "1.25 cm")
	eval[bool](t, other, `(document.querySelector('[data-closing-end]').requestSubmit(), true)`)
	facts(t, other)
	other.visit(t, origin+checkPage)
	other.until(t, `document.querySelector('[data-closing-begin]').hidden === false || location.hash !== ''`)
	const both = "#closing?1111 ||1.25 cm|||||||"
	if got := eval[string](t, other, written); got != both {
		t.Fatalf("after another was finished the check is %q, want %q", got, both)
	}
	other.answers(t, 4, "7")
	one.until(t, written+` === '#closing?1111 ||1.25 cm||7|||||'`)
	one.answers(t, 2, "1.3 cm")
	other.until(t, written+` === '#closing?1111 ||1.3 cm||7|||||'`)
	eval[bool](t, one, `(location.reload(), true)`)
	one.until(t, written+` === '#closing?1111 ||1.3 cm||7|||||'`)
	for _, tb := range []*tab{one, other} {
		tb.clean(t)
	}
}

// The place of a question decides its numbers: where another edition asks something else, an answer that was kept is not to it.
func TestAnAnswerKeptByAnEarlierEditionIsNotToAnotherQuestion(t *testing.T) {
	parallel(t)
	tb := openCheck(t, "#closing?6273")
	for i := range 3 {
		tb.answers(t, i, strconv.Itoa(i+1))
	}
	// that edition had another second question, and an eleventh
	eval[bool](t, tb, `((key) => {
		const kept = JSON.parse(localStorage.getItem(key));
		kept[1][1][0] = 'a-question-that-is-gone';
		kept[1].push(['another', '11']);
		sessionStorage.clear();
		localStorage.setItem(key, JSON.stringify(kept));
		return true;
	})(Object.keys(localStorage).find((key) => key.startsWith('centrode-check')))`)
	tb.visit(t, origin+checkPage)
	tb.until(t, `location.hash === '#closing?6273' && document.querySelectorAll('.exercise-answer')[0].value !== ''`)
	if got, want := eval[string](t, tb, written), "#closing?6273 1||3|||||||"; got != want {
		t.Errorf("the check goes on as %q, want %q", got, want)
	}
	for _, spoiled := range []string{`[1]`, `{}`, `"x`, `["6273",3,1]`, `["zz!!",[["pell-fist-gap","1"]],1]`} {
		eval[bool](t, tb, `(sessionStorage.clear(), localStorage.setItem(Object.keys(localStorage).find((key) => key.startsWith('centrode-check')), `+strconv.Quote(spoiled)+`), true)`)
		tb.visit(t, origin+checkPage)
		tb.until(t, `document.querySelector('[data-closing-begin]').hidden === false || location.hash !== ''`)
		if got := eval[string](t, tb, written); got != " |||||||||" {
			t.Errorf("%s is taken as %q", spoiled, got)
		}
	}
	tb.clean(t)
}

// A link of the check that cannot be read is refused with one line, and a check can be begun.
func TestASpoiledLinkOfACheckIsRefused(t *testing.T) {
	parallel(t)
	answers := strings.TrimSuffix(strings.Repeat("a=1&", questions), "&")
	for name, fragment := range map[string]string{
		"too few answers":     "4821?a=1&a=2",
		"too many answers":    "4821?" + answers + "&a=1",
		"an unknown entry":    "4821?" + answers + "&right=10",
		"a script for a set":  "<script>?" + answers,
		"a date of no form":   "4821?" + answers + "&date=today",
		"a name without end":  "4821?" + answers + "&name=" + strings.Repeat("x", 61),
		"an answer with none": "4821?" + strings.Replace(answers, "a=1", "a="+strings.Repeat("1", 41), 1),
		"a megabyte":          strings.Repeat("1", 1<<20),
		"many parts":          "4821?" + answers + "?" + answers,
	} {
		t.Run(name, func(t *testing.T) {
			tb := open(t, checkPage+"#closing?"+fragment, view{})
			tb.until(t, `document.querySelector('[data-closing-notice]').textContent.startsWith('This link could not be read')`)
			if !eval[bool](t, tb, `document.querySelector('[data-closing-begin]').hidden === false && document.querySelector('[data-closing-sheet]').hidden`) {
				t.Error("no check can be begun, or one is shown")
			}
			tb.clean(t)
		})
	}
}

// Answers of markup and of nonsense are shown as text and count as wrong.
func TestHostileAnswersOfACheckAreText(t *testing.T) {
	parallel(t)
	answers := strings.TrimSuffix(strings.Repeat("a="+`%3Cimg+src%3Dx+onerror%3Dhacked%3D1%3E`+"&", questions), "&")
	tb := openCheck(t, "#closing?4821?"+answers+"&name=%3Cscript%3Ehacked%3D1%3C%2Fscript%3E")
	if got := facts(t, tb); got != "<script>hacked=1</script> | not given | 4821 | 0 of 10 right" {
		t.Errorf("the page says %q", got)
	}
	if eval[bool](t, tb, `'hacked' in window || document.querySelector('main img') !== null`) {
		t.Error("an answer became markup")
	}
	tb.clean(t)
}

// The new pages and states, open to all: the check under way and finished, new numbers in a card, the page of progress.
func TestLearningIsOpenToAll(t *testing.T) {
	parallel(t)
	for _, l := range []view{looks[0].view, looks[3].view} {
		tb := openCheck(t, "#closing?4821")
		tb.look(t, l)
		bringAxe(t, tb)
		fill(t, tb, map[int]string{1: "5"})
		openToAll(t, tb)
		done := openCheck(t, "#closing?4821?"+strings.TrimSuffix(strings.Repeat("a=1+cm&", questions), "&"))
		facts(t, done)
		done.look(t, l)
		bringAxe(t, done)
		openToAll(t, done)
		progress := openProgress(t, someProgress)
		progress.look(t, l)
		bringAxe(t, progress)
		eval[bool](t, progress, `(document.querySelector('[data-forget]').click(), true)`)
		openToAll(t, progress)
		c := openExercise(t, "the-owed-translation", "pin-debt", l)
		c.drawn(t)
		c.answer(t, "1")
		bringAxe(t, c.tab)
		openToAll(t, c.tab)
	}
}

// The way back from a finished check leads to its questions as they were answered, and forward to the page of completion.
func TestTheWayBackFromAFinishedCheckLeadsToItsQuestions(t *testing.T) {
	parallel(t)
	tb := open(t, checkPage, view{still: true})
	tb.until(t, `document.querySelector('[data-closing-begin]').hidden === false`)
	tb.run(t, `document.querySelector('[data-closing-begin] button').click()`)
	tb.until(t, `/^#closing\?[0-9]{4}$/.test(location.hash)`)
	fill(t, tb, map[int]string{3: "123456 cm"})
	tb.run(t, `document.querySelector('[data-closing-end]').requestSubmit()`)
	want := facts(t, tb)
	tb.run(t, `history.back()`)
	tb.until(t, `/^#closing\?[0-9]{4}$/.test(location.hash)`)
	tb.until(t, `!document.querySelector('[data-closing]').hasAttribute('data-finished') && document.querySelectorAll('[data-question] input')[3].getClientRects().length > 0`)
	if got := eval[string](t, tb, `document.querySelectorAll('[data-question] input')[3].value`); got != "123456 cm" {
		t.Errorf("the fourth answer is %q", got)
	}
	if told := eval[int](t, tb, `document.querySelectorAll('[data-verdict]:not([hidden])').length`); told > 0 {
		t.Errorf("%d verdicts of the finished check are left", told)
	}
	tb.run(t, `history.forward()`)
	tb.until(t, `document.querySelector('[data-closing]').hasAttribute('data-finished')`)
	if got := facts(t, tb); got != want {
		t.Errorf("the way forward shows %q, want %q", got, want)
	}
	tb.clean(t)
}
