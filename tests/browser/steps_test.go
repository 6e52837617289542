package browser

import (
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// A movement is one step however long it rests on its way, and two movements are two, however soon one follows the other.
func TestAMovementIsOneStep(t *testing.T) {
	parallel(t)
	p := openPlate(t, "finger-curl", "")
	start, _ := p.states(t)
	drag := func(n int, dx, dy float64, rest time.Duration) string {
		at := p.middle(t, handle(n)+" .handle-hit")
		p.mouse(t, "press", at)
		p.mouse(t, "move", point{at.X + dx/2, at.Y + dy/2})
		p.drawn(t)
		time.Sleep(rest)
		p.mouse(t, "move", point{at.X + dx, at.Y + dy})
		p.drawn(t)
		p.mouse(t, "release", point{at.X + dx, at.Y + dy})
		p.drawn(t)
		state, _ := p.states(t)
		return state
	}
	first := drag(0, 16, -16, 1200*time.Millisecond)
	second := drag(1, -10, -10, 0)
	if first == start || second == first {
		t.Fatalf("the movements lead from %q to %q and %q", start, first, second)
	}
	p.press(t, "undo")
	p.stateIs(t, first)
	p.press(t, "undo")
	p.stateIs(t, start)
	// The buttons that have nothing left to do hand the focus on, so that the keys go on working.
	if at := eval[string](t, p.tab, `document.activeElement.dataset.action ?? document.activeElement.tagName`); at != "redo" {
		t.Errorf("after the last step back the focus is on %s", at)
	}
	p.press(t, "redo")
	p.press(t, "redo")
	if at := eval[string](t, p.tab, `document.activeElement.dataset.action ?? document.activeElement.tagName`); at != "undo" {
		t.Errorf("after the last step done again the focus is on %s", at)
	}
	p.stateIs(t, second)
	p.clean(t)
}

// Presets that follow each other faster than they are answered leave what is compared with alone, and the list shows which is in use.
func TestPresetsInQuickSuccessionAreTakenBackWithTheirBase(t *testing.T) {
	parallel(t)
	p := openPlate(t, "finger-curl", "")
	start, base := p.states(t)
	was := p.cells(t)
	list := p.at(`.querySelector('select[data-preset]')`)
	shown := func(when string) {
		t.Helper()
		state, base := p.states(t)
		if got := eval[string](t, p.tab, list+`.value`); got != base {
			t.Errorf("%s, with the state %q on %q, the list shows %q", when, state, base, got)
		}
	}
	if n := eval[int](t, p.tab, list+`.options.length`); n < 4 {
		t.Fatalf("%d presets", n)
	}
	p.run(t, `((list) => { for (let n = 1; n < 4; n++) { list.selectedIndex = n; list.dispatchEvent(new Event('change', { bubbles: true })); } })(`+list+`)`)
	p.drawn(t)
	shown("after three presets")
	for range 3 {
		if !eval[bool](t, p.tab, p.at(`.querySelector('[data-action="undo"]').disabled`)) {
			p.press(t, "undo")
			shown("a step back")
		}
	}
	if state, b := p.states(t); state != start || b != base {
		t.Errorf("all taken back, the state is %q on %q, want %q on %q", state, b, start, base)
	}
	for row, cells := range p.cells(t) {
		if cells != was[row] {
			t.Errorf("all taken back, %s shows %v, want %v", row, cells, was[row])
		}
	}
	p.clean(t)
}

// Whoever types a value and follows a link the next moment finds it again on the way back.
func TestAValueStandsInTheAddressAtOnce(t *testing.T) {
	parallel(t)
	p := openPlate(t, "finger-curl", "")
	p.enter(t, "mcp_flex", "71", kb.Enter)
	p.drawn(t)
	if at := eval[string](t, p.tab, `location.hash`); !strings.Contains(at, "mcp_flex=71") {
		t.Errorf("the value is shown, and the address ends in %q", at)
	}
	p.clean(t)
}

// Rows that are pasted with the focus on a head or on a row's number are the whole table; on a cell they begin there.
func TestRowsPastedOnAHeadAreTheTable(t *testing.T) {
	parallel(t)
	p := openPlate(t, "key-fit", "")
	p.unfold(t)
	was, say := p.shownRows(t, "keys"), eval[string](t, p.tab, p.at(`.querySelector('[data-say]').textContent`))
	var lines []string
	for _, row := range was {
		lines = append(lines, strings.Join(row, "\t"))
	}
	for _, on := range []string{"tbody th", "thead th"} {
		p.run(t, `((on) => {
			const data = new DataTransfer();
			data.setData('text/plain', `+quote(strings.Join(lines, "\n"))+`);
			on.dispatchEvent(new ClipboardEvent('paste', { clipboardData: data, bubbles: true, cancelable: true }));
		})(`+p.table("keys", `.querySelector('`+on+`')`)+`)`)
		p.drawn(t)
		if now := eval[string](t, p.tab, p.at(`.querySelector('[data-say]').textContent`)); now != say {
			t.Errorf("its own rows pasted on a %s change the answer from %q to %q", on, say, now)
		}
		if rows := p.shownRows(t, "keys"); len(rows) != len(was) {
			t.Errorf("its own %d rows pasted on a %s make %d", len(was), on, len(rows))
		}
	}
	p.clean(t)
}

// What a reader has typed into a closing check is there again when the page is read again.
func TestAnswersOfAClosingCheckOutliveAReload(t *testing.T) {
	parallel(t)
	tb := open(t, checkPage, view{still: true})
	tb.until(t, `document.querySelector('[data-closing-begin]').hidden === false`)
	tb.run(t, `document.querySelector('[data-closing-begin] button').click()`)
	tb.until(t, `/^#closing\?[0-9]{4}$/.test(location.hash)`)
	tb.run(t, `((input) => { input.value = '1.5 cm'; input.dispatchEvent(new Event('change', { bubbles: true })); })(document.querySelectorAll('[data-question] input')[2])`)
	tb.run(t, `location.reload()`)
	tb.until(t, `document.querySelectorAll('[data-question] input')[2]?.getClientRects().length > 0`)
	tb.until(t, `document.querySelectorAll('[data-question] input')[2].value === '1.5 cm'`)
	tb.clean(t)
}

// Where a browser keeps nothing, the address goes on holding the sheet.
func TestASheetWithoutStorageStaysInItsAddress(t *testing.T) {
	parallel(t)
	link := eval[string](t, onSheet(t), `(document.querySelector('[data-sheet-do="link"]').click(), new Promise((done) => setTimeout(() => done(location.hash), 500)))`)
	tb := blank(t, view{still: true})
	tb.early(t, `Storage.prototype.setItem = () => { throw new DOMException('full', 'QuotaExceededError'); }`)
	tb.visit(t, origin+"/sheet/"+link)
	tb.until(t, `document.querySelector('[data-sheet]').dataset.ready !== undefined`)
	tb.run(t, `((input) => { input.value = 'Tern'; input.dispatchEvent(new Event('change', { bubbles: true })); })(document.querySelector('[data-sheet-text="character"]'))`)
	tb.until(t, `document.querySelector('[data-sheet-view]').textContent.includes('Tern') && location.hash !== `+strconv.Quote(link))
	tb.run(t, `location.reload()`)
	tb.until(t, `document.querySelector('[data-sheet]')?.dataset.ready !== undefined && document.querySelector('[data-sheet-view]').textContent.includes('Tern')`)
	tb.clean(t)
}

// A refused value of the fitting room is told beside the field, which names the message.
func TestARefusedValueOfTheRoomIsToldBesideIt(t *testing.T) {
	parallel(t)
	f := openRoom(t, view{})
	for id, want := range map[string]string{"angle": "x is no number. Write it as 12.5.", "x": "x is no number. Write it as 1.25, with a unit if you like: cm, mm or in."} {
		f.run(t, `((input) => { input.value = 'x'; input.dispatchEvent(new Event('change', { bubbles: true })); })(document.querySelector('input[data-field="`+id+`"]'))`)
		got := eval[[3]string](t, f.tab, `((input) => {
			const line = document.getElementById(input.getAttribute('aria-errormessage') ?? '');
			return [line?.textContent ?? '', input.getAttribute('aria-invalid') ?? '', String(document.querySelectorAll('[aria-invalid]').length)];
		})(document.querySelector('input[data-field="`+id+`"]'))`)
		if got != [3]string{want, "true", "1"} {
			t.Errorf("%s: %q, want %q of one field", id, got, want)
		}
		if far := eval[float64](t, f.tab, `((input, line) => Math.abs(line.getBoundingClientRect().top - input.getBoundingClientRect().bottom))(document.querySelector('input[data-field="`+id+`"]'), document.getElementById('room-error'))`); far > 80 {
			t.Errorf("%s: the message stands %.0f px from the field", id, far)
		}
	}
	f.clean(t)
}

// Where nothing can happen nothing is offered: without scripts on the sheet's page, on paper in a closing check that has not begun.
func TestWhatCannotWorkIsNotOffered(t *testing.T) {
	parallel(t)
	const offered = `[...document.querySelectorAll('main :is(button, input, select, .button)')].filter((part) => part.checkVisibility({ visibilityProperty: true }) && part.getClientRects().length > 0).length`
	for _, address := range []string{"/sheet/", "/de/sheet/"} {
		if n := eval[int](t, open(t, address, view{noScript: true}), offered); n > 0 {
			t.Errorf("%s offers %d controls without scripts", address, n)
		}
	}
	tb := open(t, checkPage, view{still: true})
	tb.until(t, `document.querySelector('[data-closing-begin]').hidden === false`)
	if n := eval[int](t, tb, offered); n == 0 {
		t.Error("the check cannot be begun")
	}
	_, err := chromedp.Call(tb.ctx, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Media: "print"})
	must(t, err)
	if n := eval[int](t, tb, offered); n > 0 {
		t.Errorf("a check that has not begun prints %d controls", n)
	}
}
