package browser

import (
	"cmp"
	"context"
	"fmt"
	"net/url"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/audits"
	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/log"
	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/cdproto/storage"
	"github.com/chromedp/chromedp"

	"centrode/tests/served"
)

// view is how a reader looks at a page; its zero value is a desk with scripts.
type view struct {
	noScript      bool
	width, height int64 // px; 0: 1280 by 900
	dark, still   bool  // prefers dark; prefers reduced motion
	keeps         bool  // the worker that keeps pages is there and may answer; else what one test had kept would reach another
	nobody        bool  // no reader stirs; else one does when the page has loaded, and plates near the window come to life
	later         bool  // what lies far below a phone's window waits with its layout; else it is there to be measured
}

// phone is a small phone held upright.
var phone = view{width: 360, height: 740}

// tab is one open page and what went wrong on it.
type tab struct {
	ctx  context.Context
	shut func() // closes it before its test ends

	expires *time.Timer // runs anew with each visit
	turns   int         // how often again has opened a page anew

	mu       sync.Mutex
	home     string // origin of the page
	friend   string // another origin that it may ask
	trouble  []string
	requests []string
	received int // bytes over the wire, headers included
}

// open loads the page at the root-relative address in a tab of its own, which closes with the test.
func open(t testing.TB, address string, v view) *tab {
	t.Helper()
	tb := blank(t, v)
	tb.visit(t, origin+address)
	return tb
}

// blank is a tab that shows nothing yet; it closes with the test.
func blank(t testing.TB, v view) *tab {
	t.Helper()
	tb := &tab{}
	ctx, cancel := chromedp.NewContext(browsers.of(t), chromedp.WithListener(tb.hear))
	ctx, expire := context.WithCancel(ctx)
	tb.expires = time.AfterFunc(2*patience, expire)
	tb.ctx, tb.shut = ctx, func() { tb.expires.Stop(); expire(); cancel() }
	t.Cleanup(tb.shut)
	if v.width == 0 {
		v.width, v.height = 1280, 900
	}
	must(t, chromedp.Do(ctx, chromedp.EmulateViewport(v.width, v.height), tb.prepare(v)))
	if browsers.begins(t) {
		_, err := chromedp.Call(ctx, storage.ClearDataForOrigin, storage.ClearDataForOriginParams{Origin: origin, StorageTypes: "local_storage,service_workers,cache_storage"})
		must(t, err)
	}
	if !v.keeps {
		tb.early(t, nothingKept)
	}
	if !v.later {
		tb.early(t, layOutAll)
	}
	if !v.nobody {
		tb.early(t, stir)
	}
	return tb
}

// window gives the open page another window. The page hears of it some time after the browser has answered.
func (tb *tab) window(t testing.TB, width, height int64) {
	t.Helper()
	must(t, chromedp.Do(tb.ctx, chromedp.EmulateViewport(width, height)))
	tb.until(t, fmt.Sprintf(`innerWidth === %d && innerHeight === %d`, width, height))
}

// visit loads a whole address.
func (tb *tab) visit(t testing.TB, address string) {
	t.Helper()
	tb.expires.Reset(2 * patience)
	page, _, _ := strings.Cut(address, "#") // what follows may be anything
	u, err := url.Parse(page)
	must(t, err)
	tb.mu.Lock()
	tb.home = u.Scheme + "://" + u.Host
	tb.mu.Unlock()
	must(t, chromedp.Do(tb.ctx, chromedp.Navigate(address)))
}

// each visits the pages one after the other, a dozen in each tab, and fails the test for what goes wrong on any: a new
// tab for every page would cost more than most of what is looked at.
func each(t *testing.T, addresses []string, v view, look func(tb *tab, address string)) {
	t.Helper()
	for dozen := range slices.Chunk(addresses, 12) {
		tb := blank(t, v)
		for _, address := range dozen {
			tb.visit(t, origin+address)
			look(tb, address)
			for _, line := range tb.forget() {
				t.Errorf("%s: %s", address, line)
			}
		}
		tb.shut()
	}
}

// forget returns what went wrong so far, and begins anew.
func (tb *tab) forget() []string {
	tb.mu.Lock()
	defer tb.mu.Unlock()
	trouble := tb.trouble
	tb.trouble, tb.requests = nil, nil
	return trouble
}

// prepare asks for all kinds of events and sets what the reader prefers.
func (tb *tab) prepare(v view) chromedp.Action[chromedp.Void] {
	return chromedp.Func(func(ctx context.Context, target *chromedp.Target) error {
		for _, enable := range []cdp.Command[cdp.Empty, cdp.Empty]{runtime.Enable, log.Enable, audits.Enable} {
			if _, err := cdp.Call(ctx, target, enable, cdp.Empty{}); err != nil {
				return err
			}
		}
		if _, err := cdp.Call(ctx, target, network.Enable, network.EnableParams{}); err != nil {
			return err
		}
		if _, err := cdp.Call(ctx, target, network.SetBypassServiceWorker, network.SetBypassServiceWorkerParams{Bypass: !v.keeps}); err != nil {
			return err
		}
		if _, err := cdp.Call(ctx, target, emulation.SetScriptExecutionDisabled, emulation.SetScriptExecutionDisabledParams{Value: v.noScript}); err != nil {
			return err
		}
		_, err := cdp.Call(ctx, target, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Features: v.features()})
		return err
	})
}

// early runs a script before any of the page's own, on each page that the tab opens from now on.
func (tb *tab) early(t testing.TB, source string) {
	t.Helper()
	_, err := chromedp.Call(tb.ctx, page.AddScriptToEvaluateOnNewDocument, page.AddScriptToEvaluateOnNewDocumentParams{Source: source})
	must(t, err)
}

// wear lays a style sheet over those of the page.
func (tb *tab) wear(t testing.TB, css string) {
	t.Helper()
	eval[bool](t, tb, `(() => {
		const sheet = new CSSStyleSheet();
		sheet.replaceSync(`+quote(css)+`);
		document.adoptedStyleSheets.push(sheet);
		return true;
	})()`)
}

// loaded and alive say how far a page has come.
const loaded, alive = served.Loaded, served.Alive

// nothingKept spares a test the worker that keeps pages, which fills its cache anew for each: a sixth of what the tests take of a core. The page
// about keeping has it, since it says what it does.
const nothingKept = `if (navigator.serviceWorker && !location.pathname.endsWith('/offline/')) navigator.serviceWorker.register = () => new Promise(() => {})`

// stir is the first sign of a reader, see theme/scripts/signs.js.
const stir = `addEventListener('load', () => dispatchEvent(new Event('wheel')))`

// layOutAll undoes theme/styles/later.css.
const layOutAll = `{
	const all = new CSSStyleSheet();
	all.replaceSync('* { content-visibility: visible !important }');
	document.adoptedStyleSheets.push(all);
}`

func (v view) features() []*emulation.MediaFeature {
	list := []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: "light"}}
	if v.dark {
		list[0].Value = "dark"
	}
	if v.still {
		list = append(list, &emulation.MediaFeature{Name: "prefers-reduced-motion", Value: "reduce"})
	}
	return list
}

// hear notes what goes wrong.
func (tb *tab) hear(event any) {
	tb.mu.Lock()
	defer tb.mu.Unlock()
	note := func(format string, args ...any) { tb.trouble = append(tb.trouble, fmt.Sprintf(format, args...)) }
	switch e := event.(type) {
	case *runtime.EventConsoleAPICalled:
		if e.Type == runtime.ConsoleAPICalledTypeError || e.Type == runtime.ConsoleAPICalledTypeAssert {
			note("console: %s", consoleText(e.Args))
		}
	case *runtime.EventExceptionThrown:
		note("exception: %s %s", e.ExceptionDetails.Text, describe(e.ExceptionDetails.Exception))
	case *log.EventEntryAdded:
		if e.Entry.Level == log.EntryLevelError {
			note("log: %s %s", e.Entry.Text, e.Entry.URL)
		}
	case *audits.EventIssueAdded:
		if e.Issue.Details != nil && e.Issue.Details.ContentSecurityPolicyIssueDetails != nil {
			d := e.Issue.Details.ContentSecurityPolicyIssueDetails
			note("content policy: %s refused %s (%s)", d.ViolatedDirective, d.BlockedURL, d.ContentSecurityPolicyViolationType)
		}
	case *network.EventLoadingFailed:
		if !e.Canceled {
			note("network: %s %s", e.ErrorText, e.BlockedReason)
		}
	case *network.EventLoadingFinished:
		tb.received += int(e.EncodedDataLength)
	case *network.EventRequestWillBeSent:
		tb.requests = append(tb.requests, e.Request.URL)
		if u, err := url.Parse(e.Request.URL); err != nil || (u.Scheme+"://"+u.Host != tb.home && u.Scheme+"://"+u.Host != tb.friend && u.Scheme != "data" && u.Scheme != "blob") {
			note("request to another host: %s", e.Request.URL)
		}
	}
}

func consoleText(args []*runtime.RemoteObject) string {
	var words []string
	for _, a := range args {
		words = append(words, describe(a))
	}
	return strings.Join(words, " ")
}

func describe(o *runtime.RemoteObject) string {
	if o == nil {
		return ""
	}
	if o.Description != "" {
		return o.Description
	}
	return string(o.Value)
}

// clean fails the test for everything that went wrong on the page so far.
func (tb *tab) clean(t testing.TB) {
	t.Helper()
	for _, line := range tb.troubles() {
		t.Errorf("%s", line)
	}
}

func (tb *tab) troubles() []string {
	tb.mu.Lock()
	defer tb.mu.Unlock()
	return append([]string(nil), tb.trouble...)
}

// asked returns the addresses that the page requested, without the origin.
func (tb *tab) asked() []string {
	tb.mu.Lock()
	defer tb.mu.Unlock()
	var list []string
	for _, address := range tb.requests {
		list = append(list, strings.TrimPrefix(address, tb.home))
	}
	return list
}

// eval returns what the script expression gives in the page, once a promise is kept; it works on pages without scripts too.
func eval[T any](t testing.TB, tb *tab, expression string) T {
	t.Helper()
	v, err := chromedp.Run(tb.ctx, chromedp.Evaluate[T](expression, chromedp.EvalAwaitPromise))
	if err != nil {
		t.Fatalf("%s: %v\n%s", expression, err, strings.Join(tb.troubles(), "\n"))
	}
	return v
}

// until waits for the script expression, or what it promises, to become true; the page may be replaced by another meanwhile.
func (tb *tab) until(t testing.TB, condition string) {
	t.Helper()
	if err := tb.wait(condition, patience/2); err != nil {
		t.Fatalf("%v\n%s", err, strings.Join(tb.troubles(), "\n"))
	}
}

// wait is until for the given time; an error says what did not become true.
func (tb *tab) wait(condition string, most time.Duration) error {
	ctx, cancel := context.WithTimeout(tb.ctx, most)
	defer cancel()
	var last error
	for {
		is, err := chromedp.Run(ctx, chromedp.Evaluate[bool](`Promise.resolve(`+condition+`).then(Boolean)`, chromedp.EvalAwaitPromise))
		switch {
		case is:
			return nil
		case ctx.Err() != nil:
			return fmt.Errorf("waited %s for %s: %w", most, condition, cmp.Or(last, err))
		}
		last = err
		time.Sleep(20 * time.Millisecond)
	}
}

// drawnTwice is promised until the page has been drawn twice.
const drawnTwice = `new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(() => done(true))))`

// settled brings the next plate near the window and tells whether the page, its fonts and all its plates are at rest.
const settled = alive + ` && document.fonts.status === 'loaded' && (async () => {
	const rests = () => {
		const next = document.querySelector('[data-plate][data-engine="off"]');
		next?.scrollIntoView();
		return !next && !document.querySelector('[data-plate][data-waiting]');
	};
	if (!rests()) return false;
	await ` + drawnTwice + `; // its width may ask for another drawing
	return rests();
})()`

// settle waits for the page and its fonts, and brings every plate near the window until its calculator is on.
func (tb *tab) settle(t testing.TB) {
	t.Helper()
	// On a busy machine Chromium 156 without a window stops drawing about one of 200 pages soon after its first paint: its
	// scripts go on, but no frame and no screenshot comes any more, and the next page in the same tab is drawn again.
	if tb.wait(settled, patience/6) != nil && tb.wait(drawnTwice, patience/12) != nil {
		t.Log("the browser no longer draws the page, which is opened anew")
		must(t, chromedp.Do(tb.ctx, chromedp.Reload()))
	}
	tb.until(t, settled)
	if failed := eval[int](t, tb, `document.querySelectorAll('[data-plate][data-engine="failed"]').length`); failed > 0 {
		t.Errorf("the calculator of %d plates did not start", failed)
	}
	eval[bool](t, tb, `(scrollTo(0, 0), true)`)
}

func must(t testing.TB, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}
