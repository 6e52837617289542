package browser

import (
	"testing"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"
)

// contrasts measures what stands on the ground of a page: the least contrast of each kind of thing, by the definition of WCAG 2.2.
const contrasts = `(() => {
	const context = Object.assign(document.createElement('canvas'), { width: 1, height: 1 }).getContext('2d', { willReadFrequently: true });
	const luminance = (colour) => {
		context.clearRect(0, 0, 1, 1);
		context.fillStyle = colour;
		context.fillRect(0, 0, 1, 1);
		const [r, g, b] = [...context.getImageData(0, 0, 1, 1).data].map((v) => (v / 255 <= 0.04045 ? v / 255 / 12.92 : ((v / 255 + 0.055) / 1.055) ** 2.4));
		return 0.2126 * r + 0.7152 * g + 0.0722 * b;
	};
	const ratio = (a, b) => { const [l, m] = [luminance(a), luminance(b)]; return (Math.max(l, m) + 0.05) / (Math.min(l, m) + 0.05); };
	const clear = (colour) => colour === 'none' || /^rgba\(.*, 0\)$/.test(colour);
	const ground = (e) => { for (; e; e = e.parentElement) { const { backgroundColor } = getComputedStyle(e); if (!clear(backgroundColor)) return backgroundColor; } return 'white'; };
	const paper = ground(document.documentElement);
	const probe = document.body.appendChild(document.createElement('ul'));
	probe.className = 'plate-warnings';
	const caution = getComputedStyle(probe).color;
	probe.remove();
	const least = {};
	const note = (kind, colour, on) => { if (!clear(colour)) least[kind] = Math.min(least[kind] ?? 21, ratio(colour, on)); };
	for (const e of document.querySelectorAll('main *')) {
		if (!e.checkVisibility({ visibilityProperty: true, opacityProperty: true })) continue;
		const style = getComputedStyle(e);
		const letters = [...e.childNodes].some((node) => node.nodeType === Node.TEXT_NODE && node.data.trim());
		if (letters && e.closest('svg')) note('words of a drawing', style.fill, paper);
		else if (letters) note(style.color === caution ? 'cautions' : 'text', style.color, ground(e));
		if (e.matches('.figure :is(.line, .dimension:not(text), .extension, .leader)')) note('lines of a drawing', style.stroke, paper);
		if (e.matches('input:not([type=range], [type=checkbox], [type=radio], [type=file]), select, textarea')) note('borders of fields', style.borderTopColor, ground(e));
		else if (!e.closest('svg') && parseFloat(style.borderTopWidth) > 0) note('rules', style.borderTopColor, ground(e.parentElement));
	}
	const field = document.querySelector('main :is(input:not([type=range]), a[href])');
	field.focus({ focusVisible: true, preventScroll: true });
	note('the ring of the focus', getComputedStyle(field).outlineColor, ground(field));
	least['width of the ring'] = parseFloat(getComputedStyle(field).outlineWidth);
	return least;
})()`

// Who asks for more contrast gets it: words, hairlines, edges of fields, the marks of a drawing, the ring of the focus.
func TestMoreContrastIsGivenWhereItIsAskedFor(t *testing.T) {
	parallel(t)
	tb := open(t, "/plates/finger-curl/", view{still: true})
	for _, address := range []string{"/plates/finger-curl/", "/lessons/the-finger/", "/specimens/"} {
		tb.visit(t, origin+address)
		tb.settle(t)
		eval[bool](t, tb, unfold)
		for _, dark := range []bool{false, true} {
			measure := func(more string) map[string]float64 {
				features := append(view{still: true, dark: dark}.features(), &emulation.MediaFeature{Name: "prefers-contrast", Value: more})
				_, err := chromedp.Call(tb.ctx, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Features: features})
				must(t, err)
				eval[bool](t, tb, drawnTwice)
				return eval[map[string]float64](t, tb, contrasts)
			}
			usual, more := measure("no-preference"), measure("more")
			t.Logf("%s, dark %v: %v, more %v", address, dark, usual, more)
			for kind, want := range map[string]float64{"text": 7, "cautions": 5.5, "words of a drawing": 5.5, "lines of a drawing": 5.5, "borders of fields": 7, "rules": 4.5, "the ring of the focus": 12} {
				got, asked := more[kind]
				if was := usual[kind]; asked && (got < want || got < was) {
					t.Errorf("%s, dark %v: %s have a contrast of %.2f, want at least %g, and %.2f where none is asked for", address, dark, kind, got, want, was)
				} else if !asked && address != "/lessons/the-finger/" && kind != "words of a drawing" && kind != "cautions" {
					t.Errorf("%s holds no %s", address, kind)
				}
			}
			if more["width of the ring"] <= usual["width of the ring"] {
				t.Errorf("%s, dark %v: the ring of the focus is %g px wide, and %g where more contrast is asked for", address, dark, usual["width of the ring"], more["width of the ring"])
			}
		}
	}
	tb.clean(t)
}

// A contrast theme of the system asks for both more contrast and its own colours: then what has the focus is in its colour for that,
// in a drawing as elsewhere.
func TestColoursOfAReadersOwnStandAboveMoreContrast(t *testing.T) {
	parallel(t)
	p := openPlate(t, "finger-curl", "")
	features := append(view{still: true}.features(), &emulation.MediaFeature{Name: "forced-colors", Value: "active"}, &emulation.MediaFeature{Name: "prefers-contrast", Value: "more"})
	_, err := chromedp.Call(p.ctx, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Features: features})
	must(t, err)
	p.run(t, p.at(`.querySelector('g[data-handle]').focus({ focusVisible: true, preventScroll: true })`))
	got := eval[[2]string](t, p.tab, `(() => {
		const probe = document.body.appendChild(document.createElement('i'));
		probe.style.color = 'Highlight';
		const both = [getComputedStyle(`+p.at(`.querySelector('g[data-handle]:focus-visible .handle-hit')`)+`).stroke, getComputedStyle(probe).color];
		probe.remove();
		return both;
	})()`)
	if got[0] != got[1] {
		t.Errorf("the ring of a handle is %s, want the colour of what is marked, %s", got[0], got[1])
	}
	p.clean(t)
}
