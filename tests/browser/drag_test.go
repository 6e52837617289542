package browser

import (
	"math"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/chromedp/kb"

	"centrode/calc/catalog/list"
	"centrode/calc/plate"
)

// held says that the left button is down during the event.
func held(p *input.DispatchMouseEventParams) { p.Buttons = 1 }

// withHandles lists the calculators whose plates can be dragged, as their own figures say.
func withHandles(t *testing.T) (ids []string) {
	t.Helper()
	for _, c := range list.All() {
		a, err := plate.Run(c, "")
		must(t, err)
		if len(c.Figure(a.Values, a.Result).Handles) > 0 {
			ids = append(ids, c.Spec().ID)
		}
	}
	if len(ids) < 3 {
		t.Fatalf("only %v have handles", ids)
	}
	return ids
}

// A handle under the mouse sets the state, out of the drawing too, and every digit on the page is the command's.
func TestADraggedHandleGivesTheNumbersOfTheCommand(t *testing.T) {
	parallel(t)
	tb := blank(t, view{still: true})
	for _, id := range withHandles(t) {
		t.Run(id, func(t *testing.T) {
			p := tb.turnTo(t, id, "")
			for n := range p.handles(t) {
				at := p.middle(t, handle(n)+" .handle-hit")
				start, _ := p.states(t)
				p.mouse(t, "press", at)
				for i := range 6 {
					p.mouse(t, "move", point{at.X + 7*float64(i+1), at.Y - 5*float64(i+1)})
				}
				p.drawn(t)
				near, _ := p.states(t)
				if !eval[bool](t, p.tab, p.at(`.hasAttribute('data-moving')`)) {
					t.Errorf("handle %d: the plate does not know that it is moving", n)
				}
				p.mouse(t, "move", point{3, at.Y + 60}) // left of the drawing: only a captured pointer is still heard
				p.drawn(t)
				far, _ := p.states(t)
				p.mouse(t, "release", point{3, at.Y + 60})
				p.mouse(t, "move", point{at.X, at.Y})
				p.drawn(t)
				after, _ := p.states(t)
				if near == start || far == near || after != far {
					t.Errorf("handle %d goes from %q to %q near, %q far and %q after release; want three states, the last to stay", n, start, near, far, after)
				}
				p.agrees(t)
			}
			p.clean(t)
		})
	}
}

// Where both axes of a handle are free, its marker stays under the pointer, also where what it moves is what the sheet is arranged for;
// let go, it lies where a reader who opens the link finds it.
func TestAHandleStaysUnderThePointer(t *testing.T) {
	parallel(t)
	tb := blank(t, view{still: true})
	for _, id := range []string{"pivot-offset", "pose-fit", "hinge-plane", "reseat"} {
		t.Run(id, func(t *testing.T) {
			p := tb.turnTo(t, id, "")
			sheet := func(n int) point {
				return eval[point](t, p.tab, `((hit, sheet) => ({ X: hit.x + hit.width / 2 - sheet.x, Y: hit.y + hit.height / 2 - sheet.y }))(...['`+handle(n)+` .handle-hit', '[data-figure] svg'].map((part) => `+p.at(`.querySelector(part).getBoundingClientRect()`)+`))`)
			}
			for n := range min(p.handles(t), 4) {
				at := p.middle(t, handle(n)+" .handle-hit")
				origin, far := sheet(n), 0.0
				p.mouse(t, "press", point{at.X + 4, at.Y - 3}) // beside its middle
				for _, by := range []point{{50, 0}, {-50, 20}, {0, -50}, {24, 30}} {
					p.mouse(t, "move", point{at.X + by.X + 4, at.Y + by.Y - 3})
					p.drawn(t)
					now := sheet(n)
					to := point{origin.X + by.X, origin.Y + by.Y}
					size := eval[point](t, p.tab, `(({ width, height }) => ({ X: width, Y: height }))(`+p.at(`.querySelector('[data-figure] svg').getBoundingClientRect()`)+`)`)
					const edge = 16 // a handle beyond the edge is drawn inside of it
					if to.X < edge || to.Y < edge || to.X > size.X-edge || to.Y > size.Y-edge {
						continue
					}
					far = max(far, math.Hypot(now.X-to.X, now.Y-to.Y))
				}
				p.mouse(t, "release", point{at.X + 24 + 4, at.Y + 30 - 3})
				p.drawn(t)
				if !(far <= 2) {
					t.Errorf("handle %d is drawn %.1f px from the pointer", n, far)
				}
				let := sheet(n)
				fresh := p.again(t, eval[string](t, p.tab, `new URL(`+p.at(`.dataset.link`)+`, location).hash`))
				fresh.drawn(t)
				if opened := sheet(n); math.Hypot(opened.X-let.X, opened.Y-let.Y) > 0.5 {
					t.Errorf("handle %d is let go at %v, and lies at %v for who opens the link", n, let, opened)
				}
				p = p.again(t, "")
			}
			p.clean(t)
		})
	}
}

// Arrow keys do to the state what the library's steps do, keep the focus on the handle, and say the value anew.
func TestArrowKeysGiveTheNumbersOfTheCommand(t *testing.T) {
	parallel(t)
	tb := blank(t, view{still: true})
	for _, id := range withHandles(t) {
		t.Run(id, func(t *testing.T) {
			p := tb.turnTo(t, id, "")
			for n := range p.handles(t) {
				p.middle(t, handle(n))
				eval[bool](t, p.tab, `(`+p.at(`.querySelector('`+handle(n)+`').focus()`)+`, true)`)
				moved := 0
				for _, key := range []struct {
					name   string
					text   string
					shift  bool
					dx, dy float64
				}{
					{"right", kb.ArrowRight, false, 1, 0}, {"up", kb.ArrowUp, false, 0, 1},
					{"shift and left", kb.ArrowLeft, true, -10, 0}, {"shift and down", kb.ArrowDown, true, 0, -10},
					{"page up", kb.PageUp, false, 0, 10},
				} {
					before, base := p.states(t)
					said := eval[string](t, p.tab, p.at(`.querySelector('`+handle(n)+`').getAttribute('aria-valuetext')`))
					p.keys(t, key.text, key.shift)
					after, _ := p.states(t)
					want, err := new(plate.Desk).Nudge(p.calculator, plate.Request{State: before, Base: base, Width: 600, ID: "x"}, n, key.dx, key.dy)
					must(t, err)
					if after != want {
						t.Errorf("handle %d, %s: the state is %q, want %q", n, key.name, after, want)
					}
					if after != before {
						moved++
						if now := eval[string](t, p.tab, p.at(`.querySelector('`+handle(n)+`').getAttribute('aria-valuetext')`)); now == said {
							t.Errorf("handle %d, %s: still says %q", n, key.name, now)
						}
					}
					if focus := eval[string](t, p.tab, `document.activeElement.closest('g[data-handle]')?.dataset.handle ?? document.activeElement.tagName`); focus != handleNumber(n) {
						t.Errorf("handle %d, %s: the focus went to %s", n, key.name, focus)
					}
				}
				if moved < 3 {
					t.Errorf("handle %d moved at only %d of 5 keys", n, moved)
				}
				p.agrees(t)
			}
			p.clean(t)
		})
	}
}

// The focus stays on what it is on: where another view becomes the largest, the drawing counts its handles otherwise, and the next key
// would move the point in another view.
func TestKeysGoOnWithTheSameHandle(t *testing.T) {
	parallel(t)
	p := openPlate(t, "hinge-plane", "")
	const name = "Point 1, side view"
	eval[bool](t, p.tab, `(`+p.at(`.querySelector('g[data-handle][aria-label="`+name+`"]').focus()`)+`, true)`)
	focus := func() (on, number string) {
		at := strings.Split(eval[string](t, p.tab, `((g) => g?.getAttribute('aria-label') + '|' + g?.dataset.handle)(document.activeElement.closest('g[data-handle]'))`), "|")
		return at[0], at[1]
	}
	_, first := focus()
	renumbered := false
	for i := range 8 {
		p.keys(t, kb.ArrowRight, true)
		p.drawn(t)
		on, number := focus()
		if on != name {
			t.Fatalf("after %d keys the focus is on %q", i+1, on)
		}
		renumbered = renumbered || number != first
	}
	if !renumbered {
		t.Error("the handles are counted as before; what is tested here does not show")
	}
	p.clean(t)
}

// What is asked while an answer is under way adds up: of keys that come faster than answers none is lost, and none counts twice.
// So it is in a page that is given no worker, where the calculators run in the page itself.
func TestKeysFasterThanAnswersAllCount(t *testing.T) {
	parallel(t)
	for name, first := range map[string]string{"beside the page": "", "in the page": noWorker} {
		t.Run(name, func(t *testing.T) {
			p := openAtOnce(t, "finger-curl", first)
			want, base := p.states(t)
			eval[bool](t, p.tab, `(async () => {
				const press = (key) => `+p.at(`.querySelector('`+handle(0)+`').dispatchEvent(new KeyboardEvent('keydown', { key, bubbles: true }))`)+`;
				for (let i = 0; i < 12; i += 1) {
					press('ArrowRight');
					if (i % 5 === 4) await new Promise((after) => setTimeout(after, 3)); // an answer comes in between, or not
				}
				press('ArrowUp');
				return true;
			})()`)
			p.drawn(t)
			for i := range 13 {
				dx, dy := 1.0, 0.0
				if i == 12 {
					dx, dy = 0, 1
				}
				var err error
				want, err = new(plate.Desk).Nudge(p.calculator, plate.Request{State: want, Base: base, Width: 600, ID: "x"}, 0, dx, dy)
				must(t, err)
			}
			if got, _ := p.states(t); got != want || got == base {
				t.Errorf("thirteen keys lead to %q, want %q", got, want)
			}
			p.agrees(t)
			p.clean(t)
		})
	}
}

// A handle that is pulled before its calculator came is where it was let go, or follows on in a hand that still holds it; the focus
// of who is elsewhere by then is not taken away.
func TestAHandlePulledBeforeTheCalculatorCameFollows(t *testing.T) {
	parallel(t)
	const holdBack = `(() => {
		const send = Worker.prototype.postMessage;
		const waiting = [];
		Worker.prototype.postMessage = function (...what) { if (window.letCome) send.apply(this, what); else waiting.push([this, what]); };
		window.come = () => { window.letCome = true; for (const [worker, what] of waiting) send.apply(worker, what); };
	})()`
	for _, end := range []string{"let go", "held", "only pressed"} {
		t.Run(end, func(t *testing.T) {
			tb := blank(t, view{still: end != "let go", nobody: true}) // where motion is welcome, a plate shows that it moves, but not to who knows
			tb.early(t, holdBack)
			tb.visit(t, origin+"/plates/finger-curl/")
			tb.until(t, alive)
			root := livePlate{tab: tb, id: eval[string](t, tb, `document.querySelector('[data-plate]').id`)}
			at := root.middle(t, handle(0)+" .handle-hit")
			root.mouse(t, "press", at)
			if end != "only pressed" {
				root.mouse(t, "move", point{at.X + 11, at.Y - 9})
				root.mouse(t, "move", point{at.X + 22, at.Y - 18})
			}
			if end != "held" {
				root.mouse(t, "release", point{at.X + 22, at.Y - 18})
			}
			if engine := eval[string](t, tb, root.at(`.dataset.engine`)); engine != "off" {
				t.Fatalf("the calculator was there first: %q", engine)
			}
			if marked := eval[string](t, tb, `getSelection().toString()`); marked != "" {
				t.Errorf("the pull marked %q", marked)
			}
			eval[bool](t, tb, `(come(), true)`)
			p := tb.plate(t, "finger-curl")
			p.until(t, p.at(`.dataset.engine === 'on'`))
			p.drawn(t)
			early, base := p.states(t)
			if moved := early != base; moved != (end != "only pressed") {
				t.Errorf("%s before the calculator came: the state is %q of %q", end, early, base)
			}
			if end == "held" {
				p.mouse(t, "move", point{at.X + 34, at.Y - 30})
				p.drawn(t)
				if now, _ := p.states(t); now == early {
					t.Errorf("held on, it no longer follows: %q", now)
				}
				p.mouse(t, "release", point{at.X + 34, at.Y - 30})
			}
			if eval[bool](t, tb, p.at(`.hasAttribute('data-moving')`)) {
				t.Error("the plate still takes the handle for held")
			}
			if onHandle := eval[bool](t, tb, `document.activeElement?.closest('g[data-handle]') !== null`); onHandle != (end == "held") {
				t.Errorf("%s: the focus is on a handle: %v", end, onHandle)
			}
			p.agrees(t)
			p.clean(t)
		})
	}
}
