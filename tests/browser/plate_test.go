package browser

import (
	"encoding/json"
	"maps"
	"net/url"
	"strconv"
	"strings"
	"testing"

	cdpbrowser "github.com/chromedp/cdproto/browser"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"

	"centrode/calc/catalog"
	"centrode/calc/plate"
)

// livePlate is one plate of an open page whose calculator is on.
type livePlate struct {
	*tab
	calculator catalog.Calculator
	id         string // of its element
	base       string // the state it was printed with
}

// openPlate opens the reference page of the calculator and its plate. Nothing moves by itself.
func openPlate(t testing.TB, calculator, fragment string) livePlate {
	t.Helper()
	return blank(t, view{still: true}).turnTo(t, calculator, fragment)
}

// turnTo opens the reference page of the calculator in a tab that may have shown others. That costs half of what a new tab costs, for
// which the browser starts a process.
func (tb *tab) turnTo(t testing.TB, calculator, fragment string) livePlate {
	t.Helper()
	tb.forget()
	tb.visit(t, origin+"/plates/"+calculator+"/"+fragment)
	tb.settle(t)
	return tb.plate(t, calculator)
}

// again opens the page of the plate anew in the same tab, by another fragment. Its query, which no page reads, is another one too: else
// only the fragment would change.
func (p livePlate) again(t testing.TB, fragment string) livePlate {
	t.Helper()
	p.turns++
	return p.turnTo(t, p.calculator.Spec().ID, "?"+strconv.Itoa(p.turns)+fragment)
}

// plate is the first live plate of the page.
func (tb *tab) plate(t testing.TB, calculator string) livePlate {
	t.Helper()
	p := livePlate{tab: tb, calculator: find(t, calculator), id: eval[string](t, tb, `document.querySelector('[data-plate]').id`)}
	if got := eval[string](t, tb, `document.querySelector('[data-plate]').dataset.calculator`); got != calculator {
		t.Fatalf("the first plate is one of %s, want %s", got, calculator)
	}
	p.base = eval[string](t, tb, p.at(`.dataset.base ?? ''`))
	p.until(t, p.at(`.dataset.link !== undefined`))
	p.drawn(t)
	return p
}

// at is a script expression about the plate's element.
func (p livePlate) at(rest string) string {
	return `document.getElementById('` + p.id + `')` + rest
}

// drawn waits until what was asked of the plate is on the screen.
func (p livePlate) drawn(t testing.TB) {
	t.Helper()
	eval[bool](t, p.tab, drawnTwice)
	p.until(t, `!`+p.at(`.matches('[data-waiting], :has([data-table][aria-busy], .plate-probe[aria-busy="true"])')`))
}

// states returns the live state and the base, as the plate's own link gives them.
func (p livePlate) states(t testing.TB) (state, base string) {
	t.Helper()
	link, err := url.Parse(eval[string](t, p.tab, p.at(`.dataset.link`)))
	must(t, err)
	parts := strings.Split(link.EscapedFragment(), "?")
	switch len(parts) {
	case 1:
		return p.base, p.base
	case 2:
		return parts[1], p.base
	}
	return parts[1], parts[2]
}

// cells are the printed cells: current, candidate and difference of each row, by its key.
func (p livePlate) cells(t testing.TB) map[string][3]string {
	t.Helper()
	return eval[map[string][3]string](t, p.tab, `Object.fromEntries([...`+p.at(`.querySelectorAll('[data-outputs] tr[data-output], [data-outputs] tr[data-pair]')`)+`].map((row) => [
		row.dataset.output ?? row.dataset.pair,
		['current', 'candidate', 'difference'].map((side) => row.querySelector('[data-' + side + ']')?.textContent ?? '')]))`)
}

// look is all that a reader sees of the plate: numbers, sentence, inputs, and the drawing as a tree with its
// attributes in order.
func (p livePlate) look(t testing.TB) string {
	t.Helper()
	return eval[string](t, p.tab, `((root) => {
		const tree = (node) => node.nodeType === Node.TEXT_NODE ? node.nodeValue
			: [node.localName, [...node.attributes].map((a) => [a.name, a.value]).sort(), [...node.childNodes].map(tree)];
		return JSON.stringify([tree(root.querySelector('[data-figure] svg')), tree(root.querySelector('[data-outputs] tbody')),
			root.querySelector('[data-say]').textContent,
			[...root.querySelectorAll('[data-field] input, [data-field] select, [data-field] textarea')].map((input) => input.value)], null, 1);
	})(`+p.at(``)+`)`)
}

// agrees holds what the page shows and copies against the library and the command for the same state.
func (p livePlate) agrees(t testing.TB) {
	t.Helper()
	state, base := p.states(t)
	live, err := plate.Run(p.calculator, state)
	must(t, err)
	start, err := plate.Run(p.calculator, base)
	must(t, err)
	if live.Spec.Single { // measured data: nothing to compare with
		start = live
	}
	shown := p.cells(t)
	if len(shown) == 0 {
		t.Error("the plate shows no row")
	}
	for _, row := range plate.Cells(start, live) {
		if got, ok := shown[row.Key]; ok {
			if want := [3]string{row.Current, row.Candidate, row.Difference}; got != want {
				t.Errorf("%s of %q shows %q, want %q", row.Key, state, got, want)
			}
			delete(shown, row.Key)
		}
	}
	for key := range maps.Keys(shown) {
		t.Errorf("the row %s is no output of the calculator", key)
	}
	copied := p.press(t, "copy-json")
	if want := commandPrints(t, p.calculator, state, "json"); copied != want {
		t.Errorf("for %q the page copies\n%s\nand the command prints\n%s", state, copied, want)
	}
	if want := string(append(live.AppendJSON(nil), '\n')); copied != want {
		t.Errorf("for %q the page copies\n%s\nand the library answers\n%s", state, copied, want)
	}
}

// press clicks one of the plate's buttons with the mouse and, where it copies, returns what the clipboard holds then.
func (p livePlate) press(t testing.TB, action string) string {
	t.Helper()
	copies := action == "send" || strings.HasPrefix(action, "copy-")
	if copies {
		p.allow(t, cdpbrowser.PermissionSettingGranted)
		eval[bool](t, p.tab, `navigator.clipboard.writeText('nothing yet').then(() => true)`)
	}
	p.click(t, `[data-action="`+action+`"]`)
	if !copies {
		p.drawn(t)
		return ""
	}
	p.until(t, `navigator.clipboard.readText().then((text) => text !== 'nothing yet')`)
	return eval[string](t, p.tab, `navigator.clipboard.readText()`)
}

// allow decides whether pages may use the clipboard.
func (p livePlate) allow(t testing.TB, setting cdpbrowser.PermissionSetting) {
	t.Helper()
	for _, name := range []string{"clipboard-read", "clipboard-write"} {
		_, err := chromedp.CallBrowser(p.ctx, cdpbrowser.SetPermission, cdpbrowser.SetPermissionParams{
			Permission: &cdpbrowser.PermissionDescriptor{Name: name}, Setting: setting})
		must(t, err)
	}
	_, err := chromedp.Call(p.ctx, emulation.SetFocusEmulationEnabled, emulation.SetFocusEmulationEnabledParams{Enabled: true})
	must(t, err)
}

// point is a place in the window, in px.
type point struct{ X, Y float64 }

// middle brings the middle of the plate's element into the middle of the window, and returns where that is.
func (p livePlate) middle(t testing.TB, selector string) point {
	t.Helper()
	quoted, err := json.Marshal(selector)
	must(t, err)
	return eval[point](t, p.tab, `((element) => {
		element.scrollIntoView({ block: 'center', behavior: 'instant' });
		const box = element.getBoundingClientRect();
		return { X: box.x + box.width / 2, Y: box.y + box.height / 2 };
	})(`+p.at(`.querySelector(`+string(quoted)+`)`)+`)`)
}

func (p livePlate) click(t testing.TB, selector string) {
	t.Helper()
	at := p.middle(t, selector)
	must(t, chromedp.Do(p.ctx, chromedp.MouseClickXY(at.X, at.Y)))
}

// mouse sends one event of the mouse with its left button held.
func (p livePlate) mouse(t testing.TB, kind string, at point) {
	t.Helper()
	steps := map[string]chromedp.Action[chromedp.Void]{
		"press":   chromedp.MouseEvent("mousePressed", at.X, at.Y, chromedp.ButtonLeft, chromedp.ClickCount(1), held),
		"move":    chromedp.MouseEvent("mouseMoved", at.X, at.Y, chromedp.ButtonLeft, held),
		"release": chromedp.MouseEvent("mouseReleased", at.X, at.Y, chromedp.ButtonLeft, chromedp.ClickCount(1)),
	}
	must(t, chromedp.Do(p.ctx, steps[kind]))
}

// keys types; shift holds that key down meanwhile.
func (p livePlate) keys(t testing.TB, text string, shift bool) {
	t.Helper()
	var options []chromedp.KeyOption
	if shift {
		options = append(options, chromedp.KeyModifiers(kb.ModifierShift))
	}
	must(t, chromedp.Do(p.ctx, chromedp.KeyEvent(text, options...)))
	p.drawn(t)
}

// handles counts the plate's handles, but no more than six: those of a table's rows are alike.
func (p livePlate) handles(t testing.TB) int {
	t.Helper()
	return min(6, eval[int](t, p.tab, p.at(`.querySelectorAll('g[data-handle]').length`)))
}

// handle selects a handle's element.
func handle(n int) string { return `g[data-handle="` + handleNumber(n) + `"]` }

func handleNumber(n int) string { return strconv.Itoa(n) }
