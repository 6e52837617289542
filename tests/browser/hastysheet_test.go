package browser

import (
	"net/url"
	"strconv"
	"strings"
	"testing"
)

// writes fills a text of the sheet and waits until it stands on the paper.
func writes(t testing.TB, tb *tab, name, text string) {
	t.Helper()
	tb.run(t, `const input = document.querySelector('[data-sheet-text="`+name+`"]'); input.value = `+quote(text)+`; input.dispatchEvent(new Event('change', { bubbles: true }))`)
	tb.until(t, `document.querySelector('[data-sheet-view]').textContent.includes(`+quote(text)+`)`)
}

const placements = `document.querySelector('[data-sheet-joints]').children.length`

// A sheet that is open while another page adds to it, or that is gone back to, shows what was added and does not write over it.
func TestASheetThatIsOpenTakesUpWhatAnotherPageAdds(t *testing.T) {
	tb := onSheet(t)
	p := openPlate(t, "hinge-arc", "#plate-hinge-arc?candidate_y=-3")
	p.click(t, `[data-action="add-sheet"]`)
	p.until(t, p.at(`.querySelector('.plate-status').textContent.startsWith('Added. The sheet has 3 placements.')`))
	tb.until(t, placements+` === 3`)
	writes(t, tb, "title", "Three of them")
	if n := eval[int](t, tb, `JSON.parse(localStorage.getItem('centrode-sheet')).entries.length`); n != 3 {
		t.Errorf("%d placements are kept, want 3", n)
	}
	tb.run(t, `const sheet = JSON.parse(localStorage.getItem('centrode-sheet'));
		sheet.entries.pop();
		localStorage.setItem('centrode-sheet', JSON.stringify(sheet));
		dispatchEvent(new PageTransitionEvent('pageshow', { persisted: true }))`) // as after the way back
	tb.until(t, placements+` === 2`)
	tb.run(t, `const last = [...document.querySelectorAll('[data-sheet-joints] button')].at(-1); last.focus(); last.click()`)
	tb.until(t, placements+` === 1`)
	if at := eval[string](t, tb, `document.activeElement.closest('[data-sheet-joints]') ? document.activeElement.tagName : 'nowhere'`); at != "BUTTON" {
		t.Errorf("the last placement is taken out, and the focus is on %s; want the button of the one before", at)
	}
	tb.run(t, `localStorage.removeItem('centrode-sheet'); dispatchEvent(new PageTransitionEvent('pageshow', { persisted: true }))`)
	tb.until(t, `document.querySelector('[data-sheet]').dataset.sheet === 'empty'`)
	tb.clean(t)
}

// Changing a sheet that came by a link puts one's own aside, and goes on without the link.
func TestASheetOfALinkPutsOnesOwnAside(t *testing.T) {
	tb := onSheet(t)
	own := keptSheet(t, tb)
	theirs := strings.Replace(own, "Knuckle and elbow", "From elsewhere", 1)
	cleared := open(t, "/sheet/#j="+url.PathEscape(theirs), view{still: true})
	cleared.until(t, `document.querySelector('[data-sheet]').dataset.ready !== undefined`)
	cleared.run(t, `document.querySelector('[data-sheet-do="clear"]').click()`)
	cleared.until(t, `document.querySelector('[data-sheet-status]').textContent.startsWith('This is your own sheet again.')`)
	if kept, at, shown := keptSheet(t, cleared), eval[string](t, cleared, `location.hash`), eval[bool](t, cleared, `document.querySelector('[data-sheet-view]').textContent.includes('From elsewhere')`); kept != own || at != "" || shown {
		t.Errorf("when another's sheet was taken away, %.40q is kept (want one's own), the address ends in %q, and it is shown: %v", kept, at, shown)
	}
	guest := open(t, "/sheet/#j="+url.PathEscape(theirs), view{still: true})
	guest.until(t, `document.querySelector('[data-sheet]').dataset.ready !== undefined`)
	if got := keptSheet(t, guest); got != own {
		t.Errorf("looked at, the sheet of a link is kept: %s", got)
	}
	writes(t, guest, "reviewer", "B. Lathe")
	if kept := keptSheet(t, guest); !strings.Contains(kept, "From elsewhere") || !strings.Contains(kept, "B. Lathe") {
		t.Errorf("changed, the sheet of the link is kept as %s", kept)
	}
	if before := eval[string](t, guest, `localStorage.getItem('centrode-sheet-before') ?? ''`); before != own {
		t.Errorf("one's own was put aside as %q", before)
	}
	if at := eval[string](t, guest, `location.hash`); at != "" {
		t.Errorf("the address still leads to what the link holds: %.20s", at)
	}
	guest.until(t, `!document.querySelector('[data-sheet-before]').hidden`)
	guest.run(t, `document.querySelector('[data-sheet-do="link"]').click()`)
	guest.until(t, `location.hash.startsWith('#z=')`)
	writes(t, guest, "character", "Tern")
	guest.run(t, `location.reload()`)
	guest.until(t, `document.querySelector('[data-sheet]')?.dataset.ready !== undefined && document.querySelector('[data-sheet-view]').textContent.includes('Tern')`)
	guest.clean(t)
}

// What is typed is kept at the first rest, and not only when its field is left: a phone may drop the page before.
func TestWhatIsTypedOnASheetIsKeptBeforeItsFieldIsLeft(t *testing.T) {
	tb := onSheet(t)
	for i, field := range []string{`[data-sheet-text="reasons"]`, `[data-sheet-joints] input`} {
		tb.run(t, `const field = document.querySelector('`+field+`'); field.focus(); field.select()`)
		tb.presses(t, "swings short")
		tb.until(t, `localStorage.getItem('centrode-sheet').split('swings short').length === `+strconv.Itoa(i+2))
		if on := eval[bool](t, tb, `document.activeElement.matches('`+field+`')`); !on {
			t.Errorf("kept, and the focus is on %s", eval[string](t, tb, `document.activeElement.tagName`))
		}
		tb.presses(t, " of it")
		if text := eval[string](t, tb, `document.activeElement.value`); text != "swings short of it" {
			t.Errorf("typed on, the field holds %q", text)
		}
	}
	tb.clean(t)
}
