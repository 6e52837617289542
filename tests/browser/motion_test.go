package browser

import (
	"strings"
	"testing"
)

// keepsStill fails the test for what moves on the page once it has come to rest.
func keepsStill(t testing.TB, tb *tab, address string) {
	t.Helper()
	var found []string
	for range 15 { // what is still being loaded comes to an end; a handle that shows itself would do so too
		if found = eval[[]string](t, tb, restless); len(found) == 0 {
			return
		}
		if strings.Contains(strings.Join(found, "\n"), "data-moving") || eval[bool](t, tb, `document.querySelector('[data-moving]') !== null`) {
			break
		}
	}
	for _, moving := range found {
		t.Errorf("%s, where no motion is asked for: %s", address, moving)
	}
}

// restless lists what moves on the page, or would, though the reader asked that nothing does: animations, transitions of more
// than a moment's thousandth, smooth scrolling, and whatever changes within a fifth of a second without anybody's hand.
const restless = `(async () => {
	const found = [];` + naming + `
	const changed = [];
	const watch = new MutationObserver((list) => changed.push(...list));
	watch.observe(document, { subtree: true, childList: true, attributes: true, characterData: true });
	const at = [scrollX, scrollY].join();
	for (const one of document.getAnimations()) found.push('an animation of ' + name(one.effect.target));
	const longest = (list) => Math.max(...list.split(',').map((one) => parseFloat(one) * (one.trim().endsWith('ms') ? 1 : 1000)));
	for (const e of document.querySelectorAll('*')) {
		for (const part of [null, '::before', '::after', ...(e.matches('dialog') ? ['::backdrop'] : [])]) {
			const style = getComputedStyle(e, part);
			if (part && part !== '::backdrop' && style.content === 'none') continue;
			if (longest(style.transitionDuration) > 1) found.push('a transition of ' + style.transitionDuration + ' on ' + name(e));
			if (style.animationName !== 'none' && longest(style.animationDuration) > 1) found.push('an animation of ' + style.animationDuration + ' on ' + name(e));
			if (style.scrollBehavior !== 'auto') found.push('smooth scrolling of ' + name(e));
		}
	}
	await new Promise((done) => setTimeout(done, 200));
	changed.push(...watch.takeRecords());
	watch.disconnect();
	for (const { target, type, attributeName } of changed) found.push('by itself changes ' + (attributeName ?? type) + ' of ' + name(target.nodeType === 1 ? target : target.parentElement));
	if ([scrollX, scrollY].join() !== at) found.push('the page scrolls by itself');
	return [...new Set(found)].slice(0, 20);
})()`

// The check of the check: what a style or a script could bring in is found, and so is the handle that shows itself to a
// reader who asked for nothing.
func TestWhatMovesByItselfIsFound(t *testing.T) {
	parallel(t)
	tb := open(t, "/specimens/", view{width: 1280, height: 900, still: true})
	tb.settle(t)
	if found := eval[[]string](t, tb, restless); len(found) > 0 {
		t.Errorf("before anything moves: %q", found)
	}
	tb.wear(t, `@keyframes probe { to { opacity: 0.5 } } h1 { animation: probe 3s infinite } h1 { transition: opacity 0.2s } html { scroll-behavior: smooth }`)
	eval[bool](t, tb, `(() => {
		const turn = (now) => { document.querySelector('h1').dataset.now = now; requestAnimationFrame(turn); };
		turn(0);
		return true;
	})()`)
	found := strings.Join(eval[[]string](t, tb, restless), "\n")
	for _, want := range []string{"an animation of h1", "a transition of 0.2s", "an animation of 3s", "smooth scrolling", "by itself changes data-now of h1"} {
		if !strings.Contains(found, want) {
			t.Errorf("%q is not found in:\n%s", want, found)
		}
	}

	tb = open(t, "/", view{width: 1280, height: 900})
	tb.until(t, `document.querySelector('[data-plate][data-moving]') !== null`)
	if found := eval[[]string](t, tb, restless); !strings.Contains(strings.Join(found, "\n"), "by itself changes d") {
		t.Errorf("the handle that shows itself is not found: %q", found)
	}
}
