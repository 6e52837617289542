package browser

import (
	"strconv"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"
)

// Without the module the page is the one that was printed, and says so in one line.
func TestWithoutTheCalculatorsThePrintedPageStands(t *testing.T) {
	parallel(t)
	const address = "/lessons/the-finger/"
	printed := open(t, address, view{noScript: true})
	want := printedPlates(t, printed)
	if !strings.Contains(want, "<svg") {
		t.Fatalf("the printed page has no drawing:\n%.500s", want)
	}
	line := newWire(t)
	line.lost = ".wasm"
	tb := blank(t, view{still: true})
	tb.visit(t, line.origin+address)
	tb.until(t, `(() => {
		const next = document.querySelector('[data-plate][data-engine="off"]');
		next?.scrollIntoView();
		return !next;
	})()`)
	if got := printedPlates(t, tb); got != want {
		t.Errorf("the page is not as printed:\n%s", difference(want, got))
	}
	told := eval[[]string](t, tb, `[...document.querySelectorAll('[data-plate] [data-notice]')].map((line) => line.getBoundingClientRect().height > 0 ? line.textContent : '')`)
	for _, text := range told {
		if text != "The calculator could not be loaded here. The printed figure and its numbers stand." {
			t.Errorf("a plate says %q", text)
		}
	}
	if forms := eval[int](t, tb, `[...document.querySelectorAll('[data-inputs], [data-actions]')].filter((part) => part.getBoundingClientRect().height > 0).length`); len(told) == 0 || forms > 0 {
		t.Errorf("%d plates show %d forms, which would do nothing", len(told), forms)
	}
	line.clean(t, tb)
}

// Where the scripts of a page cannot be had, as in the midst of an upload, the page says so: what it offers would do nothing.
func TestWithoutItsScriptsAPageSaysSo(t *testing.T) {
	parallel(t)
	for address, want := range map[string]string{
		"/plates/hinge-arc/":    "Something on this page failed. Its text and printed numbers stand, but what you did last may not show. Load the page again",
		"/de/plates/hinge-arc/": "Auf dieser Seite ist etwas fehlgeschlagen. Der Text der Seite und die gedruckten Zahlen gelten, aber Ihre letzte Eingabe ist vielleicht nicht berücksichtigt. Seite neu laden",
	} {
		line := newWire(t)
		line.lost = "/assets/site"
		tb := blank(t, view{still: true})
		tb.visit(t, line.origin+address)
		tb.until(t, `document.querySelector('.page-failure')`)
		if said := eval[string](t, tb, `document.querySelector('.page-failure').textContent`); said != want {
			t.Errorf("%s says %q, want %q", address, said, want)
		}
	}
}

// printedPlates is what a reader sees of all plates: drawing, sentence and numbers, element by element.
func printedPlates(t testing.TB, tb *tab) string {
	t.Helper()
	tb.until(t, loaded)
	return eval[string](t, tb, `[...document.querySelectorAll('[data-plate]')].map((root) => ['[data-figure] svg', '[data-say]', '[data-outputs]', '[data-steps]']
		.map((part) => root.querySelector(part)?.outerHTML ?? '').join('\n')).join('\n').replaceAll('><', '>\n<')`)
}

// The module is large: it is not asked for before a plate comes near the window, and once for a page with many.
func TestTheCalculatorsLoadWhenAPlateComesNear(t *testing.T) {
	parallel(t)
	const slack = 900 // px below the window within which a plate may load
	seen := 0
	for _, address := range pagesIn(t, "lessons") {
		tb := open(t, address, view{noScript: true})
		far := eval[bool](t, tb, `(() => {
			const tops = [...document.querySelectorAll('[data-plate]')].map((root) => root.getBoundingClientRect().top);
			return tops.length > 0 && Math.min(...tops) > innerHeight + `+strconv.Itoa(slack)+`;
		})()`)
		if !far {
			continue
		}
		line := newWire(t) // an address of its own each time: nothing is in the browser's cache
		tb = blank(t, view{still: true})
		_, err := chromedp.Call(tb.ctx, page.AddScriptToEvaluateOnNewDocument, page.AddScriptToEvaluateOnNewDocumentParams{
			Source: `localStorage.setItem('centrode-keep-nothing', '1')`}) // else the offline worker asks for them, too
		must(t, err)
		tb.visit(t, line.origin+address)
		tb.until(t, loaded+` && document.fonts.status === 'loaded'`)
		eval[bool](t, tb, `new Promise((done) => requestIdleCallback(() => requestAnimationFrame(() => requestAnimationFrame(() => done(true)))))`)
		if n := line.modules(); n > 0 {
			t.Errorf("%s asks for the calculators with no plate within %d px of its window", address, slack)
		}
		tb.settle(t)
		if n := line.modules(); n != 1 {
			t.Errorf("%s asked for the calculators %d times once its plates came near, want once", address, n)
		}
		tb.clean(t)
		if seen++; seen == 3 {
			return
		}
	}
	if seen == 0 {
		t.Error("no lesson has its first plate far down; the test saw nothing")
	}
}
