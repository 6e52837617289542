package browser

import (
	"strconv"
	"testing"

	"github.com/chromedp/chromedp/kb"
)

// onHandle is the name of the handle that has the focus.
const onHandle = `document.activeElement?.closest('g[data-handle]')?.getAttribute('aria-label') ?? ''`

// stopsOf are the names of the handles that Tab comes to.
func (p livePlate) stopsOf(t testing.TB) []string {
	t.Helper()
	return eval[[]string](t, p.tab, `[...`+p.at(`.querySelectorAll('g[data-handle]')`)+`].filter((g) => g.tabIndex === 0).map((g) => g.getAttribute('aria-label'))`)
}

// Tab comes to a drawing of many handles once; Enter, Home and End lead to the others, the arrow keys move the one that has the focus, and
// Tab comes back to the one that was left.
func TestManyHandlesAreOneStopOfTheTabKey(t *testing.T) {
	parallel(t)
	p := openPlate(t, "pose-fit", "")
	names := eval[[]string](t, p.tab, `[...`+p.at(`.querySelectorAll('g[data-handle]')`)+`].map((g) => g.getAttribute('aria-label'))`)
	if len(names) <= 8 {
		t.Fatalf("the drawing has only %d handles", len(names))
	}
	if stops := p.stopsOf(t); len(stops) != 1 {
		t.Fatalf("the Tab key has %d stops in the drawing: %q", len(stops), stops)
	}
	p.run(t, p.at(`.querySelector('g[data-handle][tabindex="0"]').focus()`))
	first := eval[string](t, p.tab, onHandle)
	said := eval[string](t, p.tab, `document.getElementById(document.activeElement.getAttribute('aria-describedby'))?.textContent ?? ''`)
	if said != "Enter: the next of "+strconv.Itoa(len(names))+" points. Shift+Enter: the one before." {
		t.Errorf("a screen reader is told of the keys %q", said)
	}
	at := 0
	for i, name := range names {
		if name == first {
			at = i
		}
	}
	for _, step := range []struct {
		key   string
		shift bool
		to    int
	}{{kb.Enter, false, at + 1}, {kb.Enter, true, at}, {kb.End, false, len(names) - 1}, {kb.Enter, false, 0}, {kb.Enter, true, len(names) - 1}, {kb.Home, false, 0}, {kb.Enter, false, 1}} {
		p.keys(t, step.key, step.shift)
		if got := eval[string](t, p.tab, onHandle); got != names[step.to%len(names)] {
			t.Fatalf("%q leads to %q, want %q", step.key, got, names[step.to%len(names)])
		}
		if hidden := eval[bool](t, p.tab, `((line, hit) => line.top < hit.y + hit.height / 2 && hit.y + hit.height / 2 < line.bottom)(`+p.at(`.querySelector('.handles-keys')`)+`.getBoundingClientRect(), document.activeElement.querySelector('.handle-hit').getBoundingClientRect())`); hidden {
			t.Errorf("the line about the keys lies over %q", names[step.to%len(names)])
		}
	}
	before, _ := p.states(t)
	p.keys(t, kb.ArrowRight, false)
	p.drawn(t)
	if after, _ := p.states(t); after == before || eval[string](t, p.tab, onHandle) != names[1] {
		t.Errorf("an arrow key leaves the state at %q and the focus on %q", after, eval[string](t, p.tab, onHandle))
	}
	if seen := eval[string](t, p.tab, `getComputedStyle(`+p.at(`.querySelector('.handles-keys')`)+`).visibility`); seen != "visible" {
		t.Errorf("the line about the keys is %s while a key has led to a handle", seen)
	}
	p.presses(t, kb.Tab)
	if got := eval[string](t, p.tab, onHandle); got != "" {
		t.Errorf("Tab leads from one handle to the next, %q", got)
	}
	if stops := p.stopsOf(t); len(stops) != 1 || stops[0] != names[1] {
		t.Errorf("Tab comes back to %q, want %q", stops, names[1])
	}
	if seen := eval[string](t, p.tab, `getComputedStyle(`+p.at(`.querySelector('.handles-keys')`)+`).visibility`); seen != "hidden" {
		t.Errorf("the line about the keys is %s while nothing of the drawing has the focus", seen)
	}
	p.clean(t)
}

// Each of a few handles stays a stop of its own, and Enter does nothing there.
func TestFewHandlesAreStopsOfTheirOwn(t *testing.T) {
	parallel(t)
	p := openPlate(t, "hinge-arc", "")
	if stops, all := p.stopsOf(t), p.handles(t); len(stops) != all || all < 2 {
		t.Fatalf("of %d handles Tab comes to %q", all, stops)
	}
	p.run(t, p.at(`.querySelector('g[data-handle]').focus()`))
	on := eval[string](t, p.tab, onHandle)
	p.keys(t, kb.Enter, false)
	if got := eval[string](t, p.tab, onHandle); got != on {
		t.Errorf("Enter leads from %q to %q", on, got)
	}
	if eval[bool](t, p.tab, p.at(`.querySelector('.handles-keys') !== null || `)+p.at(`.querySelector('g[data-handle][aria-describedby]') !== null`)) {
		t.Error("a line tells of keys that do nothing here")
	}
	p.clean(t)
}
