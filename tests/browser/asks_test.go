package browser

import "testing"

// countsAsks counts what a page asks its engine, by function, where the calculators run in the page.
const countsAsks = `{
	window.asked = {};
	let ready;
	Object.defineProperty(window, 'centrodeReady', {
		configurable: true,
		get: () => (api) => {
			for (const name of Object.keys(api)) {
				const own = api[name];
				api[name] = (...args) => {
					window.asked[name] = (window.asked[name] ?? 0) + 1;
					return own(...args);
				};
			}
			ready(api);
		},
		set: (given) => { ready = given; },
	});
}`

// To ask the engine takes a twentieth of a millisecond, whatever is asked: a map of 48 rows is not asked for row by row, and what has no
// stages is asked for in one.
func TestAnAnswerIsAskedForInFewParts(t *testing.T) {
	parallel(t)
	const events = 20
	for id, most := range map[string]float64{"placement-map": 24 * events, "finger-curl": 0} {
		p := openAtOnce(t, id, noWorker+countsAsks)
		eval[[]float64](t, p.tab, "edited(4, true)")
		before := eval[map[string]float64](t, p.tab, "window.asked")
		eval[[]float64](t, p.tab, "edited(20, true)")
		after := eval[map[string]float64](t, p.tab, "window.asked")
		if finished := after["finish"] - before["finish"]; finished < events/2 {
			t.Fatalf("%s: of %d events %.0f were answered", id, events, finished)
		}
		if steps := after["step"] - before["step"]; steps > most {
			t.Errorf("%s: %.0f parts were asked for in %d events, at most %.0f are expected", id, steps, events, most)
		}
		p.clean(t)
	}
}
