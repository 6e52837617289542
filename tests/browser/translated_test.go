package browser

import (
	"strings"
	"testing"

	"github.com/chromedp/chromedp/kb"
)

// A browser that translates a page writes its own language on it and its own words into it. Links lead where they led, and a
// number is read in the unit that was chosen.
func TestAPageThatABrowserTranslatesLeadsAndReckonsAsBefore(t *testing.T) {
	parallel(t)
	tb := open(t, "/plates/pivot-offset/", view{still: true, nobody: true})
	tb.run(t, `localStorage.setItem('units', 'in')`)
	tb.early(t, `document.addEventListener('DOMContentLoaded', () => {
		Object.assign(document.documentElement, { lang: 'ru', className: 'translated-ltr' });
		for (const unit of document.querySelectorAll('.plate-unit')) {
			const own = document.createElement('font');
			own.textContent = unit.textContent.replace('cm', 'см');
			unit.replaceChildren(own);
		}
	})`)
	tb.visit(t, origin+"/plates/pivot-offset/?again")
	tb.settle(t)
	p := tb.plate(t, "pivot-offset")
	p.enter(t, "offset_x", "1", kb.Enter)
	p.drawn(t)
	if state, _ := p.states(t); !strings.Contains(state+"&", "offset_x=2.54&") {
		t.Errorf("an inch gives the state %q", state)
	}
	if unit := eval[string](t, tb, p.field("offset_x", `.closest('[data-field]').querySelector('.plate-unit').textContent`)); unit != "in" {
		t.Errorf("a length in inches is followed by %q", unit)
	}
	p.click(t, `[data-action="add-sheet"]`)
	p.until(t, p.at(`.querySelector('.plate-status a') !== null`))
	if at := eval[string](t, tb, p.at(`.querySelector('.plate-status a').pathname`)); at != "/sheet/" {
		t.Errorf("the sheet is said to be at %s", at)
	}
	tb.clean(t)
}
