package browser

import (
	"strings"
	"testing"

	"github.com/chromedp/chromedp/kb"
)

// A reader who works in inches reads and types inches, on this page and the next; the state, which links carry, is the same.
func TestLengthsAreReadAndTypedInTheChosenUnits(t *testing.T) {
	parallel(t)
	p := openPlate(t, "pivot-offset", "")
	p.enter(t, "offset_x", "2.54", kb.Enter)
	p.drawn(t)
	inCM, _ := p.states(t)
	pick := func(units string) {
		t.Helper()
		eval[bool](t, p.tab, `((s) => { document.activeElement.blur(); s.value = '`+units+`'; s.dispatchEvent(new Event('change')); return true })(document.querySelector('[data-lengths]'))`)
		p.drawn(t)
	}
	shows := func(what, want string) {
		t.Helper()
		if got := eval[string](t, p.tab, p.at(what)); got != want {
			t.Errorf("%s is %q, want %q", what, got, want)
		}
	}
	pick("in")
	shows(`.querySelector('[data-field="offset_x"] [data-number]').value`, "1")
	shows(`.querySelector('[data-field="offset_x"] .plate-unit').textContent`, "in")
	shows(`.querySelector('[data-field="offset_x"] [data-slider]').getAttribute('aria-valuetext')`, "1 in")
	shows(`.querySelector('[data-field="angle"] .plate-unit').textContent`, "°")
	if said := eval[string](t, p.tab, p.at(`.querySelector('[data-say]').textContent`)); !strings.Contains(said, "\u00a0in") || strings.Contains(said, "\u00a0cm") {
		t.Errorf("the sentence is %q", said)
	}
	if state, _ := p.states(t); state != inCM {
		t.Errorf("the state is %q, before %q", state, inCM)
	}
	p.enter(t, "offset_x", "0.5", kb.Enter)
	p.drawn(t)
	if state, _ := p.states(t); !strings.Contains(state, "offset_x=1.27&") && !strings.HasSuffix(state, "offset_x=1.27") {
		t.Errorf("half an inch gives the state %q", state)
	}
	p.enter(t, "offset_x", "12,7 mm", kb.Enter) // a unit that is typed holds
	p.drawn(t)
	shows(`.querySelector('[data-field="offset_x"] [data-number]').value`, "0.5")

	p.visit(t, origin+"/plates/finger-curl/")
	p.settle(t)
	q := p.tab.plate(t, "finger-curl")
	if unit := eval[string](t, p.tab, q.at(`.querySelector('[data-field="mcp_depth"] .plate-unit')?.textContent ?? ''`)); unit != "in" {
		t.Errorf("the next page shows %q", unit)
	}
	eval[bool](t, p.tab, `((s) => { s.value = ''; s.dispatchEvent(new Event('change')); return true })(document.querySelector('[data-lengths]'))`)
	q.drawn(t)
	if unit := eval[string](t, p.tab, q.at(`.querySelector('[data-field="mcp_depth"] .plate-unit')?.textContent ?? ''`)); unit != "cm" {
		t.Errorf("back in centimetres the field shows %q", unit)
	}
	p.clean(t)
}
