package browser

import (
	"context"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"sync"
	"testing"

	"github.com/chromedp/chromedp"
)

// browsers are those that the tests open tabs in: one, and one more for each test that runs beside another, since a tab behind
// another is drawn late, and since what is kept, copied and permitted belongs to a browser as a whole.
var browsers fleet

type fleet struct {
	chromium string // the program
	profiles string // the folder of their profiles

	mu    sync.Mutex
	idle  []context.Context          // those that no test has for itself
	with  map[string]context.Context // what a test has for itself, by its name
	begun map[string]runOf           // the tests that have opened a tab
	ends  []func()
}

// parallel lets a test run beside others, in a browser that it has for itself. Those that measure time, or ask what happens
// between two moments, do not call it: they run before all that do, each alone.
func parallel(t *testing.T) {
	t.Helper()
	t.Parallel()
	own, err := browsers.take()
	must(t, err)
	t.Cleanup(func() { browsers.giveBack(own) })
	browsers.lend(t, own)
}

// take returns a browser that no test has, and starts one where there is none.
func (f *fleet) take() (context.Context, error) {
	f.mu.Lock()
	defer f.mu.Unlock()
	if last := len(f.idle) - 1; last >= 0 {
		own := f.idle[last]
		f.idle = f.idle[:last]
		return own, nil
	}
	own, quit, err := startBrowser(f.chromium, filepath.Join(f.profiles, "profile"+strconv.Itoa(len(f.ends))), plainBrowser)
	if err == nil {
		f.ends = append(f.ends, quit)
	}
	return own, err
}

func (f *fleet) giveBack(own context.Context) {
	f.mu.Lock()
	defer f.mu.Unlock()
	f.idle = append(f.idle, own)
}

// lend has the test, and its parts, open tabs in that browser until it ends.
func (f *fleet) lend(t *testing.T, own context.Context) {
	f.mu.Lock()
	defer f.mu.Unlock()
	before, had := f.with[t.Name()]
	if f.with == nil {
		f.with = map[string]context.Context{}
	}
	f.with[t.Name()] = own
	t.Cleanup(func() {
		f.mu.Lock()
		defer f.mu.Unlock()
		delete(f.with, t.Name())
		if had {
			f.with[t.Name()] = before
		}
	})
}

// of is the browser that a test, or a part of one, opens its tabs in: its own, or the one that is idle while tests run alone.
func (f *fleet) of(t testing.TB) context.Context {
	f.mu.Lock()
	defer f.mu.Unlock()
	test, _, _ := strings.Cut(t.Name(), "/")
	if own, has := f.with[test]; has {
		return own
	}
	return f.idle[0]
}

// runOf has, by their names, the test and those of its parts that have opened a tab.
type runOf map[string]testing.TB

// begins tells, once, that a test opens its first tab: what the one before had the browser keep is not for it to find. A test or a part of it that
// comes again under its name (-count) is another run.
func (f *fleet) begins(t testing.TB) bool {
	f.mu.Lock()
	defer f.mu.Unlock()
	test, _, _ := strings.Cut(t.Name(), "/")
	run, before := f.begun[test]
	if part, seen := run[t.Name()]; seen && part != t {
		before = false
	}
	if !before {
		if f.begun == nil {
			f.begun = map[string]runOf{}
		}
		run = runOf{}
		f.begun[test] = run
	}
	run[t.Name()] = t
	return !before
}

// named is a test under another name.
type named struct {
	testing.TB
	name string
}

// Name implements testing.TB.
func (n *named) Name() string { return n.name }

// TestABrowserIsEmptiedOnceForEachRunOfATest, also where it runs again and where only its parts open tabs.
func TestABrowserIsEmptiedOnceForEachRunOfATest(t *testing.T) {
	var f fleet
	tb := func(name string) testing.TB { return &named{t, name} }
	whole, again, part, other, anew := tb("A"), tb("A"), tb("B/1"), tb("B/2"), tb("B/1")
	for i, step := range []struct {
		of   testing.TB
		want bool
	}{{whole, true}, {whole, false}, {tb("A/1"), false}, {again, true}, {again, false}, {part, true}, {other, false}, {part, false}, {anew, true}, {tb("B/2"), false}} {
		if got := f.begins(step.of); got != step.want {
			t.Errorf("step %d, %s: begins %v, want %v", i+1, step.of.Name(), got, step.want)
		}
	}
}

func (f *fleet) quit() {
	for _, end := range f.ends {
		end()
	}
}

// plainBrowser adds nothing to a browser.
func plainBrowser(*chromedp.ExecAllocator) {}

// startBrowser starts the browser without a window, in a profile of its own.
func startBrowser(chromium, profile string, more chromedp.ExecAllocatorOption) (context.Context, func(), error) {
	options := append(chromedp.DefaultExecAllocatorOptions[:],
		chromedp.ExecPath(chromium), chromedp.UserDataDir(profile), chromedp.DisableGPU,
		chromedp.Flag("disable-quic", true), chromedp.Flag("disable-component-update", true),
		chromedp.Flag("font-render-hinting", "none"), more) // letters lie as in a browser with a window
	if os.Getuid() == 0 {
		options = append(options, chromedp.NoSandbox) // the sandbox refuses root
	}
	allocator, release := chromedp.NewExecAllocator(context.Background(), options...)
	ctx, cancel := chromedp.NewContext(allocator)
	if err := chromedp.Do(ctx); err != nil { // starts it
		cancel()
		release()
		return nil, nil, err
	}
	return ctx, func() { cancel(); release() }, nil
}
