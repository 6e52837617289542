package browser

import (
	"math"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/chromedp"
)

// byFinger is a tab of a phone that is held upright.
func byFinger(t testing.TB) *tab {
	t.Helper()
	tb := blank(t, view{width: phone.width, height: phone.height, still: true})
	_, err := chromedp.Call(tb.ctx, emulation.SetTouchEmulationEnabled, emulation.SetTouchEmulationEnabledParams{Enabled: true})
	must(t, err)
	return tb
}

// A finger that goes farther than a browser takes for a tap, up and down too, keeps the handle, and the page stays where it is.
func TestAHandleGoesWithAFinger(t *testing.T) {
	parallel(t)
	free := map[string]int{"finger-curl": 1, "hinge-arc": 2, "pivot-offset": 2, "pose-fit": 1, "hinge-plane": 1, "reseat": 2} // whose first handles go wherever they are drawn
	tb := byFinger(t)
	for _, id := range withHandles(t) {
		t.Run(id, func(t *testing.T) {
			p := tb.turnTo(t, id, "")
			for n := range min(p.handles(t), 2) {
				at := p.middle(t, handle(n)+" .handle-hit")
				p.drawn(t)
				top := eval[float64](t, p.tab, p.at(`.querySelector('[data-figure]').getBoundingClientRect().top`))
				grip := point{at.X + 4, at.Y - 3} // beside its middle
				p.touch(t, input.DispatchTouchEventTypeTouchStart, grip)
				var last string
				for _, by := range []point{{6, 0}, {20, -5}, {-20, 12}, {0, -25}, {16, 22}} {
					p.touch(t, input.DispatchTouchEventTypeTouchMove, point{grip.X + by.X, grip.Y + by.Y})
					p.drawn(t)
					state, _ := p.states(t)
					if !eval[bool](t, p.tab, p.at(`.hasAttribute('data-moving')`)) {
						t.Fatalf("handle %d: the finger has lost it at %v", n, by)
					}
					if n < free[id] {
						now := eval[point](t, p.tab, `(({ x, y, width, height }) => ({ X: x + width / 2, Y: y + height / 2 }))(`+p.at(`.querySelector('`+handle(n)+` .handle-hit').getBoundingClientRect()`)+`)`)
						if off := math.Hypot(now.X-at.X-by.X, now.Y-at.Y-by.Y); !(off <= 1) {
							t.Errorf("handle %d is drawn %.1f px from the finger at %v", n, off, by)
						}
						if state == last {
							t.Errorf("handle %d: the finger goes on to %v and the state stays %q", n, by, state)
						}
					}
					last = state
				}
				if now := eval[float64](t, p.tab, p.at(`.querySelector('[data-figure]').getBoundingClientRect().top`)); math.Abs(now-top) > 1 {
					t.Errorf("handle %d: the drawing went from %g to %g under the finger", n, top, now)
				}
				p.touch(t, input.DispatchTouchEventTypeTouchEnd)
				p.drawn(t)
				if eval[bool](t, p.tab, p.at(`.hasAttribute('data-moving')`)) {
					t.Errorf("handle %d: let go, the plate still takes it for held", n)
				}
				p.press(t, "undo")
			}
			p.clean(t)
		})
	}
}

// A finger reads a map where it taps; it has no pointer that could hover.
func TestAMapIsReadByATap(t *testing.T) {
	parallel(t)
	p := byFinger(t).turnTo(t, "placement-map", "")
	read := map[string]bool{"": true}
	for range 2 {
		at := p.middle(t, ".heat-frame")
		off := float64(40 * len(read))
		p.touch(t, input.DispatchTouchEventTypeTouchStart, point{at.X - off, at.Y - off})
		p.touch(t, input.DispatchTouchEventTypeTouchEnd)
		p.drawn(t)
		said := eval[string](t, p.tab, p.at(`.querySelector('.plate-probe').textContent`))
		if read[said] || !strings.Contains(said, "rotation alone leaves ") {
			t.Errorf("after a tap on another place the page says %q", said)
		}
		read[said] = true
	}
	p.clean(t)
}
