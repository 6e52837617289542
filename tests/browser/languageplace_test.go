package browser

import (
	"testing"

	"github.com/chromedp/chromedp"
)

// unasked keeps questions from the calculators while window.silent is set, so that a page waits for an answer that does not come.
const unasked = `{
	const post = Worker.prototype.postMessage;
	Worker.prototype.postMessage = function (...order) { if (!window.silent) post.apply(this, order); };
}`

// A plate that is only drawn anew, as for another window, holds up nobody who goes on in the other language, and takes nobody to itself.
func TestAPlateDrawnAnewLeavesTheReadersPlace(t *testing.T) {
	parallel(t)
	tb := blank(t, view{still: true})
	tb.early(t, unasked)
	tb.visit(t, origin+"/lessons/the-finger/")
	tb.settle(t)
	tb.run(t, `window.silent = true`)
	must(t, chromedp.Do(tb.ctx, chromedp.EmulateViewport(500, 900)))
	tb.until(t, `document.querySelector('[data-plate][data-engine="on"][data-waiting]')`)
	want := eval[string](t, tb, `(() => { const last = [...document.querySelectorAll('main h2[id]')].at(-2); last.scrollIntoView(); return '#' + last.id; })()`)
	tb.run(t, `document.querySelector('a[data-language]').click()`)
	tb.until(t, `location.pathname.startsWith('/de/') && `+loaded)
	if at := eval[string](t, tb, `location.hash`); at != want {
		t.Errorf("the German page opens at %q, want %q", at, want)
	}
	tb.clean(t)
}
