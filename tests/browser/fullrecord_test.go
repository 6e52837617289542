package browser

import (
	"strings"
	"testing"

	"github.com/chromedp/chromedp/kb"
)

// A record whose counts are full, as a file may bring them, stays a record when more is done, and one that would grow too long stays as it is.
func TestAFullRecordIsNotLost(t *testing.T) {
	parallel(t)
	tb := open(t, "/lessons/the-finger/", view{still: true})
	tb.run(t, `const { id, dataset } = document.querySelector('[data-exercise]');
		localStorage.setItem('centrode-progress', JSON.stringify({ format: 'centrode-progress-1', lessons: { 'the-finger': { read: true } },
			exercises: { [dataset.lesson + '/' + id]: { tries: 1000000, own: false, fresh: 0, shown: false } } }))`)
	tb.visit(t, origin+"/lessons/the-finger/?again")
	tb.settle(t)
	tb.run(t, `document.querySelector('[data-exercise] input').focus()`)
	tb.presses(t, "123"+kb.Enter)
	tb.until(t, `document.querySelector('[data-exercise] [data-verdict]').textContent !== ''`)
	if said := eval[string](t, tb, `document.querySelector('[data-lesson-end] [data-standing]').textContent`); said != "Read." {
		t.Errorf("after one more answer the lesson stands as %q", said)
	}
	lessons := func(name string) string {
		return `Object.fromEntries(Array.from({ length: 3000 }, (_, i) => ['` + name + `-' + i, { read: true }]))`
	}
	many := eval[string](t, tb, `JSON.stringify({ format: 'centrode-progress-1', lessons: `+lessons("one")+`, exercises: {} })`)
	page := openProgress(t, many)
	said := offer(t, page, strings.ReplaceAll(many, `"one-`, `"two-`))
	if kept := eval[bool](t, page, `document.querySelector('[data-progress-notice]').hidden`); !strings.HasSuffix(said, "Nothing was changed.") || !kept {
		t.Errorf("of a file too many the page says %q; it keeps what it had: %v", said, kept)
	}
	page.visit(t, origin+"/progress/?still")
	page.until(t, `document.querySelector('[data-progress-tools]')?.hidden === false`)
	page.run(t, `document.querySelector('[data-forget]').click()`)
	if loss := eval[string](t, page, `document.querySelector('[data-loss]').textContent`); !strings.Contains(loss, "3000") {
		t.Errorf("after a file too many, of which the page says %q, there would be lost: %q", said, loss)
	}
	page.clean(t)
}
