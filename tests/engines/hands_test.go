//go:build unix

package engines

import (
	"strconv"
	"testing"
)

// notes has the page keep what kinds of pointer press, and what a screen reader is told of the result: what is put into the
// live region while it is not busy, and what stands in it when it has been put in anew.
const notes = `(() => {
	window.pointers = new Set();
	window.told = [];
	document.addEventListener('pointerdown', ({ pointerType }) => { pointers.add(pointerType); }, true);
	const region = document.querySelector('[data-say]');
	new MutationObserver((changes) => {
		if (region.getAttribute('aria-busy') === 'true' || !region.hasAttribute('aria-live')) return;
		if (changes.some(({ type }) => type !== 'attributes')) told.push(region.textContent);
	}).observe(region, { childList: true, characterData: true, subtree: true, attributes: true, attributeFilter: ['aria-busy'] });
	return true;
})()`

// hasFinger taps on the heading of the page, and tells whether a finger came of it: a driver that has none moves the mouse instead, or refuses.
func (p page) hasFinger(t *testing.T) bool {
	t.Helper()
	eval[bool](t, p, `(document.querySelector('h1').scrollIntoView({ block: 'center', behavior: 'instant' }), true)`)
	_, err := p.send(perform, map[string]any{"actions": []any{p.pointer(t, "touch", "h1", 0, 0)}})
	if err != nil {
		return false
	}
	_, err = p.send(letGo, map[string]any{})
	must(t, err)
	return eval[bool](t, p, `pointers.has('touch')`)
}

// pulls puts a finger on the middle of the element and lifts it elsewhere, so many pixels to the right and down. Where the driver has no
// finger, the page is sent what a browser would send it.
func (p page) pulls(t *testing.T, finger bool, selector string, right, down int) {
	t.Helper()
	if finger {
		p.acts(t, p.pointer(t, "touch", selector, right, down))
		return
	}
	t.Log("the driver has no finger; the page is sent events")
	eval[bool](t, p, `(() => {
		const hit = document.querySelector('`+selector+`');
		const { x, y, width, height } = hit.getBoundingClientRect();
		const send = (kind, part) => document.querySelector('`+selector+`').dispatchEvent(new PointerEvent(kind, { bubbles: true, cancelable: true, isPrimary: true, pointerId: 7, pointerType: 'touch',
			buttons: kind === 'pointerup' ? 0 : 1, clientX: x + width / 2 + `+strconv.Itoa(right)+` * part / 4, clientY: y + height / 2 + `+strconv.Itoa(down)+` * part / 4 }));
		send('pointerdown', 0);
		for (const part of [1, 2, 3, 4]) send('pointermove', part);
		send('pointerup', 4);
		return true;
	})()`)
}

// A finger takes a handle along and leaves the page where it is, and a screen reader is told of it once, when it rests; so it is with a
// key that is held down.
func TestAFingerTakesAHandleAlongAndIsToldOfOnce(t *testing.T) {
	inEach(t, false, func(t *testing.T, p page) {
		const hit = `g[data-handle="0"] .handle-hit`
		const rests = settled + ` && document.querySelector('[data-say]').getAttribute('aria-busy') !== 'true'`
		p.open(t, "/plates/finger-curl/")
		p.until(t, settled)
		seen := []string{p.agrees(t, "finger-curl")}
		p.until(t, rests)
		eval[bool](t, p, notes)
		once := func(by string) {
			t.Helper()
			p.until(t, settled+` && document.querySelector('[data-plate]').dataset.link !== `+quote(seen[len(seen)-1]))
			p.until(t, rests+` && told.length > 0`)
			p.changed(t, &seen, by)
			if told := eval[[]string](t, p, `told.splice(0)`); len(told) != 1 || told[0] != eval[string](t, p, `document.querySelector('[data-say]').textContent`) {
				t.Errorf("%s: a screen reader is told %q, want once what stands there", by, told)
			}
			if eval[bool](t, p, `document.querySelector('[data-plate]').hasAttribute('data-moving')`) {
				t.Errorf("%s: let go, the plate still takes the handle for held", by)
			}
		}
		// A key comes first: it ends the motion by which a plate shows that it moves.
		eval[bool](t, p, `(document.querySelector('g[data-handle="0"]').focus(), true)`)
		eval[bool](t, p, `(() => {
			for (let i = 0; i < 6; i += 1) document.activeElement.dispatchEvent(new KeyboardEvent('keydown', { key: 'ArrowRight', bubbles: true, cancelable: true }));
			return true;
		})()`)
		once("a key that is held down")
		finger := p.hasFinger(t)
		eval[bool](t, p, `(document.querySelector('`+hit+`').scrollIntoView({ block: 'center', behavior: 'instant' }), true)`)
		type spot struct{ X, Y, Scrolled float64 }
		const where = `(({ x, y, width, height }) => ({ X: x + width / 2, Y: y + height / 2, Scrolled: scrollY }))(document.querySelector('` + hit + `').getBoundingClientRect())`
		before := eval[spot](t, p, where)
		p.pulls(t, finger, hit, 24, -32)
		once("a finger")
		after := eval[spot](t, p, where)
		if after.Scrolled != before.Scrolled {
			t.Errorf("the page was scrolled from %g to %g under the finger", before.Scrolled, after.Scrolled)
		}
		if x, y := after.X-before.X, after.Y-before.Y; x < 20 || x > 28 || y < -36 || y > -28 {
			t.Errorf("the handle went %.1f px to the right and %.1f down, the finger 24 and -32", x, y)
		}
		p.clean(t)
	})
}
