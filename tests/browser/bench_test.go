package browser

import (
	"slices"
	"testing"

	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/chromedp"
)

// How long from a movement of the mouse until the frame that shows it has been drawn: calculation, drawing, layout and
// paint. One round is a drag of ninety movements over the plate as it is printed. Run with -benchtime 1x.
func BenchmarkDrag(b *testing.B) {
	for _, id := range []string{"pivot-offset", "finger-curl", "hinge-arc", "reseat", "bend-section"} {
		b.Run(id, func(b *testing.B) {
			p := openPlate(b, id, "")
			eval[bool](b, p.tab, watchFrames)
			var all []float64
			for b.Loop() {
				at := p.middle(b, handle(0)+" .handle-hit")
				p.mouse(b, "press", at)
				for i := range 90 {
					p.mouse(b, "move", point{at.X + float64(i%30), at.Y - float64(i%20)})
				}
				p.mouse(b, "release", at)
				p.drawn(b)
				all = append(all, eval[[]float64](b, p.tab, `drawnAfter.splice(0)`)...)
			}
			if len(all) < 30 {
				b.Fatalf("only %d frames were seen", len(all))
			}
			slices.Sort(all)
			b.ReportMetric(all[len(all)/2], "ms/median")
			b.ReportMetric(all[len(all)*99/100], "ms/p99")
			b.ReportMetric(0, "ns/op")
			p.clean(b)
		})
	}
}

// watchFrames notes, for each movement that a frame shows, the time from the event to after that frame's paint: a
// message posted in the frame is delivered once it has been handed on.
const watchFrames = `(() => {
	window.drawnAfter = [];
	addEventListener('pointermove', ({ timeStamp }) => requestAnimationFrame(() => {
		const { port1, port2 } = new MessageChannel();
		port1.onmessage = () => drawnAfter.push(performance.now() - timeStamp);
		port2.postMessage(0);
	}));
	return true;
})()`

// What a page weighs over the wire, compressed as the host sends it: as it comes, then with its scripts. What a worker fetches is not counted.
func BenchmarkPageWeight(b *testing.B) {
	for _, slug := range []string{"the-finger", "the-owed-translation", "measuring-a-character"} {
		b.Run(slug, func(b *testing.B) {
			var plain, whole int
			for b.Loop() {
				plain = weigh(b, "/lessons/"+slug+"/", true)
				whole = weigh(b, "/lessons/"+slug+"/", false)
			}
			b.ReportMetric(float64(plain), "bytes/printed")
			b.ReportMetric(float64(whole), "bytes/live")
			b.ReportMetric(0, "ns/op")
		})
	}
}

// weigh opens the page, without scripts when printed, with an empty cache and returns what came over the wire.
func weigh(b *testing.B, address string, printed bool) int {
	b.Helper()
	tb := blank(b, view{noScript: printed, still: true})
	_, err := chromedp.Call(tb.ctx, network.SetCacheDisabled, network.SetCacheDisabledParams{CacheDisabled: true})
	must(b, err)
	tb.visit(b, origin+address)
	tb.until(b, loaded+` && document.fonts.status === 'loaded'`)
	if !printed {
		tb.settle(b)
	}
	tb.mu.Lock()
	defer tb.mu.Unlock()
	return tb.received
}
