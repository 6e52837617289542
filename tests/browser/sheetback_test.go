package browser

import (
	"net/url"
	"strings"
	"testing"
)

// withheld has what a page asks of its calculators wait until it is let go.
const withheld = `{
	const post = Worker.prototype.postMessage;
	let queue = null;
	Worker.prototype.postMessage = function (...order) { queue ? queue.push(() => post.apply(this, order)) : post.apply(this, order); };
	window.withhold = () => { queue ??= []; };
	window.letGo = () => { const left = queue ?? []; queue = null; left.forEach((go) => go()); };
	window.hide = () => {
		Object.defineProperty(document, 'visibilityState', { value: 'hidden', configurable: true });
		document.dispatchEvent(new Event('visibilitychange'));
		delete document.visibilityState;
	};
}`

// slowSheet is the page of the sheet, whose calculators can be withheld.
func slowSheet(t *testing.T, fragment string) *tab {
	t.Helper()
	tb := blank(t, view{still: true})
	tb.early(t, withheld)
	tb.visit(t, origin+"/sheet/"+fragment)
	tb.until(t, `document.querySelector('[data-sheet]')?.dataset.ready !== undefined`)
	return tb
}

// Who writes on the sheet of a link and looks at something else before it is answered finds the own one put aside, and not a copy.
func TestTheOwnSheetStaysAsideWhenAGuestsPageIsHidden(t *testing.T) {
	parallel(t)
	own := keptSheet(t, onSheet(t))
	tb := slowSheet(t, "#j="+url.PathEscape(strings.Replace(own, "Knuckle and elbow", "Of a guest", 1)))
	tb.run(t, `withhold(); const input = document.querySelector('[data-sheet-text="character"]'); input.value = 'Tern'; input.dispatchEvent(new Event('change', { bubbles: true }))`)
	tb.run(t, `hide()`)
	tb.run(t, `letGo()`)
	tb.until(t, `document.querySelector('[data-sheet-view]').textContent.includes('Tern')`)
	if aside := eval[string](t, tb, `localStorage.getItem('centrode-sheet-before') ?? ''`); !strings.Contains(aside, "Knuckle and elbow") {
		t.Errorf("aside is %.200q", aside)
	}
	if kept := keptSheet(t, tb); !strings.Contains(kept, "Of a guest") || !strings.Contains(kept, "Tern") {
		t.Errorf("kept is %.200q", kept)
	}
	tb.clean(t)
}

// A page that a reader goes back to does not write over what was done since, on the same sheet in the other language.
func TestAPageGoneBackToKeepsWhatWasWrittenSince(t *testing.T) {
	parallel(t)
	own := keptSheet(t, onSheet(t))
	tb := slowSheet(t, "")
	tb.run(t, `withhold(); const field = document.querySelector('[data-sheet-text="reasons"]'); field.focus(); field.value = 'Left in mid'; field.dispatchEvent(new Event('input', { bubbles: true }));
		dispatchEvent(new PageTransitionEvent('pagehide', { persisted: true }))`)
	if kept := keptSheet(t, tb); !strings.Contains(kept, "Left in mid") {
		t.Fatalf("left, the sheet is %.200q", kept)
	}
	tb.run(t, `localStorage.setItem('centrode-sheet', localStorage.getItem('centrode-sheet').replace('Left in mid', 'Written to its end'));
		document.activeElement.blur(); letGo(); dispatchEvent(new PageTransitionEvent('pageshow', { persisted: true }))`)
	if err := tb.wait(`document.querySelector('[data-sheet-view]').textContent.includes('Written to its end')`, patience/12); err != nil {
		t.Error(err)
	}
	if kept := keptSheet(t, tb); !strings.Contains(kept, "Written to its end") {
		t.Errorf("gone back to, the sheet is %.300q, was %.300q", kept, own)
	}
	tb.clean(t)
}

// A word that is refused, and that was not answered when its page was left, does not shut the sheet.
func TestARefusedWordThatWasLeftDoesNotShutTheSheet(t *testing.T) {
	parallel(t)
	onSheet(t)
	tb := slowSheet(t, "")
	const refused = `const field = document.querySelector('[data-sheet-text="reasons"]'); field.focus(); field.value = 'From a\ttable'; field.dispatchEvent(new Event('input', { bubbles: true }))`
	tb.run(t, refused+`; hide()`) // and looked at again
	tb.until(t, `document.querySelector('[data-sheet-status]').textContent.includes('take it out')`)
	if kept := keptSheet(t, tb); !strings.Contains(kept, "The hand must close") {
		t.Errorf("looked at again, the sheet is %.200q", kept)
	}
	tb.run(t, refused+`; window.before = true; location.reload()`)
	tb.until(t, `!('before' in window) && document.querySelector('[data-sheet]')?.dataset.ready !== undefined`)
	if got := eval[string](t, tb, `document.querySelector('[data-sheet]').dataset.sheet + ': ' + document.querySelector('[data-sheet-text="reasons"]').value`); got != "full: The hand must close on the key." {
		t.Errorf("read again, the sheet is %q", got)
	}
	tb.run(t, `withhold(); `+refused+`; hide()`)
	p := openPlate(t, "hinge-arc", "#plate-hinge-arc?candidate_y=-3")
	p.click(t, `[data-action="add-sheet"]`)
	p.until(t, p.at(`.querySelector('.plate-status').textContent.startsWith('Added. The sheet has 3 placements.')`))
	last := slowSheet(t, "")
	if got := eval[string](t, last, `document.querySelector('[data-sheet]').dataset.sheet + ' ' + `+placements); got != "full 3" {
		t.Errorf("with one more placement, the sheet is %q", got)
	}
	tb.clean(t)
}
