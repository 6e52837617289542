//go:build unix

// Package engines asks the same few questions of the built site in Chromium's two rivals, Firefox and WebKit, that
// tests/browser asks at length in Chromium: whether a plate loads and answers to keys and pointer with the numbers of
// the library, whether formulas are laid out, the search forgives a slip, the page goes dark, and nothing is said on the console.
//
// Both browsers come from Debian's packages. A small client of the W3C's WebDriver (driver_test.go) commands them, on the
// standard library: over HTTP for WebKit, over the line of its own for Firefox, since Debian has no geckodriver. Where a
// browser is missing its tests are skipped, unless ENGINES=all, as tests/run.sh sets, which makes that a failure.
package engines

import (
	"encoding/json"
	"fmt"
	"os"
	"strings"
	"testing"
	"time"

	"centrode/tests/served"
)

var site served.Site

func TestMain(m *testing.M) { os.Exit(run(m)) }

func run(m *testing.M) int {
	if _, err := firstProgram(append([]string{"WebKitWebDriver"}, firefox...)...); err != nil && os.Getenv("ENGINES") != "all" {
		fmt.Fprintln(os.Stderr, "No other engine was found, so no page is opened; tests/run.sh installs them.")
		return 0
	}
	dir, err := os.MkdirTemp("", "centrode-engines-")
	if err != nil {
		fmt.Fprintln(os.Stderr, err)
		return 1
	}
	defer os.RemoveAll(dir)
	served, stop, err := served.Start(dir)
	if err != nil {
		fmt.Fprintln(os.Stderr, err)
		return 1
	}
	defer stop()
	site = served
	defer func() {
		for _, e := range running {
			e.stop()
		}
	}()
	return m.Run()
}

// engines are the browsers by name.
var engines = []struct {
	name  string
	start func(dir string, dark bool) (*engine, error)
	needs [][]string // programs, each with its other names
}{
	{"Firefox", startFirefox, [][]string{firefox}},
	{"WebKit", startWebKit, [][]string{{"WebKitWebDriver"}, {"Xvfb"}}},
}

// running are the engines started so far, by name and whether their reader prefers dark pages; they stop with the run.
var running = map[string]*engine{}

// inEach runs a test in each engine, whose reader prefers dark pages or not.
func inEach(t *testing.T, dark bool, test func(t *testing.T, p page)) {
	for _, one := range engines {
		t.Run(one.name, func(t *testing.T) {
			for _, names := range one.needs {
				if _, err := firstProgram(names...); err != nil && os.Getenv("ENGINES") != "all" {
					t.Skipf("%v; tests/run.sh installs it", err)
				}
			}
			key := fmt.Sprintf("%s, dark: %v", one.name, dark)
			if running[key] == nil {
				dir, err := os.MkdirTemp("", "centrode-"+one.name+"-")
				must(t, err)
				e, err := one.start(dir, dark)
				e.stops = append([]func(){func() { os.RemoveAll(dir) }}, e.stops...)
				if err != nil {
					e.stop()
					t.Fatal(err)
				}
				running[key] = e
			}
			t.Log(running[key].version)
			test(t, page{running[key]})
		})
	}
}

// page is what the engine shows.
type page struct{ *engine }

// open loads the page at the root-relative address.
func (p page) open(t *testing.T, address string) {
	t.Helper()
	p.ask(`window.left = true`) // a page that is not there yet cannot be asked; then there is nothing to tell apart
	_, err := p.send(navigate, map[string]any{"url": site.Origin + address})
	must(t, err)
	arrived := `!window.left && location.href === ` + quote(site.Origin+address)
	if p.listen != "" {
		p.heard = 0
		arrived += ` && ` + p.listen
	}
	for end := time.Now().Add(answerTime); ; {
		if answer, err := p.ask(arrived); err == nil && string(answer) == "true" {
			return
		} else if time.Now().After(end) {
			t.Fatalf("%s does not come: %s %v", address, answer, err)
		}
	}
}

// ask returns what the script expression gives in the page, as JSON.
func (p page) ask(expression string) (json.RawMessage, error) {
	return p.send(runScript, map[string]any{"script": "return " + expression, "args": []any{}})
}

// eval returns what the script expression gives in the page.
func eval[T any](t *testing.T, p page, expression string) (v T) {
	t.Helper()
	answer, err := p.ask(expression)
	if err == nil {
		err = json.Unmarshal(answer, &v)
	}
	if err != nil {
		t.Fatalf("%s: %v", expression, err)
	}
	return v
}

// until waits for the script expression to become true.
func (p page) until(t *testing.T, condition string) {
	t.Helper()
	for end := time.Now().Add(answerTime); time.Now().Before(end); time.Sleep(30 * time.Millisecond) {
		if eval[bool](t, p, "Boolean("+condition+")") {
			return
		}
	}
	t.Fatalf("waited for %s\n%s", condition, strings.Join(p.news(t), "\n"))
}

// types presses and releases keys, one after the other, where the focus is.
func (p page) types(t *testing.T, keys string) {
	t.Helper()
	var steps []any
	for _, key := range keys {
		for _, kind := range []string{"keyDown", "keyUp"} {
			steps = append(steps, map[string]any{"type": kind, "value": string(key)})
		}
	}
	p.acts(t, map[string]any{"type": "key", "id": "keyboard", "actions": steps})
}

// The keys that are no letters, as WebDriver names them.
const (
	enter      = "\ue007"
	arrowRight = "\ue014"
)

// drags presses the mouse in the middle of the element and lets it go elsewhere, so many pixels to the right and down.
func (p page) drags(t *testing.T, selector string, right, down int) {
	t.Helper()
	p.acts(t, p.pointer(t, "mouse", selector, right, down))
}

// pointer is what a pointer of some kind does that takes the middle of the element elsewhere, in four steps.
func (p page) pointer(t *testing.T, kind, selector string, right, down int) map[string]any {
	t.Helper()
	at := eval[[2]float64](t, p, `((box) => [box.x + box.width / 2, box.y + box.height / 2])(document.querySelector('`+selector+`').getBoundingClientRect())`)
	move := func(part int) map[string]any {
		return map[string]any{"type": "pointerMove", "duration": 0, "origin": "viewport", "x": int(at[0]) + right*part/4, "y": int(at[1]) + down*part/4}
	}
	steps := []any{move(0), map[string]any{"type": "pointerDown", "button": 0}, move(1), move(2), move(3), move(4), map[string]any{"type": "pointerUp", "button": 0}}
	return map[string]any{"type": "pointer", "id": kind, "parameters": map[string]any{"pointerType": kind}, "actions": steps}
}

func (p page) acts(t *testing.T, source map[string]any) {
	t.Helper()
	_, err := p.send(perform, map[string]any{"actions": []any{source}})
	must(t, err)
	_, err = p.send(letGo, map[string]any{})
	must(t, err)
}

// news are the troubles since they were last asked for.
func (p page) news(t *testing.T) []string {
	t.Helper()
	said, err := p.troubles()
	must(t, err)
	fresh := said[min(p.heard, len(said)):]
	p.heard = len(said)
	return fresh
}

// clean fails the test for everything that went wrong on its pages.
func (p page) clean(t *testing.T) {
	t.Helper()
	for _, line := range p.news(t) {
		if !strings.Contains(line, "Incorrect number of children") || !eval[bool](t, p, formulasAreWhole) {
			t.Error(line)
		}
	}
}

// formulasAreWhole tells whether each power, index and fraction of the page has its parts. Firefox lays out what has come of a page, and on
// a busy machine complains of a formula that ends where the page ended so far.
const formulasAreWhole = `Object.entries({ 'msup, msub, mfrac, munder, mover, mroot': 2, 'msubsup, munderover': 3 })
	.every(([kinds, parts]) => [...document.querySelectorAll(kinds)].every((formula) => formula.children.length === parts))`

func must(t *testing.T, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}
