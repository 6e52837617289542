package browser

import (
	"net/url"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"

	"centrode/calc/plate"
)

// quickChecks are the pages, the calculator of each and the two numbers that a reader types there, with their fields.
var quickChecks = []struct {
	page, calculator string
	typed            [2][2]string
}{
	{"will-it-close", "finger-curl", [2][2]string{{"mcp_flex", "90"}, {"pip_flex", "110"}}},
	{"will-it-reach", "limb-fold", [2][2]string{{"near", "15"}, {"far", "45"}}},
	{"how-far-off", "pivot-offset", [2][2]string{{"offset_x", "0.4"}, {"angle", "60"}}},
}

// verdict is what the page answers, and what the library answers to the same state.
func (p livePlate) verdict(t testing.TB) (shown, want string) {
	t.Helper()
	state, _ := p.states(t)
	a, err := plate.Run(p.calculator, state)
	must(t, err)
	v, ok := a.Verdict()
	if !ok {
		t.Fatalf("%s gives no verdict", p.calculator.Spec().ID)
	}
	return eval[string](t, p.tab, p.at(`.querySelector('[data-verdict]').textContent`)), v.Text
}

// tap touches the middle of the plate's element, as a thumb does.
func (p livePlate) tap(t testing.TB, selector string) {
	t.Helper()
	at := p.middle(t, selector)
	touch := func(kind input.DispatchTouchEventType, points ...*input.TouchPoint) {
		_, err := chromedp.Call(p.ctx, input.DispatchTouchEvent, input.DispatchTouchEventParams{Type: kind, TouchPoints: append([]*input.TouchPoint{}, points...)})
		must(t, err)
	}
	touch(input.DispatchTouchEventTypeTouchStart, &input.TouchPoint{X: at.X, Y: at.Y})
	touch(input.DispatchTouchEventTypeTouchEnd)
	p.drawn(t)
}

func TestAQuickCheckIsAnsweredByThumb(t *testing.T) {
	parallel(t)
	for _, c := range quickChecks {
		t.Run(c.page, func(t *testing.T) {
			tb := blank(t, view{width: phone.width, height: phone.height, still: true}) // a handle that shows itself would change the answer for a moment
			_, err := chromedp.Call(tb.ctx, emulation.SetTouchEmulationEnabled, emulation.SetTouchEmulationEnabledParams{Enabled: true})
			must(t, err)
			tb.visit(t, origin+"/checks/"+c.page+"/")
			tb.settle(t)
			p := tb.plate(t, c.calculator)
			printed, want := p.verdict(t)
			if printed != want {
				t.Errorf("the page says %q, the library %q", printed, want)
			}
			for _, entry := range c.typed {
				p.tap(t, `[data-field="`+entry[0]+`"] [data-number]`)
				if got := eval[string](t, tb, `document.activeElement?.closest('[data-field]')?.dataset.field ?? ''`); got != entry[0] {
					t.Fatalf("a tap on %s reaches %q", entry[0], got)
				}
				eval[bool](t, tb, `(document.activeElement.select(), true)`)
				p.keys(t, entry[1]+kb.Enter, false)
			}
			shown, want := p.verdict(t)
			if shown != want || shown == printed {
				t.Errorf("after typing the page says %q, the library %q; before it was %q", shown, want, printed)
			}
			small := eval[[]string](t, tb, `[...document.querySelectorAll('.check :is(select, [data-number], [data-slider], button, summary)')].filter((e) => {
				const box = e.getBoundingClientRect();
				return box.height > 0 && box.height < 40;
			}).map((e) => e.outerHTML.slice(0, 60))`)
			if len(small) > 0 {
				t.Errorf("too low for a thumb: %q", small)
			}
			p.sends(t, shown)
			p.clean(t)
		})
	}
}

// sends presses the button that sends the link: first where the phone has a list of ways, then where it has none.
func (p livePlate) sends(t testing.TB, verdict string) {
	t.Helper()
	eval[bool](t, p.tab, `(navigator.share = async (what) => { window.sent = what; }, true)`)
	p.settle(t)
	p.tap(t, `[data-action="send"]`)
	p.until(t, `window.sent !== undefined`)
	sent := eval[struct{ Title, Text, URL string }](t, p.tab, `({ Title: sent.title, Text: sent.text, URL: sent.url })`)
	if sent.Text != verdict || !strings.HasPrefix(sent.URL, origin+"/checks/") || !strings.Contains(sent.URL, "?") {
		t.Errorf("the phone is asked to send %+v, want the verdict %q and the state", sent, verdict)
	}
	eval[bool](t, p.tab, `(delete navigator.share, delete Navigator.prototype.share)`)
	if copied := p.press(t, "send"); copied != sent.URL {
		t.Errorf("copied is %q, want %q", copied, sent.URL)
	}
	link, err := url.Parse(sent.URL)
	must(t, err)
	second := open(t, link.Path+"#"+link.EscapedFragment(), phone)
	second.settle(t)
	q := second.plate(t, p.calculator.Spec().ID)
	if got, _ := q.verdict(t); got != verdict {
		t.Errorf("the link opens on %q, want %q", got, verdict)
	}
	second.clean(t)
}

// Without scripts the page holds the verdict on its own values and on each of the cast.
func TestAQuickCheckAnswersWithoutScripts(t *testing.T) {
	parallel(t)
	for _, c := range quickChecks {
		for _, width := range []int64{320, 1280} {
			tb := open(t, "/checks/"+c.page+"/", view{noScript: true, width: width, height: 740})
			rows := eval[[][2]string](t, tb, `[...document.querySelectorAll('.check-cast tbody tr')].map((row) => [row.cells[0].textContent, row.cells[1].textContent])`)
			verdict := eval[string](t, tb, `document.querySelector('[data-verdict]').textContent`)
			if len(rows) < 4 || rows[0][1] != verdict {
				t.Errorf("%s: verdict %q, cast %q", c.page, verdict, rows)
			}
			for _, row := range rows {
				if row[0] == "" || len(row[1]) < 10 {
					t.Errorf("%s: %q", c.page, row)
				}
			}
			if wide := eval[int](t, tb, `document.documentElement.scrollWidth`); int64(wide) > width {
				t.Errorf("%s is %d px wide in a window of %d", c.page, wide, width)
			}
			tb.clean(t)
		}
	}
}

// A preset is chosen and a number changed with the keyboard alone.
func TestAQuickCheckIsAnsweredByKeyboard(t *testing.T) {
	parallel(t)
	tb := open(t, "/checks/will-it-close/", phone)
	tb.settle(t)
	p := tb.plate(t, "finger-curl")
	seen := map[string]bool{}
	eval[bool](t, tb, `(document.querySelector('main').focus(), true)`)
	for range 4 {
		text, want := p.verdict(t)
		if text != want {
			t.Errorf("the page says %q, the library %q", text, want)
		}
		seen[text] = true
		for range 8 {
			if eval[bool](t, tb, `document.activeElement.matches('select[data-preset]')`) {
				break
			}
			p.keys(t, kb.Tab, false)
		}
		p.keys(t, kb.ArrowDown, false)
	}
	if len(seen) < 3 {
		t.Errorf("the arrow keys lead through %d verdicts: %v", len(seen), seen)
	}
	p.keys(t, kb.Tab+kb.ArrowRight, false)
	if text, want := p.verdict(t); text != want {
		t.Errorf("the slider's arrow: %q, want %q", text, want)
	}
	tb.clean(t)
}

// The cast is there to try a check on; the leg that will not stretch is the reader's own. Its segments are typed on the same page, and the
// link that goes to the rigger holds them.
func TestAQuickCheckTakesALimbOfTheReadersOwn(t *testing.T) {
	parallel(t)
	tb := open(t, "/checks/will-it-reach/", phone)
	tb.settle(t)
	p := tb.plate(t, "limb-fold")
	if eval[bool](t, tb, `document.querySelector('.check [data-table="segments"]').open`) {
		t.Error("the table is in the way of who only tries")
	}
	eval[bool](t, tb, `((box) => { box.open = true; box.querySelector('[data-table-text]').value = '10\t0\t0\t0\n20\t0\t0\t90'; box.querySelector('[data-do="use-text"]').click(); return true; })(document.querySelector('[data-table="segments"]'))`)
	p.drawn(t)
	shown, want := p.verdict(t)
	if shown != want || shown != "No. Stretched, it ends 19.0\u00a0cm short." { // derived: 49 cm are asked for, and the segments measure 30
		t.Errorf("with segments of 10 and 20 cm the page says %q, the library %q", shown, want)
	}
	p.sends(t, shown)
	state, base := p.states(t)
	eval[bool](t, tb, `(document.querySelector('.prose a[href="/plates/limb-fold/"]').click(), true)`)
	tb.until(t, `location.pathname === '/plates/limb-fold/'`)
	tb.settle(t)
	if gone, from := tb.plate(t, "limb-fold").states(t); gone != state || from != base {
		t.Errorf("the calculator's page opens with %q on %q, not with %q on %q", gone, from, state, base)
	}
	p.clean(t)
}
