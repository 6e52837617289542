package browser

import (
	"encoding/json"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"
)

// barrier is one rule of axe-core that one page breaks, and where.
type barrier struct {
	Rule, Help string
	Nodes      []struct{ At, Why string }
}

// standards are the levels A and AA of WCAG 2.0 to 2.2, and what axe-core holds for good practice beyond them.
const standards = `['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice']`

// allRules are what is checked. The size of targets is asked for by name: axe-core leaves it out otherwise.
const allRules = `runOnly: { type: 'tag', values: ` + standards + ` }, rules: { 'target-size': { enabled: true } }`

// colourRules are those whose answer depends on the colours of the page.
const colourRules = `runOnly: { type: 'rule', values: ['color-contrast', 'link-in-text-block'] }`

// shutter is the check, as one script expression.
func shutter(rules string) string {
	return `axe.run(document, {
	` + rules + `,
	resultTypes: ['violations'],
}).then(({ violations, passes }) => ({
	Passed: passes.length,
	Barriers: violations.map(({ id, help, nodes }) => ({ Rule: id, Help: help,
		Nodes: nodes.map(({ target, failureSummary }) => ({ At: target.flat().join(' '), Why: failureSummary.split('\n').slice(1, 3).join(' ').trim() })) })),
}))`
}

// bringAxe hands axe-core to the page through the debugger, which the page's content policy does not bind.
func bringAxe(t testing.TB, tb *tab) {
	t.Helper()
	source, err := os.ReadFile(filepath.Join("..", "..", "theme", "node_modules", "axe-core", "axe.min.js"))
	if err != nil {
		t.Fatalf("%v: npm ci --prefix theme brings it", err)
	}
	must(t, chromedp.Do(tb.ctx, chromedp.Evaluate[chromedp.Void](string(source)+"\nvoid 0")))
}

// openToAll fails the test for every barrier on the page as it stands.
func openToAll(t testing.TB, tb *tab) {
	t.Helper()
	openBy(t, tb, allRules, 10)
}

// openBy is openToAll by some of the rules, of which at least so many must find something to look at.
func openBy(t testing.TB, tb *tab, rules string, least int) {
	t.Helper()
	found := eval[struct {
		Passed   int
		Barriers []barrier
	}](t, tb, shutter(rules))
	if found.Passed < least {
		t.Errorf("only %d rules found anything to look at", found.Passed)
	}
	for _, b := range found.Barriers {
		for _, n := range b.Nodes[:min(len(b.Nodes), 5)] {
			t.Errorf("%s: %s (%s; %d places on the page)\n\t%s", b.Rule, n.At, b.Help, len(b.Nodes), n.Why)
		}
	}
}

// unfold opens what is folded, so that it is looked at too.
const unfold = `(document.querySelectorAll('main details').forEach((d) => { d.open = true }), true)`

// show changes the window and the colours for whatever the tab opens next.
func (tb *tab) show(t testing.TB, v view) {
	t.Helper()
	must(t, chromedp.Do(tb.ctx, chromedp.EmulateViewport(v.width, v.height)))
	_, err := chromedp.Call(tb.ctx, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Features: v.features()})
	must(t, err)
}

// look changes the window and the colours of an open page, and lets transitions end.
func (tb *tab) look(t testing.TB, v view) {
	t.Helper()
	tb.window(t, v.width, v.height)
	tb.show(t, v)
	eval[bool](t, tb, drawnTwice)
}

// looked is a window and colours that pages are looked at in.
type looked struct {
	name string
	view view
}

// whole: the desk by day and the phone at night are each size and each light once, so there all rules are asked.
func (l looked) whole() bool { return l.view.dark == (l.view.width < 1000) }

// openToAll is openToAll in this look: where not all rules are asked, those of colours are.
func (l looked) openToAll(t testing.TB, tb *tab) {
	t.Helper()
	if l.whole() {
		openToAll(t, tb)
	} else {
		openBy(t, tb, colourRules, 1)
	}
}

// looks are the windows and colours that every page type is looked at in.
var looks = []looked{
	{"a desk in daylight", view{width: 1280, height: 900, still: true}},
	{"a desk at night", view{width: 1280, height: 900, still: true, dark: true}},
	{"a phone in daylight", view{width: 360, height: 740, still: true}},
	{"a phone at night", view{width: 360, height: 740, still: true, dark: true}},
}

// lessonKinds are what a lesson can hold, each by a piece of its markup.
var lessonKinds = []string{`class="card worked"`, `class="card exercise"`, `data-plate`, ` compare"`, `callout-caution`,
	`callout-mistake`, `callout-tomorrow`, `<pre`, `<math`, `data-table=`, `/glossary/#`, `class="lesson-references"`}

// lessonsOfAllKinds are few lessons that together hold every kind, the richest first.
func lessonsOfAllKinds(t testing.TB) []string {
	t.Helper()
	holds := map[string][]string{}
	addresses := pagesIn(t, "lessons")
	for _, address := range addresses {
		text, err := os.ReadFile(filepath.Join(public, filepath.FromSlash(address), "index.html"))
		must(t, err)
		for _, kind := range lessonKinds {
			if strings.Contains(string(text), kind) || strings.Contains(string(text), strings.ReplaceAll(kind, `"`, "")) {
				holds[address] = append(holds[address], kind)
			}
		}
	}
	left := slices.Clone(lessonKinds)
	var chosen []string
	for len(left) > 0 {
		gain := func(address string) (n int) {
			for _, kind := range holds[address] {
				if slices.Contains(left, kind) {
					n++
				}
			}
			return n
		}
		best := slices.MaxFunc(addresses, func(a, b string) int { return gain(a) - gain(b) })
		if gain(best) == 0 {
			t.Errorf("no lesson holds %s", strings.Join(left, " or "))
			break
		}
		left = slices.DeleteFunc(left, func(kind string) bool { return slices.Contains(holds[best], kind) })
		chosen = append(chosen, best)
	}
	return chosen
}

func TestNoPageShutsAReaderOut(t *testing.T) {
	parallel(t)
	addresses := append([]string{"/", "/lessons/", "/paths/", "/plates/", "/glossary/", "/sources/", "/cast/", "/sheet/", "/no-such-page/", "/checks/", "/checks/will-it-close/", "/checks/will-it-reach/", "/checks/how-far-off/",
		pagesIn(t, "parts")[0], pagesIn(t, "paths")[0]}, lessonsOfAllKinds(t)...)
	plates := pagesIn(t, "plates")
	addresses = append(addresses, plates...)
	addresses = append(addresses, "/offline/", "/changes/", "/specimens/")
	if len(addresses) < 24 {
		t.Errorf("only %d pages", len(addresses))
	}
	tb := blank(t, looks[0].view)
	for _, address := range addresses {
		t.Run(address, func(t *testing.T) {
			tb.show(t, looks[0].view)
			tb.visit(t, origin+address)
			tb.settle(t)
			bringAxe(t, tb)
			eval[bool](t, tb, unfold)
			for _, l := range looks {
				if !l.whole() && strings.HasPrefix(address, "/plates/") && address != plates[0] {
					continue // plates are alike in their colours
				}
				t.Run(l.name, func(t *testing.T) {
					tb.look(t, l.view)
					l.openToAll(t, tb)
				})
			}
		})
	}
}

func TestTheSearchShutsNobodyOut(t *testing.T) {
	parallel(t)
	for _, l := range looks {
		t.Run(l.name, func(t *testing.T) {
			tb := open(t, "/", l.view)
			tb.searches(t, "knuckle")
			bringAxe(t, tb)
			openToAll(t, tb)
			if l == looks[0] {
				keepsItsMeaning(t, tb, "the search")
				keepsClear(t, tb, "the search")
			}
		})
	}
}

// What an edit brings forth: a refused number, a verdict with its hint, a handle held.
func TestWhatAReaderDoesShutsNobodyOut(t *testing.T) {
	parallel(t)
	for _, l := range looks {
		t.Run(l.name, func(t *testing.T) {
			tb := open(t, "/lessons/the-finger/", l.view)
			tb.settle(t)
			eval[bool](t, tb, `((input) => {
				input.value = 'far too much';
				input.dispatchEvent(new Event('change', { bubbles: true }));
				return true;
			})(document.querySelector('[data-plate] [data-number]'))`)
			tb.until(t, `document.querySelector('[data-plate] [data-error]:not([hidden])')`)
			eval[bool](t, tb, `((form) => {
				form.querySelector('input').value = '0.001';
				form.requestSubmit();
				document.querySelector('g[data-handle]').focus();
				return true;
			})(document.querySelector('[data-answer-form]'))`)
			tb.until(t, `document.querySelector('[data-verdict]:not([hidden])')?.textContent`)
			bringAxe(t, tb)
			l.openToAll(t, tb)
		})
	}
}

func TestWithoutScriptsNoPageShutsAReaderOut(t *testing.T) {
	parallel(t)
	addresses := append([]string{"/", "/glossary/", "/cast/", pagesIn(t, "plates")[0]}, lessonsOfAllKinds(t)...)
	for _, address := range addresses {
		t.Run(address, func(t *testing.T) {
			first := looks[0].view
			first.noScript = true
			tb := open(t, address, first)
			// What the page could not run stays so; axe-core waits by timers, which need scripts.
			_, err := chromedp.Call(tb.ctx, emulation.SetScriptExecutionDisabled, emulation.SetScriptExecutionDisabledParams{})
			must(t, err)
			bringAxe(t, tb)
			for _, l := range []looked{looks[0], looks[3]} {
				t.Run(l.name, func(t *testing.T) {
					tb.look(t, l.view)
					openToAll(t, tb)
				})
			}
			tb.shut()
		})
	}
}

// The check of the check: a picture without words and words too faint to read must be found.
func TestABarrierIsFound(t *testing.T) {
	parallel(t)
	tb := open(t, "/", looks[0].view)
	tb.settle(t)
	bringAxe(t, tb)
	eval[bool](t, tb, `(document.querySelector('main').insertAdjacentHTML('beforeend', '<p class="faint">faint</p><img src="/favicon.ico">'),
		document.styleSheets[0].insertRule('.faint { color: light-dark(#eee, #222) }', document.styleSheets[0].cssRules.length), true)`)
	found := eval[json.RawMessage](t, tb, shutter(allRules))
	for _, rule := range []string{"color-contrast", "image-alt"} {
		if !strings.Contains(string(found), `"Rule":"`+rule+`"`) {
			t.Errorf("%s was not found in %s", rule, found)
		}
	}
}
