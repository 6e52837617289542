//go:build unix

package engines

import (
	"net/url"
	"slices"
	"strings"
	"testing"

	"centrode/calc/catalog"
	"centrode/calc/catalog/list"
	"centrode/calc/plate"
	"centrode/tests/served"
)

// settled says that the fonts are there and the first plate answers; asked again and again, it brings the plate near.
const settled = `(() => {
	const plate = document.querySelector('[data-plate]');
	if (!plate) return false; // the page is still being read
	if (plate.dataset.engine === 'off') plate.scrollIntoView();
	dispatchEvent(new Event('wheel')); // somebody is there
	return ` + served.Loaded + ` && document.fonts.status === 'loaded' && plate.dataset.engine !== 'off'
		&& plate.dataset.engine !== 'failed' && plate.dataset.link !== undefined && !plate.hasAttribute('data-waiting');
})()`

func TestAPlateAnswersToKeysAndPointerWithTheNumbersOfTheLibrary(t *testing.T) {
	inEach(t, false, func(t *testing.T, p page) {
		p.open(t, "/plates/finger-curl/")
		p.until(t, settled)
		seen := []string{p.agrees(t, "finger-curl")}
		eval[bool](t, p, `(document.querySelector('g[data-handle="0"]').scrollIntoView({ block: 'center' }), document.querySelector('g[data-handle="0"]').focus(), true)`)
		p.until(t, `document.activeElement.matches('g[data-handle="0"]')`)
		p.types(t, arrowRight)
		p.changed(t, &seen, "an arrow key")
		p.drags(t, `g[data-handle="0"] .handle-hit`, 28, -20)
		p.changed(t, &seen, "the pointer")
		eval[bool](t, p, `(document.querySelector('[data-field="mcp_flex"] [data-number]').focus(), document.activeElement.select(), true)`)
		p.types(t, "66"+enter)
		p.changed(t, &seen, "a typed number")
		p.clean(t)
	})
}

// changed waits for another state than the last one seen, and holds its numbers against the library.
func (p page) changed(t *testing.T, seen *[]string, by string) {
	t.Helper()
	p.until(t, settled+` && document.querySelector('[data-plate]').dataset.link !== `+quote((*seen)[len(*seen)-1]))
	link := p.agrees(t, "finger-curl")
	if slices.Contains(*seen, link) {
		t.Errorf("%s leads back to %s", by, link)
	}
	*seen = append(*seen, link)
}

// agrees holds the numbers of the first plate against the library, and returns the plate's link.
func (p page) agrees(t *testing.T, calculator string) (link string) {
	t.Helper()
	link = eval[string](t, p, `document.querySelector('[data-plate]').dataset.link`)
	live, base := answers(t, p, calculator, link)
	shown := eval[map[string]string](t, p, `Object.fromEntries([...document.querySelectorAll('[data-outputs] tr[data-output]')].map((row) => [row.dataset.output, row.querySelector('[data-candidate]').textContent]))`)
	compared := 0
	for _, row := range plate.Cells(base, live) {
		if got, ok := shown[row.Key]; ok {
			if compared++; got != row.Candidate {
				t.Errorf("%s of %s shows %q, want %q", row.Key, link, got, row.Candidate)
			}
		}
	}
	if compared < 2 {
		t.Errorf("only %d rows of the plate could be compared", compared)
	}
	return link
}

// answers are those of the library for what the link tells: the live state and the one it is compared with.
func answers(t *testing.T, p page, calculator, link string) (live, base catalog.Answer) {
	t.Helper()
	at := slices.IndexFunc(list.All(), func(c catalog.Calculator) bool { return c.Spec().ID == calculator })
	if at < 0 {
		t.Fatalf("there is no calculator %s", calculator)
	}
	u, err := url.Parse(link)
	must(t, err)
	printed := eval[string](t, p, `document.querySelector('[data-plate]').dataset.base ?? ''`)
	states := []string{printed, printed}
	copy(states, strings.Split(u.EscapedFragment(), "?")[1:])
	live, err = plate.Run(list.All()[at], states[0])
	must(t, err)
	base, err = plate.Run(list.All()[at], states[1])
	must(t, err)
	return live, base
}

func TestAQuickCheckGivesTheVerdictOfTheLibrary(t *testing.T) {
	inEach(t, false, func(t *testing.T, p page) {
		p.open(t, "/checks/will-it-close/")
		p.until(t, settled)
		printed := eval[string](t, p, `document.querySelector('[data-verdict]').textContent`)
		eval[bool](t, p, `(document.querySelector('[data-field="mcp_flex"] [data-number]').focus(), document.activeElement.select(), true)`)
		p.types(t, "41"+enter)
		p.until(t, settled+` && document.querySelector('[data-verdict]').textContent !== `+quote(printed))
		live, _ := answers(t, p, "finger-curl", eval[string](t, p, `document.querySelector('[data-plate]').dataset.link`))
		want, _ := live.Verdict()
		if got := eval[string](t, p, `document.querySelector('[data-verdict]').textContent`); got != want.Text {
			t.Errorf("the page says %q, the library %q", got, want.Text)
		}
		p.clean(t)
	})
}

func TestAnExerciseIsGraded(t *testing.T) {
	inEach(t, false, func(t *testing.T, p page) {
		p.open(t, "/lessons/the-owed-translation/#hock-debt-y")
		p.until(t, `document.querySelector('#hock-debt-y form')?.hidden === false`)
		for _, try := range []struct{ text, want string }{{"1.703 cm", "hint"}, {"-17.03 mm", "right"}} {
			eval[bool](t, p, `(document.querySelector('#hock-debt-y input').focus(), document.activeElement.select(), true)`)
			p.types(t, try.text+enter)
			p.until(t, `document.querySelector('#hock-debt-y [data-verdict]').dataset.result === `+quote(try.want))
		}
		p.clean(t)
	})
}

// A fraction whose two halves do not stand one above the other is a line of letters to the engine.
func TestFormulasAreLaidOut(t *testing.T) {
	inEach(t, false, func(t *testing.T, p page) {
		p.open(t, "/lessons/many-poses-one-pivot/")
		p.until(t, served.Alive+` && document.fonts.status === 'loaded'`)
		eval[bool](t, p, `(document.querySelectorAll('details').forEach((part) => { part.open = true; }), true)`)
		counts := eval[[4]int](t, p, `(() => {
			const box = (element) => element.getBoundingClientRect();
			const formulas = [...document.querySelectorAll('math')];
			const fractions = [...document.querySelectorAll('mfrac')];
			return [formulas.length, formulas.filter((m) => box(m).width > 4 && box(m).height > 8).length,
				fractions.length, fractions.filter((f) => box(f.children[0]).bottom <= box(f.children[1]).top + 1).length];
		})()`)
		if counts[0] < 5 || counts[1] != counts[0] || counts[2] < 1 || counts[3] != counts[2] {
			t.Errorf("of %d formulas %d are seen, of %d fractions %d have one part above the other", counts[0], counts[1], counts[2], counts[3])
		}
		p.clean(t)
	})
}

func TestTheSearchForgivesASlip(t *testing.T) {
	inEach(t, false, func(t *testing.T, p page) {
		p.open(t, "/")
		p.until(t, settled) // Firefox reports a page that is left while its calculators are on their way
		p.types(t, "/")
		p.until(t, `document.activeElement.matches('dialog.search[open] .search-input')`)
		p.types(t, "knucle")
		p.until(t, `document.querySelector('.search-input').value === 'knucle' && document.querySelector('.search-results a')`)
		p.types(t, enter)
		p.until(t, `location.pathname + location.hash === '/glossary/#knuckle'`)
		p.clean(t)
	})
}

// brightness is that of the page's ground and of its text, 0 to 255.
const brightness = `['backgroundColor', 'color'].map((what) => {
	const context = Object.assign(document.createElement('canvas'), { width: 1, height: 1 }).getContext('2d');
	context.fillStyle = getComputedStyle(what === 'color' ? document.body : [document.body, document.documentElement].find((e) => getComputedStyle(e).backgroundColor !== 'rgba(0, 0, 0, 0)'))[what];
	context.fillRect(0, 0, 1, 1);
	return context.getImageData(0, 0, 1, 1).data[1];
})`

func TestThePageIsDarkWhereTheReaderPrefersThat(t *testing.T) {
	for _, dark := range []bool{false, true} {
		t.Run(map[bool]string{false: "light", true: "dark"}[dark], func(t *testing.T) {
			inEach(t, dark, func(t *testing.T, p page) {
				p.open(t, "/lessons/the-finger/")
				p.until(t, served.Alive)
				seen := eval[[2]int](t, p, brightness)
				if isDark := seen[0] < 60 && seen[1] > 180; isDark != dark || !dark && (seen[0] < 220 || seen[1] > 80) {
					t.Errorf("the ground has the brightness %d, the text %d", seen[0], seen[1])
				}
				p.clean(t)
			})
		})
	}
}

// The check of the check: what clean relies on being told is provoked here.
func TestTroubleIsHeard(t *testing.T) {
	inEach(t, false, func(t *testing.T, p page) {
		p.open(t, "/")
		p.until(t, served.Alive)
		p.clean(t)
		before := p.heard
		eval[bool](t, p, `((window.wrappedJSObject ?? window).console.error('said so'),
			document.body.insertAdjacentHTML('beforeend', '<p style="color: red">inline style</p>'), true)`)
		for _, want := range []string{"said so", "style"} {
			said := ""
			for end := 0; !strings.Contains(said, want); end++ {
				if end == 200 {
					t.Fatalf("the harness did not hear of %q:\n%s", want, said)
				}
				p.until(t, served.Alive) // one round through the browser
				list, err := p.troubles()
				must(t, err)
				said = strings.Join(list[min(before, len(list)):], "\n")
			}
		}
	})
}

func quote(text string) string {
	return `'` + strings.NewReplacer(`\`, `\\`, `'`, `\'`).Replace(text) + `'`
}
