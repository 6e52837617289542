package browser

import (
	"strings"
	"testing"

	"github.com/chromedp/chromedp/kb"
)

func TestEditsOfAPlateAreTakenBackAndDoneAgain(t *testing.T) {
	parallel(t)
	p := openPlate(t, "pivot-offset", "")
	start, _ := p.states(t)
	p.enter(t, "angle", "40", kb.Enter)
	p.drawn(t)
	first, _ := p.states(t)
	p.enter(t, "offset_x", "1.5", kb.Enter)
	p.drawn(t)
	second, _ := p.states(t)
	if start == first || first == second {
		t.Fatalf("the edits made %q, %q and %q", start, first, second)
	}
	press := func(action, want string) {
		t.Helper()
		eval[bool](t, p.tab, `(`+p.at(`.querySelector('[data-action="`+action+`"]').click()`)+`, true)`)
		p.drawn(t)
		if got, _ := p.states(t); got != want {
			t.Errorf("%s shows %q, want %q", action, got, want)
		}
	}
	press("undo", first)
	press("undo", start)
	if !eval[bool](t, p.tab, p.at(`.querySelector('[data-action="undo"]').disabled`)) {
		t.Error("there is nothing left to undo, and the button does not say so")
	}
	press("redo", first)
	eval[bool](t, p.tab, `(`+p.at(`.querySelector('[data-slider]').dispatchEvent(new KeyboardEvent('keydown', { key: 'z', ctrlKey: true, shiftKey: true, bubbles: true }))`)+`, true)`)
	p.drawn(t)
	if got, _ := p.states(t); got != second {
		t.Errorf("the keys show %q, want %q", got, second)
	}
	p.clean(t)
}

func TestTheChoiceOfLightOrDarkHoldsFromTheFirstPaint(t *testing.T) {
	parallel(t)
	tb := open(t, "/glossary/", view{still: true})
	tb.settle(t)
	ground := `getComputedStyle(document.documentElement).colorScheme + ' ' + getComputedStyle(document.body).color`
	light := eval[string](t, tb, ground)
	eval[bool](t, tb, `((s) => { s.value = 'dark'; s.dispatchEvent(new Event('change')); return true })(document.querySelector('[data-settings] select'))`)
	dark := eval[string](t, tb, ground)
	if dark == light || !strings.HasPrefix(dark, "dark") {
		t.Errorf("chosen dark, the page is %q; it was %q", dark, light)
	}
	// What the browser's own parts go by: the scheme of the page, and which of the two colours counts.
	const told = `[...document.querySelectorAll('meta[name="color-scheme"], meta[name="theme-color"]')].map((m) => m.media || m.content).join(', ')`
	if got := eval[string](t, tb, told); got != "dark, not all, all" {
		t.Errorf("chosen dark, the browser is told %q", got)
	}
	eval[bool](t, tb, `((s) => { s.value = ''; s.dispatchEvent(new Event('change')); s.value = 'dark'; return true })(document.querySelector('[data-settings] select'))`)
	if got := eval[string](t, tb, told); got != "light dark, (prefers-color-scheme: light), (prefers-color-scheme: dark)" {
		t.Errorf("with the system again, the browser is told %q", got)
	}
	eval[bool](t, tb, `((s) => (s.dispatchEvent(new Event('change')), true))(document.querySelector('[data-settings] select'))`)
	tb.visit(t, origin+"/cast/")
	tb.until(t, alive)
	if again := eval[string](t, tb, ground); again != dark {
		t.Errorf("the next page is %q", again)
	}
	if got := eval[string](t, tb, told); got != "dark, not all, all" {
		t.Errorf("on the next page the browser is told %q", got)
	}
	// What runs before the first paint: a script in the head, which is no module and stands before the style sheet.
	if early := eval[bool](t, tb, `((s) => s !== null && !s.defer && !s.async && s.type === '' && !!(s.compareDocumentPosition(document.querySelector('link[rel=stylesheet]')) & 4))(document.head.querySelector('script[src*="head"]'))`); !early {
		t.Error("the choice is not read before the page is painted")
	}
	tb.clean(t)
}

func TestTheKeysAreListedAndTheSingleOneCanBeSwitchedOff(t *testing.T) {
	parallel(t)
	tb := open(t, "/glossary/", view{still: true})
	tb.settle(t)
	slash := `(document.body.dispatchEvent(new KeyboardEvent('keydown', { key: '/', bubbles: true })), true)`
	eval[bool](t, tb, `(document.querySelector('[data-keys]').click(), true)`)
	tb.until(t, `document.querySelector('dialog.keys[open]') !== null`)
	if count := eval[int](t, tb, `document.querySelectorAll('dialog.keys dt').length`); count < 5 {
		t.Errorf("%d keys are listed", count)
	}
	keepsItsMeaning(t, tb, "the list of keys")
	keepsClear(t, tb, "the list of keys")
	eval[bool](t, tb, `(document.querySelector('dialog.keys input').click(), document.querySelector('dialog.keys > button').click(), true)`)
	eval[bool](t, tb, slash)
	if eval[bool](t, tb, `document.querySelector('dialog.search') !== null`) {
		t.Error("the key is off, and the search opened")
	}
	eval[bool](t, tb, `(localStorage.clear(), true)`)
	eval[bool](t, tb, slash)
	tb.until(t, `document.querySelector('dialog.search[open]') !== null`)
	tb.clean(t)
}

func TestAMistypedAddressIsOfferedTheNearestPages(t *testing.T) {
	parallel(t)
	for address, want := range map[string]string{
		"/lessons/the-fingr/":     "/lessons/the-finger/",
		"/de/plates/pivot-ofset/": "/de/plates/pivot-offset/",
	} {
		tb := open(t, address, view{still: true})
		tb.until(t, `document.querySelector('[data-nearest]:not([hidden]) a') !== null`)
		if first := eval[string](t, tb, `document.querySelector('[data-nearest] a').getAttribute('href')`); first != want {
			t.Errorf("%s is offered %s first, want %s", address, first, want)
		}
	}
	tb := open(t, "/lessons/the-fingr/", view{noScript: true})
	if parts := eval[int](t, tb, `document.querySelectorAll('main a[href^="/parts/"]').length`); parts < 3 {
		t.Errorf("without scripts %d parts are listed", parts)
	}
}

func TestAScriptThatFailsIsToldToTheReader(t *testing.T) {
	parallel(t)
	tb := open(t, "/glossary/", view{still: true})
	tb.settle(t)
	eval[bool](t, tb, `(setTimeout(() => { throw new Error('on purpose') }), true)`)
	tb.until(t, `document.querySelector('.page-failure[role=alert]') !== null`)
	if len(tb.troubles()) == 0 {
		t.Error("the harness did not hear the error")
	}
}

func TestAHeadingsSignCopiesItsAddress(t *testing.T) {
	parallel(t)
	tb := open(t, "/lessons/the-finger/", view{still: true})
	tb.settle(t)
	eval[bool](t, tb, `(Object.defineProperty(navigator, 'clipboard', { value: { writeText: async (text) => { globalThis.taken = text } } }), document.querySelector('a.heading-anchor').click(), true)`)
	tb.until(t, `document.querySelector('.heading-copied')?.textContent === 'Copied.'`)
	if taken := eval[string](t, tb, `globalThis.taken`); !strings.HasPrefix(taken, origin+"/lessons/the-finger/#") {
		t.Errorf("copied %q", taken)
	}
	tb.clean(t)
}

// What a browser refuses is said where it was asked for: keeping pages, remembering a choice, copying.
func TestWhatABrowserRefusesIsSaid(t *testing.T) {
	parallel(t)
	tb := blank(t, view{still: true})
	tb.early(t, `{
		const refuse = (name) => () => Promise.reject(new DOMException('refused', name));
		navigator.serviceWorker.register = refuse('SecurityError');
		navigator.clipboard.writeText = refuse('NotAllowedError');
		Storage.prototype.setItem = () => { throw new DOMException('full', 'QuotaExceededError'); };
	}`)
	tb.visit(t, origin+"/offline/")
	tb.until(t, `document.querySelector('[data-keep-state]').textContent.startsWith('Pages cannot be kept here: this browser does not do it, or')`)
	tb.visit(t, origin+"/de/lessons/the-finger/")
	tb.settle(t)
	eval[bool](t, tb, `(document.querySelector('a.heading-anchor').click(), true)`)
	tb.until(t, `(({ lang, textContent }) => lang === 'de' && textContent === 'Der Browser hat das Kopieren nicht erlaubt. Die Adresse steht in der Adresszeile.')(document.querySelector('.heading-copied'))`)
	for _, name := range []string{"select", "[data-lengths]"} {
		eval[bool](t, tb, `((select) => { select.selectedIndex = 1; select.dispatchEvent(new Event('change', { bubbles: true })); return true; })(document.querySelector('[data-settings] `+name+`'))`)
		tb.until(t, `document.querySelector('[data-settings] [role=status]').textContent.startsWith('Dieser Browser behält für diese Website nichts')`)
		eval[bool](t, tb, `(document.querySelector('[data-settings] [role=status]').textContent = '', true)`)
	}
	eval[bool](t, tb, `(document.querySelector('[data-keys]').click(), true)`)
	tb.until(t, `document.querySelector('dialog.keys[open]') !== null`)
	eval[bool](t, tb, `(document.querySelector('dialog.keys input').click(), true)`)
	tb.until(t, `document.querySelector('dialog.keys [role=status]').textContent !== ''`)
	eval[bool](t, tb, `(document.querySelector('dialog.keys > button').click(), document.body.dispatchEvent(new KeyboardEvent('keydown', { key: '/', bubbles: true })), true)`)
	eval[bool](t, tb, `new Promise((done) => setTimeout(() => done(true), 300))`)
	if eval[bool](t, tb, `document.querySelector('dialog.search') !== null`) {
		t.Error("the key was switched off for this page, and the search opened")
	}
	if eval[bool](t, tb, `document.querySelector('.page-failure') !== null`) {
		t.Error("what the browser refuses is told as a failure of the page")
	}
	tb.clean(t)
}
