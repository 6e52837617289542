package browser

import (
	"flag"
	"fmt"
	"slices"
	"testing"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/heapprofiler"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"

	"centrode/calc/catalog/list"
)

var drags = flag.Int("drags", 900, "movements of the pointer after which memory must be what it was after a third of them, or after 1,000")

// atOnce lets a page be edited as fast as it can: a made-up pointer may be captured. calculatorsMemory is what the calculators compute
// in where they run in the page.
const atOnce = `{
	Element.prototype.setPointerCapture = () => {};
	const instantiate = WebAssembly.instantiate;
	WebAssembly.instantiate = async (...given) => {
		const made = await instantiate(...given);
		window.calculatorsMemory = made.exports.mem;
		return made;
	};
	/** ms from each event to the finished drawing, numbers and words; without the layout and the wait for a frame. Framed: what was
	    changed is laid out before the next event, as it is before a hand moves on; else each event lays out what the one before left. */
	window.edited = async (times, framed) => {
		const took = [];
		const plate = document.querySelector('[data-plate]');
		const place = plate.querySelector('[data-figure]');
		const hit = place.querySelector('g[data-handle="0"] .handle-hit');
		const field = plate.querySelector('input[type="range"]') ?? [...plate.querySelectorAll('[data-table] tbody tr:first-child input')].at(-1);
		const act = async (send) => {
			const began = performance.now();
			send();
			if (plate.hasAttribute('data-waiting')) {
				await new Promise((shown) => new MutationObserver((_, observer) => {
					if (plate.hasAttribute('data-waiting')) return;
					observer.disconnect();
					shown();
				}).observe(plate, { attributeFilter: ['data-waiting'] }));
			}
			took.push(performance.now() - began);
		};
		const pointer = (type, clientX, clientY) => (type === 'pointerdown' ? hit : place).dispatchEvent(
			new PointerEvent(type, { bubbles: true, cancelable: true, clientX, clientY, pointerId: 7, buttons: 1, isPrimary: true }));
		const rest = () => new Promise((resolve) => (framed ? requestAnimationFrame(() => setTimeout(resolve)) : setTimeout(resolve)));
		const { x, y, width, height } = (hit ?? field).getBoundingClientRect();
		const at = [x + width / 2, y + height / 2];
		if (hit) pointer('pointerdown', ...at);
		const start = Number(field?.value);
		for (let i = 1; i <= times; i += 1) {
			if (hit) await act(() => pointer('pointermove', at[0] + (i * 7) % 31, at[1] - (i * 5) % 17));
			else {
				await act(() => {
					field.value = String(start + Number(field.step || 1) * (i % 9));
					field.dispatchEvent(new InputEvent(field.type === 'range' ? 'input' : 'change', { bubbles: true }));
				});
			}
			await rest();
		}
		if (hit) pointer('pointerup', ...at);
		return took;
	};
}`

// noWorker is a browser that gives a page no worker, as in some frames: the calculators then run in the page itself.
const noWorker = `delete window.Worker;`

// openAtOnce opens the plate of a calculator as it is printed, in a browser on which a script was tried first.
func openAtOnce(t testing.TB, calculator, first string) livePlate {
	t.Helper()
	return openAtOnceIn(t, "", calculator, first)
}

// openAtOnceIn does so in a language, below whose path its pages lie.
func openAtOnceIn(t testing.TB, language, calculator, first string) livePlate {
	t.Helper()
	tb := blank(t, view{still: true})
	tb.early(t, first+atOnce)
	tb.visit(t, origin+language+"/plates/"+calculator+"/")
	tb.settle(t)
	return tb.plate(t, calculator)
}

// spare is what memory may grow by while collectors settle: a leak of thirty bytes a movement shows in 10,000.
const spare = 256e3

// spareMemory is two of the steps in which Go takes memory: the first movements may not have needed the last one yet.
const spareMemory = 2 << 18

// The heap of the page and the memory of the calculators stay as they were when both were warm. That memory is seen where the
// calculators run in the page; the worker runs the same script.
func TestDraggingLeavesNothingBehind(t *testing.T) {
	for _, plate := range []struct{ language, id, browser string }{{"", "finger-curl", noWorker}, {"", "hinge-arc", ""}, {"/de", "hinge-arc", noWorker}} {
		id, browser := plate.id, plate.browser
		p := openAtOnceIn(t, plate.language, id, browser)
		first, _ := p.states(t)
		measure := func(times int) (heap, memory float64) {
			if took := eval[[]float64](t, p.tab, fmt.Sprintf("edited(%d)", times)); len(took) != times {
				t.Fatalf("%s: %d of %d movements were made", id, len(took), times)
			}
			_, err := chromedp.Call(p.ctx, heapprofiler.CollectGarbage, cdp.Empty{})
			must(t, err)
			used, err := chromedp.Call(p.ctx, runtime.GetHeapUsage, cdp.Empty{})
			must(t, err)
			return used.UsedSize, eval[float64](t, p.tab, "window.calculatorsMemory?.buffer.byteLength ?? 0")
		}
		warm := min(*drags/3, 1000)
		heap, memory := measure(warm)
		if moved, _ := p.states(t); moved == first {
			t.Fatalf("%s: the state did not change", id)
		}
		later, laterMemory := measure(*drags - warm)
		if (browser == noWorker) != (memory > 0) {
			t.Errorf("%s: the calculators' memory in the page is %.0f bytes", id, memory)
		}
		t.Logf("%s, %d movements: the page's heap %.2f MB, then %.2f; the calculators' memory %.1f MB, then %.1f", id, *drags, heap/1e6, later/1e6, memory/1e6, laterMemory/1e6)
		if later > heap+spare {
			t.Errorf("%s: the page's heap grew by %.0f kB", id, (later-heap)/1e3)
		}
		if laterMemory > memory+spareMemory {
			t.Errorf("%s: the calculators' memory grew by %.0f kB", id, (laterMemory-memory)/1e3)
		}
		p.clean(t)
	}
}

// How long from an event of the pointer, or of a field where a drawing has no handle, until drawing, numbers and words are those of the
// new state. What a worker answers later is not counted. Run with -benchtime 1x.
func BenchmarkEvent(b *testing.B) {
	for _, c := range list.All() {
		id := c.Spec().ID
		b.Run(id, func(b *testing.B) {
			p := openAtOnce(b, id, "")
			first, _ := p.states(b)
			var took []float64
			for b.Loop() {
				took = append(took, eval[[]float64](b, p.tab, "edited(400, true)")...)
			}
			if moved, _ := p.states(b); moved == first {
				b.Skip("what was edited did not change the state, so nothing was measured")
			}
			slices.Sort(took)
			b.ReportMetric(took[len(took)/2], "ms/median")
			b.ReportMetric(took[len(took)*99/100], "ms/p99")
			b.ReportMetric(0, "ns/op")
			p.clean(b)
		})
	}
}
