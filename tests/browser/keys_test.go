package browser

import (
	"testing"

	"github.com/chromedp/chromedp/kb"
)

// stop is where the focus stands, and what a reader sees of it.
type stop struct {
	What     string // the element, in short
	Marked   bool   // an outline is drawn, on it or on what stands for it
	InWindow bool
	Covered  bool // something else lies over its middle
}

// whereFocus describes the focused element; after the last one of the page it is the body.
const whereFocus = `((e) => {
	const shown = (x) => { const s = getComputedStyle(x); return (s.outlineStyle !== 'none' && parseFloat(s.outlineWidth) >= 1) };
	const box = e.getClientRects()[0] ?? e.getBoundingClientRect(); // of words that break, the first line
	const x = Math.min(Math.max(box.x + box.width / 2, 0), innerWidth - 1), y = Math.min(Math.max(box.y + Math.min(box.height / 2, 20), 0), innerHeight - 1);
	const top = document.elementFromPoint(x, y);
	return {
		What: e.tagName + (e.id ? '#' + e.id : '') + (e.dataset?.handle ? '[handle ' + e.dataset.handle + ']' : '') + ' "' + (e.getAttribute('aria-label') ?? e.textContent ?? '').trim().slice(0, 30) + '"',
		Marked: e === document.body || shown(e) || [...e.querySelectorAll('*')].some((c) => e.closest('svg') && shown(c)) || [...e.querySelectorAll('.handle-hit')].some((c) => getComputedStyle(c).stroke !== 'none'),
		InWindow: e === document.body || (box.bottom > 0 && box.top < innerHeight && box.right > 0 && box.left < innerWidth),
		Covered: e !== document.body && !!top && !e.contains(top) && !top.contains(e) && !e.closest('svg'),
	};
})(document.activeElement)`

// Every stop of the Tab key is seen: the outline is drawn, and the place is in the window.
func TestTheTabKeyWalksAPageInSight(t *testing.T) {
	parallel(t)
	for _, c := range []struct {
		address string
		view    view
		least   int // stops
	}{
		{"/lessons/the-finger/", view{still: true}, 40},
		{"/lessons/the-finger/", view{width: 360, height: 740, still: true}, 40},
		{"/plates/pose-fit/", view{still: true}, 30},
		{"/checks/how-far-off/", phone, 20},
		{"/sheet/", view{still: true}, 8},
		{"/", view{still: true}, 20},
	} {
		t.Run(c.address, func(t *testing.T) {
			tb := open(t, c.address, c.view)
			tb.settle(t)
			eval[bool](t, tb, unfold)
			stops := 0
			for last := ""; stops < 400; stops++ {
				tb.presses(t, kb.Tab)
				at := eval[stop](t, tb, whereFocus)
				if at.What == last || (stops > 0 && len(at.What) >= 4 && at.What[:4] == "BODY") {
					break
				}
				if last = at.What; !at.Marked || !at.InWindow || at.Covered {
					t.Errorf("stop %d, %s: outlined %v, in the window %v, covered %v", stops, at.What, at.Marked, at.InWindow, at.Covered)
				}
			}
			if stops < c.least {
				t.Errorf("only %d stops, want at least %d", stops, c.least)
			}
			tb.clean(t)
		})
	}
}
