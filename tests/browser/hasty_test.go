package browser

import (
	"strconv"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// gate lets a test hold back what a page sends to its workers: all that held says, until it is let through. workers counts them.
const gate = `{
	const Real = window.Worker;
	const send = Real.prototype.postMessage;
	let waiting = [];
	window.workers = 0;
	window.held = () => false;
	window.Worker = class extends Real { constructor(...how) { super(...how); window.workers += 1; } };
	Real.prototype.postMessage = function (...what) { if (window.held(what[0])) waiting.push([this, what]); else send.apply(this, what); };
	window.waits = () => waiting.length;
	window.letThrough = () => { const now = waiting; waiting = []; for (const [worker, what] of now) send.apply(worker, what); };
	window.letAll = () => { window.held = () => false; window.letThrough(); };
}`

// openGated opens the plate of a calculator behind the gate.
func openGated(t testing.TB, calculator string) livePlate {
	t.Helper()
	tb := blank(t, view{still: true})
	tb.early(t, gate)
	tb.visit(t, origin+"/plates/"+calculator+"/")
	tb.settle(t)
	return tb.plate(t, calculator)
}

// run evaluates what gives nothing.
func (tb *tab) run(t testing.TB, statements string) {
	t.Helper()
	eval[bool](t, tb, `(() => { `+statements+`; return true; })()`)
}

// Whoever moves a slider while the calculators are on a slow way does not send them back, and can take it back later.
func TestEditsWaitForCalculatorsOnASlowWay(t *testing.T) {
	tb := blank(t, view{still: true})
	tb.early(t, gate+`held = () => true;`)
	tb.visit(t, origin+"/plates/hinge-arc/")
	tb.until(t, `document.querySelector('[data-plate][data-waiting]')`)
	eval[bool](t, tb, `new Promise((done) => {
		const slider = document.querySelector('[data-plate] [data-slider]');
		let left = 12;
		const timer = setInterval(() => {
			if (left-- === 0) return clearInterval(timer), done(true);
			slider.value = String(Number(slider.value) + Number(slider.step));
			slider.dispatchEvent(new Event('input', { bubbles: true }));
		}, 200);
	})`)
	want := eval[string](t, tb, `document.querySelector('[data-plate] [data-slider]').value`)
	if n := eval[int](t, tb, `workers`); n != 1 {
		t.Errorf("%d workers were hired, each of which fetches the calculators anew; want one", n)
	}
	tb.run(t, `letAll()`)
	tb.until(t, `document.querySelector('[data-plate][data-engine="on"]:not([data-waiting])')`)
	p := tb.plate(t, "hinge-arc")
	if state, _ := p.states(t); !strings.HasSuffix(state, "="+want) {
		t.Errorf("the slider was left at %s, and the state is %q", want, state)
	}
	p.press(t, "undo")
	p.stateIs(t, "")
	p.clean(t)
}

// What is typed on while an answer is under way stays, and counts when the field is left.
func TestAnAnswerLeavesWhatIsTypedMeanwhile(t *testing.T) {
	p := openGated(t, "finger-curl")
	p.unfold(t)
	p.run(t, p.field("mcp_depth", `.focus()`)+`; `+p.field("mcp_depth", `.select()`)+`; held = ({ kind }) => kind === 'solve'`)
	p.presses(t, "1.7"+kb.Enter)
	p.presses(t, "5")
	p.run(t, `letAll()`)
	p.drawn(t)
	if got := eval[string](t, p.tab, p.field("mcp_depth", `.value`)); got != "1.75" {
		t.Errorf("typed on to 1.75, the field shows %q", got)
	}
	p.stateIs(t, "mcp_depth=1.7")
	p.presses(t, kb.Tab)
	p.drawn(t)
	p.stateIs(t, "mcp_depth=1.75")
	p.clean(t)
}

// A slider that was moved on keeps its place while the answer to the place before comes.
func TestAnAnswerLeavesASliderThatWasMovedOn(t *testing.T) {
	p := openGated(t, "hinge-arc")
	slider := p.at(`.querySelector('[data-slider]')`)
	p.run(t, `held = ({ kind }) => kind === 'solve'; window.places = []`)
	step := `{ const s = ` + slider + `; s.stepUp(); s.dispatchEvent(new Event('input', { bubbles: true })); }`
	p.run(t, step+`; window.second = `+slider+`.valueAsNumber + Number(`+slider+`.step);`+step)
	p.run(t, `letThrough()`) // the first; the second is asked when it is answered
	p.until(t, `waits() === 1`)
	if !eval[bool](t, p.tab, `Math.abs(`+slider+`.valueAsNumber - second) < 1e-9`) {
		t.Errorf("the slider went back to %g under the hand", eval[float64](t, p.tab, slider+`.valueAsNumber`))
	}
	p.run(t, `letAll()`)
	p.drawn(t)
	p.clean(t)
}

// Cells that are filled faster than they are answered are all kept.
func TestCellsFilledFasterThanAnsweredAreKept(t *testing.T) {
	p := openGated(t, "hinge-plane")
	into := func(row int, text string) {
		p.run(t, p.table("points", cell(row, 0)+`.focus()`)+`; `+p.table("points", cell(row, 0)+`.select()`))
		p.presses(t, text+kb.Tab)
	}
	p.run(t, `held = ({ kind }) => kind === 'solve'`)
	into(0, "1.25")
	into(1, "2.25")
	p.run(t, `letThrough()`)
	p.until(t, `waits() === 1`) // the first is answered, the second asked
	into(2, "3.25")
	p.run(t, `letAll()`)
	p.drawn(t)
	state, _ := p.states(t)
	for _, typed := range []string{"1.25", "2.25", "3.25"} {
		if !strings.Contains(state, typed+",") {
			t.Errorf("%s is lost: the state is %q", typed, state)
		}
	}
	p.clean(t)
}

// Undone by the keys, a field that has the focus shows what counts again.
func TestAFocusedFieldShowsWhatIsUndone(t *testing.T) {
	p := openPlate(t, "finger-curl", "")
	p.enter(t, "mcp_depth", "1.7", kb.Enter)
	p.enter(t, "pip_depth", "1.6", kb.Enter) // else the two were one step
	p.enter(t, "mcp_depth", "2.2", kb.Enter) // as printed
	must(t, chromedp.Do(p.ctx, chromedp.KeyEvent("z", chromedp.KeyModifiers(kb.ModifierCtrl))))
	p.drawn(t)
	p.stateIs(t, "mcp_depth=1.7&pip_depth=1.6")
	if got := eval[string](t, p.tab, p.field("mcp_depth", `.value`)); got != "1.7" {
		t.Errorf("the field shows %q, and 1.7 counts", got)
	}
	p.clean(t)
}

// A field that shows what a handle did has no edit of its own to take back, so the keys for undo are the plate's. Two steps back that
// are faster than the answer are done again one by one.
func TestUndoKeysCountInAFieldThatAHandleFilled(t *testing.T) {
	p := openPlate(t, "finger-curl", "")
	printed := eval[string](t, p.tab, p.field("mcp_depth", `.value`))
	p.enter(t, "mcp_depth", "1.7", kb.Enter)
	p.enter(t, "pip_depth", "1.6", kb.Enter)
	undo := chromedp.KeyEvent("z", chromedp.KeyModifiers(kb.ModifierCtrl))
	p.run(t, p.field("mcp_depth", `.focus()`))
	must(t, chromedp.Do(p.ctx, undo))
	p.drawn(t)
	p.stateIs(t, "mcp_depth=1.7")
	must(t, chromedp.Do(p.ctx, undo))
	p.drawn(t)
	p.stateIs(t, "")
	if got := eval[string](t, p.tab, p.field("mcp_depth", `.value`)); got != printed {
		t.Errorf("the field shows %q, want %q as printed", got, printed)
	}
	both := func(which string) {
		eval[bool](t, p.tab, `((button) => { button.click(); button.click(); return true })(`+p.at(`.querySelector('[data-action="`+which+`"]')`)+`)`)
		p.drawn(t)
	}
	both("redo")
	p.stateIs(t, "mcp_depth=1.7&pip_depth=1.6")
	both("undo")
	p.stateIs(t, "")
	p.press(t, "redo")
	p.stateIs(t, "mcp_depth=1.7")
	p.clean(t)
}

// Starting over is a step of its own, however soon after a handle was moved.
func TestResetIsAStepOfItsOwn(t *testing.T) {
	p := openPlate(t, "finger-curl", "")
	rest := `await new Promise((done) => { const look = () => (root.matches('[data-waiting]') ? setTimeout(look) : done()); look(); });`
	moved := eval[string](t, p.tab, `(async (root) => {
		root.querySelector('g[data-handle]').dispatchEvent(new KeyboardEvent('keydown', { key: 'ArrowUp', bubbles: true }));
		`+rest+`
		const moved = root.dataset.link;
		root.querySelector('[data-action="reset"]').click();
		`+rest+`
		return moved;
	})(`+p.at(``)+`)`)
	p.press(t, "undo")
	if got := eval[string](t, p.tab, p.at(`.dataset.link`)); got != moved {
		t.Errorf("undone, the plate is at %q, want %q as before it was started over", got, moved)
	}
	p.clean(t)
}

// A text that a reader writes beside a table outlives its folding.
func TestATextBesideTheTableOutlivesItsFolding(t *testing.T) {
	p := openPlate(t, "hinge-plane", "")
	p.unfold(t)
	box := p.table("points", `.querySelector('[data-table-text]')`)
	p.until(t, box+`.value.startsWith('x,y,z\n')`)
	fold := func(open string) {
		eval[bool](t, p.tab, `new Promise((done) => {
			const part = `+p.table("points", `.querySelector('.plate-table-text')`)+`;
			part.addEventListener('toggle', () => setTimeout(() => done(true), 100), { once: true });
			part.open = `+open+`;
		})`)
	}
	p.run(t, box+`.value = '1;2;3'`)
	fold("false")
	fold("true")
	if got := eval[string](t, p.tab, box+`.value`); got != "1;2;3" {
		t.Errorf("folded and unfolded, the text is %q", got)
	}
	p.do(t, "points", "use-text")
	fold("false")
	fold("true")
	if got := eval[string](t, p.tab, box+`.value`); !strings.HasPrefix(got, "x,y,z\n") {
		t.Errorf("used, the text is %q, and not the table's", got)
	}
}

// The same verdict on another answer is told anew, to those who are read to as well.
func TestTheSameVerdictIsToldAgain(t *testing.T) {
	c := openExercise(t, "the-owed-translation", "hock-debt-y", view{})
	_, first := c.answer(t, "12")
	c.run(t, `window.told = []; new MutationObserver(() => told.push(`+c.at(`.querySelector('[data-verdict]').textContent`)+`)).observe(`+c.at(`.querySelector('[data-verdict]')`)+`, { childList: true, characterData: true, subtree: true })`)
	_, second := c.answer(t, "13")
	c.until(t, `told.length > 1`)
	if told := eval[[]string](t, c.tab, `told`); first != second || told[0] != "" || told[len(told)-1] != second {
		t.Errorf("the verdict was %q, then %q, and the line held %q between", first, second, told)
	}
	c.clean(t)
}

// Keys that belong to an input method do not lead out of the line.
func TestTheSearchLeavesKeysToAnInputMethod(t *testing.T) {
	tb := open(t, "/glossary/", view{still: true})
	tb.searches(t, "pivot")
	press := func(composing string) string {
		return eval[string](t, tb, `(document.activeElement.dispatchEvent(new KeyboardEvent('keydown', { key: 'ArrowDown', bubbles: true, isComposing: `+composing+` })), document.activeElement.className)`)
	}
	if at := press("true"); at != "search-input" {
		t.Errorf("a key of the input method leads to %q", at)
	}
	if at := press("false"); at != "search-result" {
		t.Errorf("the arrow key leads to %q", at)
	}
	tb.clean(t)
}

// What is chosen in one page of the browser holds in another that is open, and in one that is gone back to.
func TestAChoiceReachesPagesThatAreOpen(t *testing.T) {
	tb := open(t, "/glossary/", view{still: true})
	t.Cleanup(func() { eval[bool](t, tb, `(localStorage.clear(), true)`) })
	tb.settle(t)
	other := open(t, "/cast/", view{still: true})
	other.settle(t)
	choose := func(selector, value string) {
		tb.run(t, `const s = document.querySelector('[data-settings] `+selector+`'); s.value = '`+value+`'; s.dispatchEvent(new Event('change', { bubbles: true }))`)
	}
	shown := `(document.documentElement.dataset.theme ?? '') + ' ' + (document.documentElement.dataset.units ?? '') + ' ' + [...document.querySelectorAll('[data-settings] select')].map((s) => s.value).join(' ')`
	choose("select", "dark")
	choose("[data-lengths]", "mm")
	other.until(t, shown+` === 'dark mm dark mm'`)
	other.run(t, `localStorage.clear(); dispatchEvent(new PageTransitionEvent('pageshow', { persisted: true }))`) // as after the way back
	other.until(t, `(`+shown+`).trim() === ''`)
	other.clean(t)
	tb.clean(t)
}

// A second pull that begins before the first one's own sheet is drawn moves the handle by as much as the hand goes: read off the sheet
// of the first, it would leap by what that sheet has yet to move.
func TestASecondQuickPullDoesNotLeap(t *testing.T) {
	const small = 6 // px
	for _, end := range []string{"held until the sheet is drawn", "over before"} {
		t.Run(end, func(t *testing.T) {
			p := openGated(t, "pivot-offset")
			at := p.middle(t, handle(0)+" .handle-hit")
			p.mouse(t, "press", at)
			for i := range 6 {
				p.mouse(t, "move", point{at.X - 20*float64(i+1), at.Y})
			}
			p.drawn(t)
			first, base := p.states(t)
			p.run(t, `held = ({ kind }) => kind === 'solve'`)
			p.mouse(t, "release", point{at.X - 120, at.Y})
			p.until(t, `waits() === 1`)
			p.mouse(t, "press", point{at.X - 120, at.Y})
			p.mouse(t, "move", point{at.X - 120 + small, at.Y})
			if end == "over before" {
				p.mouse(t, "release", point{at.X - 120 + small, at.Y})
			}
			p.run(t, `letAll()`)
			p.drawn(t)
			if end != "over before" {
				p.mouse(t, "release", point{at.X - 120 + small, at.Y})
				p.drawn(t)
			}
			second, _ := p.states(t)
			if eval[bool](t, p.tab, p.at(`.hasAttribute('data-moving')`)) {
				t.Error("the plate still takes the handle for held")
			}
			// What the same small pull does in no hurry, from where the first one ended.
			slow := p.again(t, "#"+p.id+"?"+first+"?"+base)
			from := slow.middle(t, handle(0)+" .handle-hit")
			slow.mouse(t, "press", from)
			slow.mouse(t, "move", point{from.X + small, from.Y})
			slow.mouse(t, "release", point{from.X + small, from.Y})
			slow.drawn(t)
			if want, _ := slow.states(t); second != want || first == base {
				t.Errorf("from %q a second pull of %d px leads to %q, want %q", first, small, second, want)
			}
			slow.clean(t)
		})
	}
}

// So it is with a key that is held down: where another view becomes the largest, the drawing counts its handles otherwise, and steps that
// were asked before it came went to the point in another view.
func TestStepsFasterThanAnswersStayWithTheirHandle(t *testing.T) {
	const steps, name = 8, "Point 1, side view"
	p := openPlate(t, "hinge-plane", "")
	focus := func() {
		t.Helper()
		p.run(t, p.at(`.querySelector('g[data-handle][aria-label="`+name+`"]').focus()`))
	}
	focus()
	for range steps {
		p.keys(t, kb.ArrowRight, true)
	}
	want, _ := p.states(t)
	p = p.again(t, "")
	focus()
	p.run(t, `for (let i = 0; i < `+strconv.Itoa(steps)+`; i += 1) document.activeElement.dispatchEvent(new KeyboardEvent('keydown', { key: 'ArrowRight', shiftKey: true, bubbles: true, cancelable: true }))`)
	p.drawn(t)
	if got, base := p.states(t); got != want || got == base {
		t.Errorf("%d steps at once lead to %q, one after the other to %q", steps, got, want)
	}
	p.clean(t)
}
