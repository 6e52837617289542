package browser

import (
	"testing"

	"github.com/chromedp/chromedp/kb"
)

// A record with as many exercises as are read, as a file may bring them, is not lost to one more.
func TestARecordWithNoRoomForOneMoreIsNotLost(t *testing.T) {
	parallel(t)
	tb := open(t, "/lessons/the-finger/", view{still: true})
	tb.run(t, `localStorage.setItem('centrode-progress', JSON.stringify({ format: 'centrode-progress-1', lessons: { 'the-finger': { read: true } },
		exercises: Object.fromEntries(Array.from({ length: 5000 }, (_, i) => ['of-a-studio/number-' + i, { tries: 1, own: true, fresh: 0, shown: false }])) }))`)
	tb.visit(t, origin+"/lessons/the-finger/?again")
	tb.settle(t)
	tb.run(t, `document.querySelector('[data-exercise] input').focus()`)
	tb.presses(t, "123"+kb.Enter)
	tb.until(t, `document.querySelector('[data-exercise] [data-verdict]').textContent !== ''`)
	tb.visit(t, origin+"/lessons/the-finger/?still")
	tb.settle(t)
	if said := eval[string](t, tb, `document.querySelector('[data-lesson-end] [data-standing]').textContent`); said != "Read." {
		t.Errorf("after one more answer the lesson stands as %q", said)
	}
	tb.clean(t)
}
