package browser

import (
	"math"
	"testing"
)

// seen is where the middle of the first handle is once all is drawn, in a window that stays where it is.
func (p livePlate) seen(t testing.TB) point {
	t.Helper()
	return eval[point](t, p.tab, `(async () => {
		while (`+p.at(`.hasAttribute('data-waiting')`)+`) await new Promise(requestAnimationFrame);
		const { x, y, width, height } = `+p.at(`.querySelector('`+handle(0)+` .handle-hit').getBoundingClientRect()`)+`;
		return { X: x + width / 2, Y: y + height / 2 };
	})()`)
}

// isUnder fails the test where the first handle is not where the hand is.
func (p livePlate) isUnder(t testing.TB, hand point, most float64) {
	t.Helper()
	at := p.seen(t)
	if off := math.Hypot(at.X-hand.X, at.Y-hand.Y); off > most {
		t.Errorf("the handle is %.1f px from the hand", off)
	}
}

// A plate that is there before its calculators takes a pull itself, once: noted as an early one too, it led twice as far. Neither is it
// led on by a page that was scrolled until they came.
func TestAPullWhileTheCalculatorsComeCountsOnce(t *testing.T) {
	parallel(t)
	const back = 30 // px
	for _, then := range []string{"let go", "let go, and the page scrolled", "held"} {
		t.Run(then, func(t *testing.T) {
			tb := blank(t, view{still: true})
			tb.early(t, gate+`held = () => true;`)
			tb.visit(t, origin+"/plates/finger-curl/")
			tb.until(t, `document.querySelector('[data-plate][data-waiting]')`)
			p := livePlate{tab: tb, calculator: find(t, "finger-curl"), id: eval[string](t, tb, `document.querySelector('[data-plate]').id`)}
			at := p.middle(t, handle(0)+" .handle-hit")
			p.mouse(t, "press", at)
			for i := range 3 {
				p.mouse(t, "move", point{at.X - back/3*float64(i+1), at.Y})
			}
			if then != "held" {
				p.mouse(t, "release", point{at.X - back, at.Y})
			}
			if then == "let go, and the page scrolled" {
				p.run(t, `scrollBy({ top: 90, behavior: 'instant' })`)
			}
			p.run(t, `letAll()`)
			p.until(t, p.at(`.matches('[data-engine="on"]:not([data-waiting])')`))
			p.drawn(t)
			if then == "held" {
				p.mouse(t, "release", point{at.X - back, at.Y})
				p.drawn(t)
			}
			got, _ := tb.plate(t, "finger-curl").states(t)

			slow := openPlate(t, "finger-curl", "")
			from := slow.middle(t, handle(0)+" .handle-hit")
			slow.mouse(t, "press", from)
			slow.mouse(t, "move", point{from.X - back, from.Y})
			slow.mouse(t, "release", point{from.X - back, from.Y})
			slow.drawn(t)
			if want, base := slow.states(t); got != want || got == base {
				t.Errorf("pulled by %d px the state is %q, want %q", back, got, want)
			}
			slow.tab.shut()
			p.clean(t)
			tb.shut()
		})
	}
}

// A pull that was over before it could begin ends no later one, which goes on on a sheet that stays, and is a step of its own.
func TestAPullOutlastsTheOneBefore(t *testing.T) {
	parallel(t)
	p := openGated(t, "pivot-offset")
	hand := p.middle(t, handle(0)+" .handle-hit")
	moves := func(kind string, by float64) {
		t.Helper()
		hand.X += by
		p.mouse(t, kind, hand)
	}
	moves("press", 0)
	for range 6 {
		moves("move", -20)
	}
	p.drawn(t)
	p.run(t, `held = ({ kind }) => kind === 'solve'`)
	moves("release", 0)
	p.until(t, `waits() === 1`)
	moves("press", 0)
	moves("move", 6)
	moves("release", 0)
	moves("press", 0)
	moves("move", 6)
	p.run(t, `letAll()`)
	p.drawn(t)
	if !eval[bool](t, p.tab, p.at(`.hasAttribute('data-moving')`)) {
		t.Error("the plate takes the handle for let go while it is held")
	}
	grip := p.seen(t)
	for range 5 {
		moves("move", -6)
		grip.X -= 6
		p.isUnder(t, grip, 3)
	}
	moves("release", 0)
	p.drawn(t)
	var steps []string
	for range 3 {
		p.press(t, "undo")
		state, _ := p.states(t)
		steps = append(steps, state)
	}
	if steps[0] == steps[1] || steps[1] == steps[2] || steps[2] != p.base {
		t.Errorf("three pulls are taken back as %q", steps)
	}
	p.clean(t)
}

// A handle that shows by itself that it moves is pulled from where it is seen, not from where it was and will be.
func TestAHandleThatShowsItselfIsPulledFromWhereItIsSeen(t *testing.T) {
	parallel(t)
	tb := blank(t, view{})
	tb.visit(t, origin+"/plates/hinge-arc/")
	tb.until(t, `document.querySelector('[data-plate][data-moving]') !== null`)
	p := tb.plate(t, "hinge-arc")
	x := p.at(`.querySelector('` + handle(0) + ` .handle-hit').getBoundingClientRect().x`)
	p.until(t, `(window.first ??= `+x+`) + 12 < `+x) // of the 26 px that it goes
	hand := p.seen(t)
	p.mouse(t, "press", hand)
	for range 5 {
		hand.X -= 4
		p.mouse(t, "move", hand)
	}
	p.isUnder(t, hand, 8) // it went on a little until it was pressed
	p.mouse(t, "release", hand)
	p.drawn(t)
	p.clean(t)
}
