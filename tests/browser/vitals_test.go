package browser

import (
	"testing"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/chromedp"
)

// vitalPages are one page of each kind that a reader may arrive at first.
var vitalPages = []string{"/", "/lessons/the-finger/", "/plates/finger-curl/", "/checks/will-it-close/"}

// A phone in a poor place: 1.6 Mbit/s down, 0.75 up, 150 ms there and back, a processor four times as slow. Source: the mobile
// setting of Lighthouse 12 ("slow 4G", 4× CPU), applied at the network as DevTools does (its throttling guide).
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
	slow(t, tb)
	tb.visit(t, origin+address)
	tb.until(t, `document.readyState === 'complete' && document.fonts.status === 'loaded'`)
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

// BenchmarkFirstView gives the times of a first view on a slow phone. They mean something on a quiet machine only.
func BenchmarkFirstView(b *testing.B) {
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
