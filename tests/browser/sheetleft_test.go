package browser

import (
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
)

// A sheet that a page of a later edition left, which this one cannot show, is put aside and not written over: neither by a sheet
// that stands open, nor by a plate that begins another.
func TestASheetOfALaterEditionIsPutAside(t *testing.T) {
	parallel(t)
	tb := onSheet(t)
	leave := func(later string) {
		t.Helper()
		tb.run(t, `localStorage.removeItem('centrode-sheet-before'); localStorage.setItem('centrode-sheet', `+later+`)`)
	}
	aside := `localStorage.getItem('centrode-sheet-before') ?? ''`
	leave(`localStorage.getItem('centrode-sheet').replace('"entries":[', '"later":true,"entries":[')`)
	tb.run(t, `dispatchEvent(new PageTransitionEvent('pageshow', { persisted: true }))`)
	tb.until(t, `document.querySelector('[data-sheet-status]').textContent.startsWith('Not shown')`)
	writes(t, tb, "character", "Tern")
	if got := eval[string](t, tb, aside); !strings.Contains(got, `"later":true`) {
		t.Errorf("a word on the sheet that stood open leaves aside %.60q", got)
	}
	leave(`'{"format":"centrode-sheet-2","placements":[1,2,3]}'`)
	p := openPlate(t, "hinge-arc", "")
	p.click(t, `[data-action="add-sheet"]`)
	p.until(t, p.at(`.querySelector('.plate-status a') !== null`))
	if got := eval[string](t, tb, aside); !strings.Contains(got, "centrode-sheet-2") {
		t.Errorf("a placement that is added leaves aside %.60q", got)
	}
	p.clean(t)
}

// Whoever leaves a sheet in the midst of a word, or reads its page again, has what was typed.
func TestAWordOnASheetOutlivesItsPage(t *testing.T) {
	parallel(t)
	tb := onSheet(t)
	for i, leave := range []string{`location.reload()`, `location.href = document.querySelector('a[data-language]').href`} {
		text := "It swings short" + strings.Repeat(", and short", i)
		tb.run(t, `const field = document.querySelector('[data-sheet-text="reasons"]'); field.focus(); field.select()`)
		must(t, chromedp.Do(tb.ctx, chromedp.KeyEvent(text)))
		tb.run(t, `window.before = true; `+leave)
		tb.until(t, `!('before' in window) && document.querySelector('[data-sheet]')?.dataset.ready !== undefined`)
		if got := eval[string](t, tb, `document.querySelector('[data-sheet-text="reasons"]').value`); got != text {
			t.Errorf("%s leaves %q of %q", leave, got, text)
		}
	}
	if at := eval[string](t, tb, `location.pathname`); at != "/de/sheet/" {
		t.Errorf("the other language is at %s", at)
	}
	tb.clean(t)
}
