package browser

import (
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/chromedp/chromedp/kb"

	"centrode/calc/catalog"
	"centrode/calc/catalog/list"
	"centrode/calc/plate"
)

// A link that one reader copies shows another reader the same plate, to the last mark of the drawing.
func TestASharedLinkShowsTheSamePlate(t *testing.T) {
	parallel(t)
	one, other := blank(t, view{still: true}), blank(t, view{still: true})
	for _, id := range withHandles(t) {
		t.Run(id, func(t *testing.T) {
			first := one.turnTo(t, id, "")
			unmoved := first.look(t)
			first.middle(t, handle(0))
			eval[bool](t, first.tab, `(`+first.at(`.querySelector('`+handle(0)+`').focus()`)+`, true)`)
			first.keys(t, kb.ArrowRight, true)
			first.keys(t, kb.ArrowRight, false)
			link := first.press(t, "copy-link")
			if !strings.HasPrefix(link, origin+"/plates/"+id+"/#"+first.id+"?") {
				t.Fatalf("the copied link is %q", link)
			}
			want := first.look(t)
			if unmoved == want {
				t.Error("the keys changed nothing that a reader sees")
			}
			second := other.turnTo(t, id, strings.TrimPrefix(link, origin+"/plates/"+id+"/"))
			if got := second.look(t); got != want {
				t.Errorf("the link opens another plate:\n%s", difference(want, got))
			}
			second.agrees(t)
			first.until(t, `decodeURIComponent(location.href) === decodeURIComponent(`+first.at(`.dataset.link`)+`)`)
			first.clean(t)
			second.clean(t)
		})
	}
}

// Every calculator opens a link with any state it can answer, tables included.
func TestALinkOpensAnyState(t *testing.T) {
	parallel(t)
	tb := blank(t, view{still: true})
	for _, c := range list.All() {
		id := c.Spec().ID
		t.Run(id, func(t *testing.T) {
			random := rand.New(rand.NewPCG(2, 2))
			state := ""
			for range 200 {
				text := plate.WriteState(catalog.State(c.Spec(), guess(random, c)))
				if _, err := plate.Run(c, text); err == nil && len(text) > len(state) {
					state = text
				}
			}
			p := tb.turnTo(t, id, "#plate-"+id+"?"+state)
			if got, _ := p.states(t); got != state {
				t.Errorf("the link %q opens the state %q", state, got)
			}
			p.agrees(t)
			p.clean(t)
		})
	}
}

// A link that somebody spoiled, by accident or on purpose, shows the printed plate and one plain line.
func TestASpoiledLinkShowsThePrintedPlateAndOneLine(t *testing.T) {
	parallel(t)
	const id = "finger-curl"
	p := openPlate(t, id, "")
	printed := p.look(t)
	for name, state := range map[string]string{
		"a script":                 `mcp_depth=<script>window.hacked=1</script>`,
		"a script, escaped":        `mcp_depth=%3Cscript%3Ewindow.hacked%3D1%3C/script%3E`,
		"markup that loads":        `mcp_depth=<img/src=x/onerror=window.hacked=1>`,
		"a script for a field":     `"><svg/onload=window.hacked=1>=3`,
		"an address of a script":   `mcp_depth=javascript:window.hacked=1`,
		"a megabyte":               `mcp_depth=` + strings.Repeat("1", 1<<20),
		"a megabyte of entries":    strings.Repeat("mcp_depth=2&", 1<<20/12),
		"an escape that is cut":    `mcp_depth=2%`,
		"an escape of no number":   `mcp_depth=%zz`,
		"bytes that are no text":   `mcp_depth=%ff%fe%00`,
		"an unknown field":         `depth_of_knuckle=2`,
		"a name of every object":   `__proto__=2&constructor=3`,
		"no value at all":          `mcp_depth`,
		"not a number":             `mcp_depth=NaN`,
		"an infinite number":       `mcp_depth=Infinity`,
		"a number past all others": `mcp_depth=1e999`,
		"a number out of range":    `mcp_depth=-5`,
		"a unit of another kind":   `mcp_depth=2deg`,
		"a base that is spoiled":   `mcp_depth=2?mcp_depth=NaN`,
		"too many parts":           `mcp_depth=2?mcp_depth=2?mcp_depth=2`,
	} {
		t.Run(name, func(t *testing.T) {
			p := p.again(t, "#plate-"+id+"?"+state)
			if got := p.look(t); got != printed {
				t.Errorf("the plate is not as printed:\n%s", difference(printed, got))
			}
			got, told := strings.CutPrefix(p.notice(t), "The link’s values could not be read, so the plate starts from its own.")
			if reason := strings.Contains(got, "must ") || strings.Contains(got, "is no field of"); !told || len(got) > 300 || reason != (got != "") || strings.HasPrefix(state, "mcp_depth=-5") && got != " mcp_depth: -5 cm: must be above 0 and at most 30 cm." {
				t.Errorf("the plate says %q", p.notice(t))
			}
			if eval[bool](t, p.tab, `'hacked' in window || document.querySelector('img, svg[onload]') !== null`) {
				t.Error("the link put something of its own into the page")
			}
			p.clean(t)
		})
	}
}

// The same holds for a link that is followed while the plate is open; a good one afterwards is shown.
func TestALinkFollowedInThePageIsShownOrRefused(t *testing.T) {
	parallel(t)
	p := openPlate(t, "pivot-offset", "#plate-pivot-offset?angle=90")
	shown := p.look(t)
	eval[bool](t, p.tab, `(location.hash = '#plate-pivot-offset?angle=NaN', true)`)
	p.until(t, p.at(`.querySelector('[data-notice]').textContent !== ''`))
	if p.look(t) == shown {
		t.Error("a refused link left the numbers of another one")
	}
	eval[bool](t, p.tab, `(location.hash = '#plate-pivot-offset?angle=90', true)`)
	p.until(t, p.at(`.querySelector('[data-notice]').hidden`))
	if got := p.look(t); got != shown {
		t.Errorf("the good link shows another plate:\n%s", difference(shown, got))
	}
	p.clean(t)
}

// Values without the plate they are for, or with one that is not on the page, are told at the first plate, with what is missing; a place of
// the page is none, whatever signs its name has.
func TestALinkThatNamesNoPlateSaysWhatIsMissing(t *testing.T) {
	parallel(t)
	p := openPlate(t, "pivot-offset", "")
	printed := p.look(t)
	for _, hash := range []string{"#angle=90", "#plate-offset?angle=90", "#?angle=90"} {
		p := p.again(t, hash)
		if got := p.look(t); got != printed {
			t.Errorf("%s: the plate is not as printed:\n%s", hash, difference(printed, got))
		}
		if got, want := p.notice(t), "The link names no plate of this page, so its values were not read. The plate stands before them, as in #plate-pivot-offset?field=value."; got != want {
			t.Errorf("%s: the plate says %q, want %q", hash, got, want)
		}
		p.clean(t)
	}
	for _, hash := range []string{"#fields", "#nowhere", "#s=angle=90", "#xtor=RSS-1", "#:~:text=angle=90"} {
		if got := p.again(t, hash).notice(t); got != "" {
			t.Errorf("%s: the plate says %q", hash, got)
		}
	}
}

// notice is the line that the plate shows about itself, or "".
func (p livePlate) notice(t testing.TB) string {
	t.Helper()
	return eval[string](t, p.tab, `((line) => line.hidden || line.getBoundingClientRect().height === 0 ? '' : line.textContent)(`+p.at(`.querySelector('[data-notice]')`)+`)`)
}

// difference shows the first lines that differ.
func difference(want, got string) string {
	a, b := strings.Split(want, "\n"), strings.Split(got, "\n")
	for i := range min(len(a), len(b)) {
		if a[i] != b[i] {
			from, to := max(0, i-6), i+4
			return "want\n" + strings.Join(a[from:min(to, len(a))], "\n") + "\ngot\n" + strings.Join(b[from:min(to, len(b))], "\n")
		}
	}
	return "one is longer"
}
