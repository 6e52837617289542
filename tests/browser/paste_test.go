package browser

import (
	"strings"
	"testing"

	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"

	"centrode/calc/jsontree"
)

// clip puts a text on the browser's own clipboard, as copying it elsewhere would.
func (tb *tab) clip(t testing.TB, text string) {
	t.Helper()
	copied, err := chromedp.Run(tb.ctx, chromedp.Evaluate[bool](`(() => {
		const box = document.body.appendChild(document.createElement('textarea'));
		box.value = `+string(jsontree.AppendString(nil, text))+`;
		box.select();
		const copied = document.execCommand('copy');
		box.remove();
		return copied;
	})()`, func(e *runtime.EvaluateParams) { e.UserGesture = new(true) }))
	must(t, err)
	if !copied {
		t.Fatal("the browser does not copy")
	}
}

// pastes presses what pastes, with the clipboard's text going over what is selected in the focused field, and then Enter.
func (p livePlate) pastes(t testing.TB, text, focus string) {
	t.Helper()
	p.clip(t, text)
	eval[bool](t, p.tab, `((field) => { field.focus(); field.select(); return true; })(`+focus+`)`)
	_, err := chromedp.Call(p.ctx, input.DispatchKeyEvent, input.DispatchKeyEventParams{Type: input.DispatchKeyEventTypeRawKeyDown, Key: "v", Code: "KeyV", Modifiers: 2, WindowsVirtualKeyCode: 86, Commands: []string{"paste"}})
	must(t, err)
	p.keys(t, kb.Enter, false)
	p.drawn(t)
}

// Numbers come as others write them, and are read so in either language: with units, with a decimal comma, with a minus of print, with spaces and
// lines around them. What could mean two numbers is refused with what to write, and the last answer stands.
func TestANumberIsPastedAsOthersWriteIt(t *testing.T) {
	parallel(t)
	const grouped = `: must use one point for decimals and nothing between thousands, as in "1234.5".`
	german := strings.NewReplacer(`"`+grouped, `“: darf nur einen Punkt oder ein Komma haben, und zwischen Tausendern nichts, etwa „1234.5“.`,
		`": must use a point for decimals, as in "1.234", and nothing between thousands, as in "1234".`,
		`“: ist mehrdeutig: Nachkommastellen mit einem Punkt schreiben, etwa „1.234“, und zwischen Tausendern nichts, etwa „1234“.`,
		`": has the unknown unit "3.4"; must be a length such as 1.2 cm (mm, cm, m, in or ft).`,
		`“: hat die unbekannte Einheit „3.4“; muss eine Länge sein, etwa `+"1,2\u00a0cm (mm, cm, m, in oder ft).")
	tb := blank(t, view{still: true})
	for _, under := range []string{"", "/de"} {
		tb.visit(t, origin+under+"/plates/pivot-offset/")
		tb.settle(t)
		p := tb.plate(t, "pivot-offset")
		p.unfold(t)
		for _, c := range []struct{ text, shows, says string }{
			{"12,5 mm", "1.25", ""},
			{"2 in", "5.08", ""},
			{" 1.45\u00a0cm\r\n", "1.45", ""},
			{"−3,25", "-3.25", ""},
			{"0,125 m", "12.5", ""},
			{"1,234.5", "", `"1,234.5"` + grouped},
			{"1.234,5 mm", "", `"1.234,5 mm"` + grouped},
			{"1,234", "", `"1,234": must use a point for decimals, as in "1.234", and nothing between thousands, as in "1234".`},
			{"1.2\t3.4", "", `"1.2\t3.4": has the unknown unit "3.4"; must be a length such as 1.2 cm (mm, cm, m, in or ft).`},
			{"7", "7", ""},
		} {
			if under != "" {
				c.says = strings.Replace(german.Replace(c.says), `"`, "„", 1)
			}
			before, _ := p.states(t)
			p.pastes(t, c.text, p.field("offset_x", ""))
			if said := p.complaint(t, "offset_x"); said != c.says {
				t.Errorf("%s: %q pasted into a field is answered with %q, want %q", under, c.text, said, c.says)
			}
			if shows := eval[string](t, tb, p.field("offset_x", ".value")); c.says == "" && shows != c.shows {
				t.Errorf("%s: %q pasted into a field shows %q, want %q", under, c.text, shows, c.shows)
			}
			if after, _ := p.states(t); (after == before) != (c.says != "") {
				t.Errorf("%s: %q pasted into a field leads from %q to %q", under, c.text, before, after)
			}
		}

		tb.visit(t, origin+under+"/plates/pose-fit/")
		tb.settle(t)
		p = tb.plate(t, "pose-fit")
		p.pastes(t, "12,5 mm", p.table("landmarks", cell(3, 1)))
		p.pastes(t, "2,5\t−3 mm\t1 in\n12,5 mm\t0,75\t7\n", p.table("landmarks", cell(1, 1)))
		rows := p.shownRows(t, "landmarks")
		if got, want := strings.Join([]string{strings.Join(rows[1][1:4], " "), strings.Join(rows[2][1:4], " "), rows[3][1]}, "; "), "2.5 -0.3 2.54; 1.25 0.75 7; 1.25"; got != want {
			t.Errorf("%s: pasted into a table gives %s, want %s", under, got, want)
		}
		if text, marked := p.rowError(t, "landmarks"); text != "" || marked != "" {
			t.Errorf("%s: pasted into a table, %q says %q", under, marked, text)
		}
	}
	tb.clean(t)
}
