package browser

import (
	"testing"

	"github.com/chromedp/chromedp/kb"
)

// goes presses Tab until the focus stands on what the selector names, as a reader does who has no mouse.
func (tb *tab) goes(t *testing.T, selector string) {
	t.Helper()
	for range 400 {
		tb.presses(t, kb.Tab)
		if eval[bool](t, tb, `document.activeElement.matches(`+quote(selector)+`)`) {
			return
		}
		if eval[bool](t, tb, `document.activeElement === document.body`) {
			break
		}
	}
	t.Fatalf("the Tab key does not lead to %s; the focus stands on %s", selector, eval[stop](t, tb, whereFocus).What)
}

// types presses a key for each sign.
func (tb *tab) types(t *testing.T, text string) {
	t.Helper()
	for _, sign := range text {
		tb.presses(t, string(sign))
	}
}

// From the top of a lesson to its end and on to the placement sheet with nothing but keys: the way past the header, a
// handle, a number, undo, the plate put on the sheet, an exercise answered, the lesson marked as read, the sheet written.
func TestALessonAPlateAnExerciseAndTheSheetAreDoneByKeysAlone(t *testing.T) {
	parallel(t)
	tb := open(t, "/lessons/the-owed-translation/", view{still: true})
	tb.settle(t)
	p := tb.plate(t, "pivot-offset")

	tb.goes(t, ".skip-link")
	tb.presses(t, kb.Enter)
	tb.until(t, `document.activeElement.matches('main')`)

	start, _ := p.states(t)
	said := eval[string](t, tb, p.at(`.querySelector('[data-say]').textContent`))
	tb.goes(t, "[data-plate] g[data-handle]")
	p.keys(t, kb.ArrowRight, false)
	moved, _ := p.states(t)
	if moved == start || eval[string](t, tb, p.at(`.querySelector('[data-say]').textContent`)) == said {
		t.Errorf("an arrow key on a handle leaves %q, and %q is said", moved, said)
	}

	tb.goes(t, "[data-plate] [data-number]") // its text is selected on the way in
	tb.types(t, "1,5 cm")
	p.keys(t, kb.Enter, false)
	typed, _ := p.states(t)
	if typed == moved {
		t.Error("a number typed changes nothing")
	}

	tb.goes(t, `[data-plate] [data-action="undo"]`)
	p.keys(t, kb.Enter, false)
	if undone, _ := p.states(t); undone != moved {
		t.Errorf("undo shows %q, want %q", undone, moved)
	}
	tb.goes(t, `[data-plate] [data-action="add-sheet"]`)
	tb.presses(t, kb.Enter)
	tb.until(t, `document.querySelector('[data-plate] .plate-status a') !== null`)

	c := card{tb, "pin-debt"}
	tb.goes(t, "#pin-debt form input")
	tb.types(t, eval[string](t, tb, c.at(`.dataset.answer`)))
	tb.presses(t, kb.Enter)
	tb.until(t, c.at(`.querySelector('[data-verdict]').dataset.result === 'right'`))
	tb.goes(t, "[data-mark-read]")
	tb.presses(t, kb.Enter)
	tb.until(t, `document.querySelector('[data-mark-read]').getAttribute('aria-pressed') === 'true'`)

	tb.goes(t, `footer a[href="/sheet/"]`)
	tb.presses(t, kb.Enter)
	tb.until(t, `location.pathname === '/sheet/' && document.querySelector('[data-sheet]').dataset.ready !== undefined`)
	tb.goes(t, `[data-sheet-text="title"]`)
	tb.types(t, "Dock")
	tb.goes(t, `[data-sheet-text="reasons"]`)
	tb.types(t, "The pin is missed.")
	tb.presses(t, kb.Tab)
	tb.until(t, `['Dock', 'The pin is missed.'].every((words) => document.querySelector('[data-sheet-view]').textContent.includes(words))`)
	tb.clean(t)
}
