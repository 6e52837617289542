package browser

import (
	"testing"

	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/chromedp/kb"
)

// listens notes in the page what a screen reader is told of a live region: what is put into it while it is not busy, and what stands in
// it when it has been put in anew.
const listens = `((region) => {
	window.told = [];
	new MutationObserver((changes) => {
		if (region.getAttribute('aria-busy') === 'true' || !region.hasAttribute('aria-live')) return;
		if (changes.some(({ type }) => type !== 'attributes')) told.push(region.textContent);
	}).observe(region, { childList: true, characterData: true, subtree: true, attributes: true, attributeFilter: ['aria-busy'] });
})`

// hears listens to the region that the script expression gives.
func (tb *tab) hears(t testing.TB, region string) {
	t.Helper()
	eval[bool](t, tb, `(`+listens+`(`+region+`), true)`)
}

// toldOnce holds that, once all rests, the region was told once: as it stands.
func (tb *tab) toldOnce(t testing.TB, what, region string) {
	t.Helper()
	tb.until(t, region+`.getAttribute('aria-busy') === 'false'`)
	told := eval[[]string](t, tb, `told.splice(0)`)
	if stands := eval[string](t, tb, region+`.textContent`); len(told) != 1 || told[0] != stands {
		t.Errorf("%s: a screen reader is told %q, want once %q", what, told, stands)
	}
}

// burst is a key held down on what has the focus.
const burst = `for (let i = 0; i < 6; i += 1) document.activeElement.dispatchEvent(new KeyboardEvent('keydown', { key: 'ArrowRight', bubbles: true, cancelable: true }))`

// A result is told once, when keys, a slider or a hand have come to rest; not at every step, and not never.
func TestAResultIsToldOnceAtRest(t *testing.T) {
	parallel(t)
	p := openPlate(t, "finger-curl", "")
	p.unfold(t)
	region := p.at(`.querySelector('[data-say]')`)
	p.hears(t, region)
	eval[bool](t, p.tab, `(`+p.at(`.querySelector('`+handle(0)+`').focus()`)+`, true)`)
	p.run(t, burst)
	p.drawn(t)
	p.toldOnce(t, "keys on a handle", region)
	p.run(t, `const slider = `+p.at(`.querySelector('[data-field="mcp_flex"] [data-slider]')`)+`;
		for (let i = 0; i < 6; i += 1) {
			slider.stepDown();
			slider.dispatchEvent(new Event('input', { bubbles: true }));
		}`)
	p.drawn(t)
	p.toldOnce(t, "keys on a slider", region)
	at := p.middle(t, handle(0)+" .handle-hit")
	p.mouse(t, "press", at)
	for i := range 4 {
		p.mouse(t, "move", point{at.X + 6*float64(i+1), at.Y - 5*float64(i+1)})
		p.drawn(t)
	}
	p.mouse(t, "release", point{at.X + 24, at.Y - 20})
	p.drawn(t)
	p.toldOnce(t, "a hand on a handle", region)
	p.clean(t)
}

// So it is in the fitting room, where a clip would tell something at every frame.
func TestTheRoomTellsAResultOnceAtRest(t *testing.T) {
	parallel(t)
	f := openRoom(t, view{})
	const region = `document.querySelector('[data-say]')`
	f.until(t, region+`.getAttribute('aria-busy') === 'false'`) // of the opening
	f.hears(t, region)
	at := f.diamond(t)
	f.touch(t, input.DispatchTouchEventTypeTouchStart, at)
	for i := range 4 {
		f.touch(t, input.DispatchTouchEventTypeTouchMove, point{at.X + 6*float64(i+1), at.Y - 5*float64(i+1)})
		f.settled(t)
	}
	f.touch(t, input.DispatchTouchEventTypeTouchEnd)
	f.settled(t)
	f.toldOnce(t, "a hand on the diamond", region)
	eval[bool](t, f.tab, `(document.querySelector('[data-stage] g[data-handle]').focus(), true)`)
	f.run(t, burst)
	f.settled(t)
	f.toldOnce(t, "keys on the diamond", region)
	f.clean(t)
}

// A button that ceases to work under the focus hands it on.
func TestNoButtonTakesTheFocusWithIt(t *testing.T) {
	parallel(t)
	p := openPlate(t, "limb-fold", "")
	p.unfold(t)
	on := func(what string) string {
		return `document.activeElement?.matches('[data-do="` + what + `"]:not(:disabled)')`
	}
	table := func(button string) {
		t.Helper()
		eval[bool](t, p.tab, `(`+p.at(`.querySelector('[data-table="segments"] [data-do="`+button+`"]').focus()`)+`, true)`)
	}
	table("add")
	p.keys(t, kb.Enter, false)
	table("undo")
	p.keys(t, kb.Enter, false)
	if !eval[bool](t, p.tab, on("add")) {
		t.Errorf("with nothing left to undo the focus is on %s", eval[string](t, p.tab, `document.activeElement.outerHTML.slice(0, 80)`))
	}
	table("remove")
	for range 3 {
		p.keys(t, kb.Enter, false)
	}
	if !eval[bool](t, p.tab, on("add")) {
		t.Errorf("with no row left to remove the focus is on %s", eval[string](t, p.tab, `document.activeElement.outerHTML.slice(0, 80)`))
	}
	p.clean(t)

	f := openRoom(t, view{})
	eval[bool](t, f.tab, `(document.querySelector('[data-stage] g[data-handle]').focus(), true)`)
	f.presses(t, kb.ArrowRight)
	f.settled(t)
	for _, step := range [][2]string{{"undo", "redo"}, {"redo", "undo"}} {
		eval[bool](t, f.tab, `(document.querySelector('[data-do="`+step[0]+`"]').focus(), true)`)
		f.presses(t, kb.Enter)
		f.settled(t)
		if !eval[bool](t, f.tab, on(step[1])) {
			t.Errorf("the room: after the last %s the focus is on %s", step[0], eval[string](t, f.tab, `document.activeElement.outerHTML.slice(0, 80)`))
		}
	}
	f.clean(t)
}

// The line that a verdict comes to is there before it, for a screen reader that tells changes of lines it knows; it takes no room.
func TestTheLineOfAVerdictIsThereBeforeIt(t *testing.T) {
	parallel(t)
	tb := open(t, "/lessons/the-finger/", view{still: true})
	tb.settle(t)
	const lines = `[...document.querySelectorAll('[data-exercise] [role="status"]')]`
	if missing := eval[int](t, tb, lines+`.filter((line) => getComputedStyle(line).display === 'none').length`); missing > 0 {
		t.Errorf("%d lines are not there before something is told in them", missing)
	}
	if wide := eval[[]string](t, tb, lines+`.filter((line) => !line.textContent && (line.offsetHeight > 0 || getComputedStyle(line).position !== 'absolute')).map((line) => line.className)`); len(wide) > 0 {
		t.Errorf("with nothing to tell %q take room", wide)
	}
	c := lineCard(t, tb)
	before := eval[float64](t, tb, c+`.querySelector('.card-links').getBoundingClientRect().top`)
	eval[bool](t, tb, `(`+c+`.querySelector('form').requestSubmit(), true)`)
	tb.until(t, c+`.querySelector('[data-verdict]').textContent !== ''`)
	if after := eval[float64](t, tb, c+`.querySelector('.card-links').getBoundingClientRect().top`); after <= before {
		t.Errorf("the verdict takes no room: what follows stays at %g", after)
	}
	tb.clean(t)
}

// lineCard is the first exercise of the page.
func lineCard(t testing.TB, tb *tab) string {
	t.Helper()
	const card = `document.querySelector('[data-exercise]')`
	eval[bool](t, tb, `(`+card+`.scrollIntoView({ block: 'start', behavior: 'instant' }), true)`)
	return card
}

// What a plate has to say beside its result is told, too: here that a link cannot be read.
func TestALineForTheReaderIsTold(t *testing.T) {
	parallel(t)
	p := openPlate(t, "finger-curl", "")
	p.run(t, `location.hash = '#plate-finger-curl?mcp_flex=much'`)
	p.until(t, p.at(`.querySelector('[data-notice]:not([hidden])')?.textContent`))
	if role := eval[string](t, p.tab, p.at(`.querySelector('[data-notice]').getAttribute('role') ?? ''`)); role != "alert" {
		t.Errorf("the page says %q to those who see it, in an element of the role %q", p.notice(t), role)
	}
	p.clean(t)
}
