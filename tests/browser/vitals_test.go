package browser

import (
	"slices"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"
)

// vitalPages are one page of each kind that a reader may arrive at first.
var vitalPages = []string{"/", "/lessons/the-finger/", "/plates/finger-curl/", "/checks/will-it-close/"}

// A phone in a poor place: 1.6 Mbit/s down, 0.75 up, 150 ms there and back, a processor four times as slow. Source: the mobile
// setting of Lighthouse 12 ("slow 4G", 4× CPU), applied at the network as DevTools does (its throttling guide). Shut such a tab when it
// has been looked at: a browser makes a tab slow by keeping a core busy, also while the tab has nothing to do.
func slow(t testing.TB, tb *tab) {
	t.Helper()
	_, err := chromedp.Call(tb.ctx, network.EmulateNetworkConditionsByRule, network.EmulateNetworkConditionsByRuleParams{
		MatchedNetworkConditions: []*network.Conditions{{Latency: 150, DownloadThroughput: 1.6e6 / 8, UploadThroughput: 0.75e6 / 8}}})
	must(t, err)
	_, err = chromedp.Call(tb.ctx, network.SetCacheDisabled, network.SetCacheDisabledParams{CacheDisabled: true})
	must(t, err)
	_, err = chromedp.Call(tb.ctx, emulation.SetCPUThrottlingRate, emulation.SetCPUThrottlingRateParams{Rate: 4})
	must(t, err)
}

// vitals is what a first view came to.
type vitals struct {
	Shift   float64 // layout shift, its definition at web.dev/cls without the session window: all shifts together
	Paint   float64 // largest contentful paint, ms
	Blocked float64 // total blocking time, ms: what tasks take beyond 50 ms each after the first paint
	What    string  // where it shifted
}

// firstView opens the page on a slow phone and waits until its fonts and its first calculator have come.
func firstView(t testing.TB, address string) vitals {
	t.Helper()
	v := phone
	v.later = true
	tb := blank(t, v)
	defer tb.shut()
	slow(t, tb)
	tb.visit(t, origin+address)
	tb.until(t, alive+` && document.fonts.status === 'loaded'`)
	return eval[vitals](t, tb, `new Promise((done) => {
		const seen = { Shift: 0, Paint: 0, Blocked: 0, What: '' };
		const first = performance.getEntriesByName('first-contentful-paint')[0]?.startTime ?? 0;
		const read = {
			'layout-shift': (e) => { if (!e.hadRecentInput) { seen.Shift += e.value; seen.What += e.sources.map((s) => (s.node?.className ?? s.node?.nodeName) + ' ').join('') } },
			'largest-contentful-paint': (e) => { seen.Paint = e.startTime },
			longtask: (e) => { if (e.startTime >= first) seen.Blocked += e.duration - 50 },
		};
		for (const [type, add] of Object.entries(read)) new PerformanceObserver((list) => list.getEntries().forEach(add)).observe({ type, buffered: true });
		setTimeout(() => done(seen), 1500);
	})`)
}

// Where text stands does not hang on the speed of the machine, so this is a test; the times are figures of a benchmark.
func TestNothingMovesWhileAPageLoadsOnASlowPhone(t *testing.T) {
	const most = 0.02
	for _, address := range vitalPages {
		if v := firstView(t, address); !(v.Shift < most) || v.Paint == 0 {
			t.Errorf("%s: shifted by %.4f, want less than %g (%s); largest paint at %.0f ms", address, v.Shift, most, v.What, v.Paint)
		}
	}
}

// asset is a file that a page asked for.
type asset struct {
	Name  string
	Bytes int  // of its body, compressed
	Early bool // before the page had loaded
}

const assetsAsked = `[...performance.getEntriesByType('navigation'), ...performance.getEntriesByType('resource')].sort((a, b) => a.startTime - b.startTime)
	.map((e) => ({ Name: new URL(e.name).pathname, Bytes: e.encodedBodySize, Early: e.startTime < performance.timing.loadEventStart - performance.timing.navigationStart }))`

// What a first view waits for hangs on bytes and on their order, which are the same on any machine: styles before all else, one
// font beside them, and nothing of the calculators until the page stands. The styles come in the ten packets that a server sends before
// it hears of them (RFC 6928), with a kilobyte for what says what they are; fonts, in the three faces of the first lines.
func TestTheFirstViewOfAPageWaitsForLittleAndForNoCalculator(t *testing.T) {
	const most, mostAssets, mostStyles, mostFonts = 140_000, 20, 10*1460 - 1000, 3
	for _, address := range vitalPages {
		tb := blank(t, view{width: 412, height: 823, still: true, later: true})
		tb.visit(t, newWire(t).origin+address) // an address of its own: nothing is in the browser's cache
		tb.until(t, alive+` && document.fonts.status === 'loaded'`)
		tb.until(t, `(() => {
			const plate = document.querySelector('[data-plate]');
			plate.scrollIntoView();
			return plate.dataset.engine === 'on';
		})()`)
		var bytes, count, fonts int
		var late string
		list := eval[[]asset](t, tb, assetsAsked)
		for _, a := range list {
			if !a.Early {
				late += a.Name + " "
				continue
			}
			bytes, count = bytes+a.Bytes, count+1
			if strings.HasSuffix(a.Name, ".woff2") {
				fonts++
			}
			if strings.HasSuffix(a.Name, ".css") && a.Bytes > mostStyles {
				t.Errorf("%s asks for styles of %d bytes, want at most %d", address, a.Bytes, mostStyles)
			}
			for _, part := range []string{".wasm", "/assets/live", "/assets/worker", "/assets/wasm_exec"} {
				if strings.Contains(a.Name, part) {
					t.Errorf("%s asks for %s before it has loaded", address, a.Name)
				}
			}
		}
		t.Logf("%s: %d assets, %d bytes before it has loaded, %d fonts among them", address, count, bytes, fonts)
		if fonts == 0 || fonts > mostFonts {
			t.Errorf("%s asks for %d fonts before it has loaded, want at most %d", address, fonts, mostFonts)
		}
		if bytes > most || count > mostAssets || bytes < 50_000 {
			t.Errorf("%s asks for %d assets of %d bytes before it has loaded, want at most %d of %d", address, count, bytes, mostAssets, most)
		}
		if len(list) < 2 || !strings.HasPrefix(list[1].Name, "/assets/site.") || !strings.HasSuffix(list[1].Name, ".css") {
			t.Errorf("%s asks for %v first, want its styles", address, list[:min(3, len(list))])
		}
		if !strings.Contains(late, "/assets/live") || !strings.Contains(late, "/assets/worker") {
			t.Errorf("%s: its plate came to life, and of what it needs only %q was asked for later", address, late)
		}
		tb.clean(t)
	}
}

// A link's own numbers have no answer in print: their calculators begin in the head of the page, and its scripts come in one turn. Where
// a worker cannot be had, or its script does not come, they run in the page.
func TestALinkWithNumbersHasItsCalculatorsBeginInTheHead(t *testing.T) {
	const counted = `const W = window.Worker;
		window.begun = [];
		window.Worker = function (...args) { begun.push(document.body === null); return new W(...args); };`
	const lost = `window.Worker = class { constructor() { setTimeout(() => this.onerror()); } postMessage() {} terminate() {} };`
	for _, c := range []struct {
		name, browser, link string
		begun               []bool // for each worker, whether it was hired before the page's body came
	}{
		{"numbers", counted, "#plate-finger?mcp_flex=66", []bool{true}},
		{"no numbers", counted, "#plate-finger", []bool{false}},
		{"no worker", noWorker, "#plate-finger?mcp_flex=66", nil},
		{"a worker that does not come", lost, "#plate-finger?mcp_flex=66", nil},
	} {
		tb := blank(t, view{still: true})
		tb.early(t, c.browser)
		tb.visit(t, origin+"/checks/will-it-close/"+c.link)
		tb.settle(t)
		if state, _ := tb.plate(t, "finger-curl").states(t); strings.Contains(state, "mcp_flex=66") != strings.Contains(c.link, "?") {
			t.Errorf("%s: the state is %q", c.name, state)
		}
		if c.begun == nil {
			continue
		}
		if begun := eval[[]bool](t, tb, `begun`); !slices.Equal(begun, c.begun) {
			t.Errorf("%s: workers hired before the body came: %v, want %v", c.name, begun, c.begun)
		}
		apart := eval[[]string](t, tb, `(() => {
			const ahead = new Set([...document.querySelectorAll('link[rel=modulepreload]')].map(({ href }) => href));
			return performance.getEntriesByType('resource').map(({ name }) => name).filter((name) => name.endsWith('.js') && !/\/(head|site|worker)\./.test(name) && !ahead.has(name));
		})()`)
		if onceMore := slices.ContainsFunc(apart, func(name string) bool { return strings.Contains(name, "/live.") }); onceMore == c.begun[0] || c.begun[0] && len(apart) > 0 {
			t.Errorf("%s: scripts that were not asked for ahead: %v", c.name, apart)
		}
	}
}

// Nothing of the calculators is fetched for a page at which nobody is; they come at the first movement, and after ten seconds for a
// reader of whom none is heard.
func TestCalculatorsWaitForAReader(t *testing.T) {
	const on, fetched = `document.querySelector('[data-plate]').dataset.engine === 'on'`, `performance.getEntriesByType('resource').some((e) => e.name.includes('/assets/live'))`
	address := origin + "/plates/finger-curl/"
	asleep := blank(t, view{still: true, nobody: true})
	asleep.visit(t, address)
	moved := blank(t, view{still: true, nobody: true})
	moved.visit(t, address)
	for _, tb := range []*tab{asleep, moved} {
		tb.until(t, `performance.timing.loadEventEnd > 0 && performance.now() > 2500`)
	}
	if eval[bool](t, moved, fetched) || eval[bool](t, asleep, fetched) {
		t.Error("calculators come although nobody is there")
	}
	for _, x := range []float64{200, 210} { // where a pointer rests, which a browser may tell a new page; then a movement
		must(t, chromedp.Do(moved.ctx, chromedp.MouseEvent("mouseMoved", x, 300)))
	}
	moved.until(t, fetched)
	if eval[bool](t, asleep, fetched) { // opened before, so the wait of that page would have ended first
		t.Error("the calculators came by the wait, and not by the movement")
	}
	moved.until(t, on)
	asleep.until(t, on)
	if after := eval[float64](t, asleep, `performance.now()`); after < 10_000 {
		t.Errorf("the calculators come by themselves after %.0f ms, want 10 s", after)
	}
	moved.clean(t)
	asleep.clean(t)
}

// A plate that comes to life shows what was printed. Its drawing is laid out anew, for the width it has; no other node is touched,
// so nothing is painted, laid out or read out twice.
func TestAPlateComesToLifeWithoutAWordBeingWrittenAnew(t *testing.T) {
	const watched = `addEventListener('DOMContentLoaded', () => {
		window.written = [];
		const plate = document.querySelector('[data-plate]');
		new MutationObserver((list) => list.forEach(({ target, type }) => {
			const part = target.nodeType === Node.TEXT_NODE ? target.parentElement : target;
			if (!part.closest('[data-figure], [data-actions]')) written.push(type + ' in ' + part.outerHTML.slice(0, 90));
		})).observe(plate, { subtree: true, childList: true, characterData: true });
	})`
	for _, address := range vitalPages {
		tb := blank(t, view{width: 412, height: 823, still: true})
		_, err := chromedp.Call(tb.ctx, page.AddScriptToEvaluateOnNewDocument, page.AddScriptToEvaluateOnNewDocumentParams{Source: watched})
		must(t, err)
		tb.visit(t, origin+address)
		tb.settle(t)
		if list := eval[[]string](t, tb, `written`); len(list) > 0 {
			t.Errorf("%s: %d changes, the first %q", address, len(list), list[0])
		}
		eval[bool](t, tb, `(document.querySelector('[data-say]').textContent = 'anew', true)`) // the check of the check
		tb.until(t, `written.length > 0`)
		tb.clean(t)
	}
}

// BenchmarkFirstView gives the times of a first view on a slow phone. They mean something on a quiet machine only. A view before is not
// counted: in it the browser reads its own code and the fonts of the machine.
func BenchmarkFirstView(b *testing.B) {
	firstView(b, vitalPages[0])
	for _, address := range vitalPages {
		b.Run(address, func(b *testing.B) {
			var paint, blocked, shift float64
			for b.Loop() {
				v := firstView(b, address)
				paint, blocked, shift = paint+v.Paint, blocked+v.Blocked, shift+v.Shift
			}
			n := float64(b.N)
			b.ReportMetric(paint/n, "ms-to-largest-paint")
			b.ReportMetric(blocked/n, "ms-blocked")
			b.ReportMetric(shift/n, "shift")
		})
	}
}

// BenchmarkFirstAnswer gives the time from the start of the navigation until a quick check answers a link with a state of its own: on a
// slow phone with nothing in its cache, and on this machine when the calculators were loaded before: from an empty tab, for which the
// browser first starts a process, and from a page of the site. What is printed stands at the first paint.
func BenchmarkFirstAnswer(b *testing.B) {
	const noted = `new MutationObserver(() => { window.answered ??= performance.now() })
		.observe(document, { subtree: true, attributes: true, attributeFilter: ['data-link'] })`
	const address = "/checks/will-it-close/"
	ask := func(tb *tab, from, link string) float64 {
		tb.visit(b, from)
		tb.until(b, `document.readyState === 'complete'`)
		tb.visit(b, origin+link)
		tb.until(b, `window.answered > 0`)
		return eval[float64](b, tb, `window.answered`)
	}
	for b.Loop() {
		quick := blank(b, view{width: 412, height: 823, still: true})
		quick.early(b, noted)
		quick.visit(b, origin+address)
		quick.settle(b)
		link := address + eval[string](b, quick, `(() => {
			const plate = document.querySelector('[data-plate]');
			const { value, max } = plate.querySelector('[data-slider]');
			return '#' + plate.id + '?' + plate.querySelector('[data-field]:has([data-slider])').dataset.field + '=' + (Number(value) + Number(max)) / 2;
		})()`)
		b.ReportMetric(ask(quick, "about:blank", link), "ms-warm")
		b.ReportMetric(ask(quick, origin+"/lessons/the-finger/", link), "ms-warm-from-a-page")
		phoned := blank(b, phone)
		slow(b, phoned)
		phoned.early(b, noted)
		b.ReportMetric(ask(phoned, "about:blank", link), "ms-slow-and-cold")
		phoned.shut()
	}
	b.ReportMetric(0, "ns/op")
}

// What is changed in a form before its calculator has come is not lost, be it before any script but the head's: it counts when that comes.
func TestAChangeMadeBeforeTheCalculatorCameCounts(t *testing.T) {
	const change = `(() => {
		const put = (selector, value, kind) => {
			const input = document.querySelector(selector);
			input.value = value;
			input.dispatchEvent(new Event(kind, { bubbles: true }));
		};
		put('[data-field="mcp_flex"] [data-number]', '66', 'change');
		put('[data-field="pip_flex"] [data-slider]', '77', 'input');
		dispatchEvent(new Event('wheel'));
		return document.querySelector('[data-plate]').dataset.engine === 'off' && document.querySelector('[data-inputs]').getBoundingClientRect().height > 0;
	})()`
	for _, first := range []bool{true, false} {
		tb := blank(t, view{still: true, nobody: true})
		if first {
			tb.early(t, `addEventListener('DOMContentLoaded', () => { window.asleep = performance.getEntriesByName('alive').length === 0 && `+change+`; })`)
		}
		tb.visit(t, origin+"/plates/finger-curl/")
		tb.until(t, alive)
		if asleep := eval[bool](t, tb, map[bool]string{true: `window.asleep`, false: change}[first]); !asleep {
			t.Errorf("changed before the scripts: %v; the form is not there before the calculator, or the calculator was there first", first)
		}
		tb.settle(t)
		p := tb.plate(t, "finger-curl")
		if state, _ := p.states(t); !strings.Contains(state, "mcp_flex=66") || !strings.Contains(state, "pip_flex=77") {
			t.Errorf("changed before the scripts: %v; the state is %q, want both changes in it", first, state)
		}
		p.agrees(t)
		p.clean(t)
	}
}
