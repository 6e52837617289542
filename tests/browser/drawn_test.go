package browser

import (
	"strings"
	"testing"

	"centrode/calc/catalog/list"

	"github.com/chromedp/chromedp/kb"
)

// drawnEnglish lists what the drawings of a page say in English: labels, names for a screen reader, and what their handles say.
const drawnEnglish = `[...document.querySelectorAll('[data-figure] :is(text, title, desc, [aria-label]), .card-figure :is(text, title, desc)')]
	.flatMap((one) => [one.localName === 'g' ? '' : one.textContent, one.getAttribute('aria-label') ?? '', one.getAttribute('aria-valuetext') ?? ''])
	.filter((text) => /\b(the|of|at|current|candidate|pivot|row|view|turn|depth|shift|reach|chord|touches|inside|owed|moved|axis|front|top|side|landmark|stretched|best|fitted|more|offset|direction|flexion|sweep|tip|root|new)\b/i.test(text))`

// The drawing that was built, and the one that the calculators make of it, are in the language of the page, and so is what its handles say.
func TestAGermanPageDrawsInGerman(t *testing.T) {
	parallel(t)
	tb := open(t, "/de/", view{still: true})
	for _, c := range list.All() {
		id := c.Spec().ID
		tb.visit(t, origin+"/de/plates/"+id+"/")
		built := eval[[]string](t, tb, drawnEnglish)
		tb.settle(t)
		p := tb.plate(t, id)
		if eval[bool](t, tb, `(document.querySelector('g[data-handle]')?.focus(), document.activeElement.matches('g[data-handle]'))`) {
			tb.presses(t, kb.ArrowUp)
			p.drawn(t)
			if spoken := eval[string](t, tb, `document.activeElement.getAttribute('aria-label') + ': ' + document.activeElement.getAttribute('aria-valuetext')`); id == "hinge-arc" && !strings.HasPrefix(spoken, "Vorgeschlagener Drehpunkt: Vorgeschlagener Drehpunkt x ") {
				t.Errorf("a handle says %q", spoken)
			}
		}
		for _, text := range append(built, eval[[]string](t, tb, drawnEnglish)...) {
			t.Errorf("%s: a drawing says %q", id, text)
		}
		if texts := eval[int](t, tb, `document.querySelectorAll('[data-figure][lang="de"] text').length`); texts == 0 {
			t.Errorf("%s: no text of the drawing is marked as German", id)
		}
	}
	tb.visit(t, origin+"/de/plates/placement-map/")
	tb.settle(t)
	tb.plate(t, "placement-map")
	eval[bool](t, tb, `(document.querySelector('.probe').focus(), true)`)
	tb.until(t, `document.querySelector('.plate-probe').textContent.includes(': Drehung allein lässt ')`)
	for _, address := range []string{"/de/", "/de/checks/will-it-close/", "/de/lessons/the-elbow/"} {
		tb.visit(t, origin+address)
		tb.settle(t)
		for _, text := range eval[[]string](t, tb, drawnEnglish) {
			t.Errorf("%s: a drawing says %q", address, text)
		}
	}
	tb.clean(t)
}

// A plate in a lesson that is printed flat has a handle for the third coordinate once that is set, and says its label as the page does.
func TestAHandleThatIsNotPrintedSpeaksGermanToo(t *testing.T) {
	parallel(t)
	tb := open(t, "/de/lessons/frames-and-families/", view{still: true})
	tb.settle(t)
	p := livePlate{tab: tb, calculator: find(t, "reseat"), id: "plate-family-plate"}
	tb.run(t, p.at(`.scrollIntoView()`))
	tb.until(t, p.at(`.dataset.link !== undefined`))
	p.enter(t, "to_z", "3", kb.Enter)
	p.drawn(t)
	if got := eval[string](t, tb, `[...`+p.at(`.querySelectorAll('g[data-handle]')].map((one) => one.getAttribute('aria-valuetext')).join('; ')`)); !strings.Contains(got, "Neues z ") || strings.Contains(got, "New ") {
		t.Errorf("the handles say %q", got)
	}
	tb.clean(t)
}

// The specimens of marks are of no calculator and stay English, whole: half of their words would be those of drawings.
func TestSpecimensOfMarksAreEnglishThroughout(t *testing.T) {
	parallel(t)
	const texts = `[...document.querySelectorAll('.specimen-figures :is(text, title, desc)')].map((one) => one.textContent).join('\n')`
	tb := open(t, "/specimens/", view{still: true})
	english := eval[string](t, tb, texts)
	tb.visit(t, origin+"/de/specimens/")
	if got := eval[string](t, tb, texts); got != english || !strings.Contains(got, "Path of the tip") {
		t.Errorf("German specimens say\n%s\nwant\n%s", got, english)
	}
}
