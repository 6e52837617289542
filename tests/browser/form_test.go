package browser

import (
	"strconv"
	"strings"
	"testing"

	cdpbrowser "github.com/chromedp/cdproto/browser"
	"github.com/chromedp/chromedp/kb"

	"centrode/calc/plate"
)

// field is a script expression about the input of one field.
func (p livePlate) field(id, rest string) string {
	return p.at(`.querySelector('[data-field="` + id + `"] [data-number]')` + rest)
}

// enter types a text over what the field holds; then end is pressed.
func (p livePlate) enter(t testing.TB, id, text, end string) {
	t.Helper()
	p.unfold(t)
	p.middle(t, `[data-field="`+id+`"] [data-number]`)
	eval[bool](t, p.tab, `(`+p.field(id, `.focus()`)+`, `+p.field(id, `.select()`)+`, true)`)
	p.keys(t, text+end, false)
}

// unfold opens what is folded in the form.
func (p livePlate) unfold(t testing.TB) {
	t.Helper()
	eval[bool](t, p.tab, `(`+p.at(`.querySelectorAll('details').forEach((part) => { part.open = true; })`)+`, true)`)
}

// stateIs checks the live state of the plate.
func (p livePlate) stateIs(t testing.TB, want string) {
	t.Helper()
	if got, _ := p.states(t); got != want {
		t.Errorf("the state is %q, want %q", got, want)
	}
}

// complaint is the line at the field, or "" when the field is well; both say the same to all readers.
func (p livePlate) complaint(t testing.TB, id string) string {
	t.Helper()
	seen := eval[[3]string](t, p.tab, `((input, line) => [line.getBoundingClientRect().height > 0 ? line.textContent : '', input.getAttribute('aria-invalid') ?? '',
		document.getElementById(input.getAttribute('aria-errormessage'))?.textContent ?? ''])(`+p.field(id, ``)+`, `+p.at(`.querySelector('[data-field="`+id+`"] [data-error]')`)+`)`)
	text, invalid, named := seen[0], seen[1], seen[2]
	if (text != "") != (invalid == "true") || named != text {
		t.Errorf("%s shows %q, is invalid: %q, and names %q as its error", id, text, invalid, named)
	}
	return text
}

func TestANumberMayBeTypedInAnyUnit(t *testing.T) {
	parallel(t)
	p := openPlate(t, "finger-curl", "")
	for _, c := range []struct{ field, typed, shown, state string }{
		{"mcp_depth", "12 mm", "1.2", "mcp_depth=1.2"},
		{"mcp_depth", "1 in", "2.54", "mcp_depth=2.54"},
		{"mcp_depth", "2.2", "2.2", ""},
		{"mcp_flex", "0.25 turn", "90", ""},
		{"mcp_flex", "80°", "80", "mcp_flex=80"},
	} {
		p.enter(t, c.field, c.typed, kb.Tab)
		if got := eval[string](t, p.tab, p.field(c.field, `.value`)); got != c.shown {
			t.Errorf("%s typed as %q shows %q, want %q", c.field, c.typed, got, c.shown)
		}
		if got := p.complaint(t, c.field); got != "" {
			t.Errorf("%s typed as %q is refused: %s", c.field, c.typed, got)
		}
		p.stateIs(t, c.state)
	}
	p.agrees(t)
	p.clean(t)
}

func TestARefusedNumberLeavesTheLastGoodOnes(t *testing.T) {
	parallel(t)
	p := openPlate(t, "finger-curl", "")
	p.enter(t, "mcp_depth", "1.7", kb.Enter)
	good := p.cells(t)
	for _, c := range []struct{ typed, want string }{
		{"-2", "-2 cm: must be above 0 and at most 30 cm."},
		{"99", "99 cm: must be above 0 and at most 30 cm."},
		{"1e400", `"1e400": `},
		{"NaN", `"NaN": `},
		{"2 deg", `"2 deg": is an angle; must be a length such as 1.2 cm (mm, cm, m, in or ft).`},
		{"1,700", `"1,700": must use a point for decimals, as in "1.700", and nothing between thousands, as in "1700".`},
		{"<b>2</b>", `"<b>2</b>": must be a length such as 1.2 cm (mm, cm, m, in or ft).`},
		{strings.Repeat("9", 400), `"9999`},
	} {
		p.enter(t, "mcp_depth", c.typed, kb.Enter)
		if got := p.complaint(t, "mcp_depth"); !strings.HasPrefix(got, c.want) || len(got) > 200 {
			t.Errorf("%.20q is refused with %q, want %q", c.typed, got, c.want)
		}
		p.stateIs(t, "mcp_depth=1.7")
		for row, cells := range p.cells(t) {
			if cells != good[row] {
				t.Errorf("after %.20q the row %s shows %q, want %q as before", c.typed, row, cells, good[row])
			}
		}
	}
	t.Run("leaving the field keeps what was typed and why it is refused", func(t *testing.T) {
		p.enter(t, "mcp_depth", "31", kb.Tab)
		if got := eval[string](t, p.tab, p.field("mcp_depth", `.value`)); got != "31" || p.complaint(t, "mcp_depth") == "" {
			t.Errorf("the field shows %q and %q", got, p.complaint(t, "mcp_depth"))
		}
	})
	t.Run("another field may be changed meanwhile", func(t *testing.T) {
		p.enter(t, "pip_depth", "1.6", kb.Enter)
		p.stateIs(t, "mcp_depth=1.7&pip_depth=1.6")
	})
	t.Run("Escape takes it back", func(t *testing.T) {
		p.enter(t, "mcp_depth", "31", kb.Enter)
		p.keys(t, kb.Escape, false)
		if got := eval[string](t, p.tab, p.field("mcp_depth", `.value`)); got != "1.7" || p.complaint(t, "mcp_depth") != "" {
			t.Errorf("the field shows %q and %q, want 1.7 and nothing", got, p.complaint(t, "mcp_depth"))
		}
		p.enter(t, "mcp_depth", "3", kb.Escape+kb.Tab)
		p.stateIs(t, "mcp_depth=1.7&pip_depth=1.6")
	})
	p.agrees(t)
	p.clean(t)
}

// The engine names another field as the command line does; a reader knows it by its label.
func TestARefusalNamesOtherFieldsByTheirLabels(t *testing.T) {
	parallel(t)
	for address, want := range map[string]string{"/plates/placement-map/": `must be above "Least u"`, "/de/plates/placement-map/": "muss über „Kleinstes u“ liegen"} {
		tb := open(t, address, view{still: true})
		tb.settle(t)
		p := tb.plate(t, "placement-map")
		p.unfold(t)
		p.enter(t, "max_u", "-8", kb.Enter)
		p.drawn(t)
		if got := p.complaint(t, "max_u"); !strings.Contains(got, want) {
			t.Errorf("%s says %q, want %s", address, got, want)
		}
		p.clean(t)
	}
}

func TestSliderNumberAndDrawingShareOneState(t *testing.T) {
	parallel(t)
	p := openPlate(t, "hinge-arc", "")
	p.unfold(t)
	before := p.look(t)
	id := eval[string](t, p.tab, p.at(`.querySelector('[data-slider]').closest('[data-field]').dataset.field`))
	spec, ok := p.calculator.Spec().Field(id)
	if !ok {
		t.Fatalf("%s is no field", id)
	}
	slider := p.at(`.querySelector('[data-field="` + id + `"] [data-slider]')`)
	said := eval[string](t, p.tab, slider+`.getAttribute('aria-valuetext') ?? ''`)
	eval[bool](t, p.tab, `(`+slider+`.focus(), true)`)
	p.keys(t, kb.ArrowRight, false)
	number := eval[string](t, p.tab, p.field(id, `.value`))
	if n, err := strconv.ParseFloat(number, 64); err != nil || !(n > spec.Default && n <= spec.Default+1.5*spec.Step) {
		t.Errorf("after one step of the slider from %v the number is %q", spec.Default, number)
	}
	p.stateIs(t, id+"="+number)
	if now := eval[string](t, p.tab, slider+`.getAttribute('aria-valuetext')`); now == said || !strings.HasPrefix(now, number) {
		t.Errorf("the slider says %q, then %q, at %s", said, now, number)
	}
	if p.look(t) == before {
		t.Error("the slider changed nothing that a reader sees")
	}
	p.agrees(t)
	p.press(t, "reset")
	p.stateIs(t, "")
	if after := p.look(t); after != before {
		t.Errorf("reset does not bring the printed plate back:\n%s", difference(before, after))
	}
	p.clean(t)
}

func TestAPresetLoadsAndStartsOver(t *testing.T) {
	parallel(t)
	p := openPlate(t, "finger-curl", "")
	for _, n := range []int{2, 4} {
		eval[bool](t, p.tab, `((list) => { list.selectedIndex = `+strconv.Itoa(n)+`; list.dispatchEvent(new Event('change', { bubbles: true })); return true; })(`+p.at(`.querySelector('[data-preset]')`)+`)`)
		p.drawn(t)
		want := eval[string](t, p.tab, p.at(`.querySelector('[data-preset]').value`))
		state, base := p.states(t)
		answer, err := plate.Run(p.calculator, want)
		must(t, err)
		if state != plate.State(answer) || base != want {
			t.Errorf("preset %d gives the state %q on the base %q, want both to be %q", n, state, base, want)
		}
		p.agrees(t)
	}
	p.press(t, "reset")
	p.stateIs(t, "")
	if n := eval[int](t, p.tab, p.at(`.querySelector('[data-preset]').selectedIndex`)); n != 0 {
		t.Errorf("after reset the list of presets stands at %d", n)
	}
	p.clean(t)
}

func TestTheCopiedTextsAreTheCommands(t *testing.T) {
	parallel(t)
	for _, id := range []string{"pivot-offset", "finger-curl", "hinge-arc"} {
		p := openPlate(t, id, "")
		field := p.calculator.Spec().Fields[0]
		eval[bool](t, p.tab, `(location.hash = '#`+p.id+`?`+field.ID+`=0.37', true)`)
		p.until(t, p.at(`.dataset.link.includes('0.37')`))
		state, _ := p.states(t)
		for _, format := range []string{"text", "json", "csv"} {
			if got, want := p.press(t, "copy-"+format), commandPrints(t, p.calculator, state, format); got != want {
				t.Errorf("%s copies as %s\n%s\nand the command prints\n%s", id, format, got, want)
			}
		}
		p.clean(t)
	}
}

func TestWhereCopyingIsNotAllowedTheTextCanBeTaken(t *testing.T) {
	parallel(t)
	p := openPlate(t, "pivot-offset", "")
	p.allow(t, cdpbrowser.PermissionSettingDenied)
	defer p.allow(t, cdpbrowser.PermissionSettingGranted)
	p.click(t, `[data-action="copy-json"]`)
	p.until(t, p.at(`.querySelector('[role=status] textarea') !== null`))
	if got, want := eval[string](t, p.tab, `getSelection().toString() || document.activeElement.value.slice(document.activeElement.selectionStart, document.activeElement.selectionEnd)`), commandPrints(t, p.calculator, "", "json"); strings.TrimSpace(got) != strings.TrimSpace(want) {
		t.Errorf("the selected text is %q, want %q", got, want)
	}
	p.clean(t)
}
