package browser

import (
	"slices"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"
)

// forceColours makes the browser paint in a few colours of the reader's own, dark on light or light on dark, as Windows does
// with a contrast theme; with force unset it paints as the page asks again.
func (tb *tab) forceColours(t testing.TB, force, dark bool) {
	t.Helper()
	features := view{still: true, dark: dark}.features()
	if force {
		features = append(features, &emulation.MediaFeature{Name: "forced-colors", Value: "active"})
	}
	_, err := chromedp.Call(tb.ctx, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Features: features})
	must(t, err)
	if in := eval[bool](t, tb, `(() => {
		const probe = document.body.appendChild(document.createElement('p'));
		probe.className = 'callout-caution callout-title'; // whose colour is the page's own
		const { backgroundColor, color } = getComputedStyle(document.documentElement);
		probe.remove();
		return matchMedia('(forced-colors: active)').matches && ['rgb(255, 255, 255)', 'rgb(0, 0, 0)'].includes(backgroundColor) && ['rgb(255, 255, 255)', 'rgb(0, 0, 0)'].includes(color);
	})()`); in != force {
		t.Fatalf("forced colours are in effect: %v, want %v", in, force)
	}
}

// keepsItsMeaning fails the test for what nobody can tell apart on the page once colours are forced, dark on light or light on
// dark: states, the two placements, the focus, what can be filled in or followed.
func keepsItsMeaning(t testing.TB, tb *tab, address string) (asked int) {
	t.Helper()
	usual := eval[[]string](t, tb, apart+`.states()`)
	for _, dark := range []bool{false, true} {
		tb.forceColours(t, true, dark)
		forced := eval[struct {
			States, Lost []string
			Asked        int
		}](t, tb, `(() => { const kit = `+apart+`, lost = kit.lost(); return { States: kit.states(), Lost: lost, Asked: kit.asked() }; })()`)
		for _, state := range usual {
			if !slices.Contains(forced.States, state) {
				forced.Lost = append(forced.Lost, "a state that cannot be seen: "+state)
			}
		}
		for _, lost := range forced.Lost {
			t.Errorf("%s in forced colours, dark ground %v: %s", address, dark, lost)
		}
		asked += forced.Asked + len(usual)
	}
	tb.forceColours(t, false, false)
	return asked
}

// apart is a small kit for the page: states lists the states that look like something, lost what does not look like what it is.
const apart = `(() => {
	let asked = 0;
	const ground = getComputedStyle(document.documentElement).backgroundColor;
	const clear = (colour) => colour === 'none' || colour === ground || /^rgba\(.*, 0\)$/.test(colour);
	const paint = ['color', 'fill', 'stroke', 'strokeWidth', 'strokeDasharray', 'textDecorationLine', 'textDecorationStyle', 'textDecorationThickness', 'fontWeight', 'fontStyle', 'opacity', 'visibility', 'boxShadow', 'content'];
	const sides = ['Top', 'Right', 'Bottom', 'Left'];
	// All that an eye has of an element.
	const look = (e) => [null, '::before', '::after'].map((part) => {
		const style = getComputedStyle(e, part);
		if (part && style.content === 'none') return '';
		const edges = sides.map((side) => parseFloat(style['border' + side + 'Width']) > 0 ? style['border' + side + 'Width'] + style['border' + side + 'Style'] + style['border' + side + 'Color'] : '');
		return [...paint.map((name) => style[name]), clear(style.backgroundColor) ? '' : style.backgroundColor, ...edges, style.outlineStyle === 'none' ? '' : style.outlineWidth + style.outlineStyle + style.outlineColor].join(' ');
	}).join('\n');
	const looks = (e) => [e, ...[...e.querySelectorAll('*')].slice(0, 30)].map(look).join('\n');
	const seen = (e) => e.checkVisibility({ visibilityProperty: true, opacityProperty: true });
	const name = (e) => e.tagName.toLowerCase() + (e.getAttribute('class') ? '.' + e.getAttribute('class').split(' ').join('.') : '');
	const system = (colour) => {
		const probe = document.body.appendChild(document.createElement('i'));
		const sheet = new CSSStyleSheet();
		sheet.replaceSync('i:last-child { color: ' + colour + ' !important }');
		document.adoptedStyleSheets.push(sheet);
		const is = getComputedStyle(probe).color;
		document.adoptedStyleSheets = document.adoptedStyleSheets.filter((one) => one !== sheet);
		probe.remove();
		return is;
	};

	const switches = { 'aria-pressed': ['true', 'false'], 'aria-selected': ['true', 'false'], 'aria-current': ['page', null], 'aria-invalid': ['true', null], 'data-good': ['true', 'false'],
		'data-result': ['right', 'wrong'], 'data-read': ['', null], 'data-moved': ['', null], 'data-over': ['', null], disabled: ['', null] };
	const classes = ['map-chosen', 'map-line-chosen', 'map-branch-chosen', 'handle-beyond', 'quiet', 'hl', 'gd', 'err'];
	const states = () => {
		const found = new Set();
		const compare = (e, key, set, unset) => {
			const before = looks(e);
			unset();
			if (looks(e) !== before) found.add(key + ' on ' + name(e));
			set();
		};
		for (const [attribute, [, off]] of Object.entries(switches)) {
			for (const e of document.querySelectorAll('[' + attribute + ']')) {
				const was = e.getAttribute(attribute);
				if (!seen(e)) continue;
				const other = was === off || (off !== null && was === 'false') ? switches[attribute][0] : off;
				compare(e, attribute, () => e.setAttribute(attribute, was), () => (other === null ? e.removeAttribute(attribute) : e.setAttribute(attribute, other)));
			}
		}
		for (const e of document.querySelectorAll('[data-as]')) {
			const was = e.dataset.as;
			compare(e, was, () => { e.dataset.as = was; }, () => { delete e.dataset.as; });
		}
		for (const one of classes) {
			for (const e of document.querySelectorAll('.' + one)) if (seen(e)) compare(e, 'class ' + one, () => e.classList.add(one), () => e.classList.remove(one));
		}
		return [...found];
	};

	const lost = () => {
		const list = new Set();
		const ink = system('CanvasText');
		const miss = (bad, e, what) => { asked++; if (bad) list.add(what + ': ' + name(e)); };
		const edge = (style, side) => parseFloat(style['border' + side + 'Width']) > 0 && !clear(style['border' + side + 'Color']);

		// Drawings: every stroke is on the paper, the ring is open, the diamond is filled, the line of the one is broken.
		for (const e of document.querySelectorAll('.figure :is(.marker, .line, .arrow, .tick, .dimension, text)')) {
			if (!seen(e) || e.closest('.handle-hit') || e.closest('mask, clipPath, pattern')) continue;
			const { fill, stroke, strokeDasharray } = getComputedStyle(e);
			miss(e.matches('text') ? clear(fill) : clear(fill) && clear(stroke), e, 'not to be seen');
			if (e.matches('.ring')) miss(!clear(fill), e, 'the ring is filled');
			if (e.matches('.diamond')) miss(clear(fill) && !e.closest('.handle-beyond'), e, 'the diamond is empty');
			const mark = e.closest('[class*="mark-"]') ?? e;
			if (e.matches('.line:not(.hair, .hatch-line)') && mark.matches('.mark-current')) miss(strokeDasharray === 'none', e, 'the current line is not broken');
			if (e.matches('.line') && mark.matches('.mark-candidate')) miss(strokeDasharray !== 'none', e, 'the candidate line is broken');
		}
		for (const e of document.querySelectorAll('.figure .label')) miss(clear(getComputedStyle(e).fill), e, 'a word without ink');
		for (const row of document.querySelectorAll('.plate-outputs thead tr')) {
			const [ring, diamond] = [2, 3].map((n) => row.children[n - 1]);
			if (!ring || !diamond || !seen(ring)) continue;
			miss(!edge(getComputedStyle(ring, '::before'), 'Top') || !clear(getComputedStyle(ring, '::before').backgroundColor), ring, 'no ring at the head');
			if (getComputedStyle(diamond, '::before').display !== 'none') miss(clear(getComputedStyle(diamond, '::before').backgroundColor), diamond, 'no diamond at the head');
		}

		// What can be filled in, pressed or followed.
		for (const e of document.querySelectorAll('input:not([type=hidden], [type=file]), select, textarea, .button')) {
			if (!seen(e)) continue;
			const style = getComputedStyle(e);
			const native = e.matches('[type=checkbox], [type=radio], [type=range]');
			if (native) miss(style.appearance === 'none', e, 'drawn by the page, whose colours are gone');
			else miss(!e.disabled && !sides.every((side) => edge(style, side)) && !style.textDecorationLine.includes('underline'), e, 'without an edge');
		}
		for (const e of document.querySelectorAll('progress')) miss(getComputedStyle(e).appearance === 'none', e, 'drawn by the page, whose colours are gone');
		for (const e of document.querySelectorAll('a[href], button')) {
			if (!seen(e) || e.closest('svg')) continue;
			const style = getComputedStyle(e);
			const lined = (one) => getComputedStyle(one).textDecorationLine.includes('underline');
			miss(style.color === ink && !lined(e) && !edge(style, 'Top') && ![...e.querySelectorAll('*')].some((one) => lined(one) || getComputedStyle(one).color !== ink), e, 'looks like text');
		}

		// Edges that say what a thing is.
		for (const e of document.querySelectorAll('.callout, .plate-notice, .room-notice, .closing-notice, blockquote, pre')) if (seen(e)) miss(!edge(getComputedStyle(e), getComputedStyle(e).direction === 'rtl' ? 'Right' : 'Left'), e, 'without its rule');
		for (const e of document.querySelectorAll('dialog, .term-definition, .plate-help, .page-failure, .sheet')) miss(!sides.some((side) => edge(getComputedStyle(e), side)), e, 'without an edge');
		const edges = [...document.querySelectorAll('.callout')].map((e) => [name(e), ['caution', 'mistake'].map((kind) => e.matches('.callout-' + kind)).join(), e.querySelector('.callout-sign')?.textContent]);
		for (const [which, , sign] of edges) if (!sign) list.add('no sign: ' + which);

		// The focus, once on each kind of thing that can have it.
		const kinds = new Map();
		for (const e of (document.querySelector('dialog[open]') ?? document.body).querySelectorAll('a[href], button, input:not([type=hidden]), select, textarea, summary, [tabindex="0"]')) {
			if (seen(e) && !e.disabled && !e.closest('.visually-hidden')) kinds.set(name(e) + name(e.parentElement), e);
		}
		for (const e of kinds.values()) {
			document.activeElement?.blur();
			const around = e.closest('.plate-table-file, .sheet-file, .room-choose') ?? e;
			const before = looks(around);
			e.focus({ preventScroll: true, focusVisible: true });
			const style = getComputedStyle(around);
			const hit = e.querySelector(':scope > :is(.handle-hit, .map-hit)');
			const shown = hit ? !clear(getComputedStyle(hit).stroke) && parseFloat(getComputedStyle(hit).strokeWidth) >= 2 : style.outlineStyle !== 'none' && parseFloat(style.outlineWidth) >= 2 && !clear(style.outlineColor);
			miss(document.activeElement !== e || looks(around) === before || !shown, e, 'the focus cannot be seen');
			e.blur();
		}
		return [...list];
	};
	return { states, lost, asked: () => asked };
})()`

// The check of the check: each kind of loss is provoked once.
func TestALostMeaningIsFound(t *testing.T) {
	parallel(t)
	tb := open(t, "/specimens/", view{width: 1280, height: 900, still: true})
	tb.settle(t)
	eval[bool](t, tb, `(document.querySelector('.prose').insertAdjacentHTML('beforeend', '<div class="plate-progress"><progress value="0.5" aria-label="so far"></progress></div><p class="page-failure">failed</p>'), true)`) // what comes on demand
	if asked := keepsItsMeaning(t, tb, "/specimens/"); asked < 200 {
		t.Errorf("only %d things were asked", asked)
	}
	usual := eval[[]string](t, tb, apart+`.states()`)
	tb.wear(t, `@media (forced-colors: active) { :focus-visible { outline: none !important } .callout { border: 0 !important } .figure .diamond { fill: Canvas !important } .figure .ring { fill: CanvasText !important } .figure .line.mark-current { stroke-dasharray: none !important } .figure .tick { stroke: Canvas !important } select { border: 0 !important } .prose p a { color: CanvasText !important; text-decoration: none !important } .specimen-state * { all: revert !important } .plate-outputs thead th::before { background: none !important } input[type=range] { appearance: none !important } }`)
	tb.forceColours(t, true, false)
	found := strings.Join(eval[[]string](t, tb, apart+`.lost()`), "\n")
	for _, want := range []string{"focus cannot be seen", "without its rule", "diamond is empty", "ring is filled", "is not broken", "not to be seen", "without an edge", "looks like text", "no diamond", "whose colours are gone"} {
		if !strings.Contains(found, want) {
			t.Errorf("%q is not found in:\n%s", want, found)
		}
	}
	if left := eval[[]string](t, tb, apart+`.states()`); len(left) >= len(usual) {
		t.Errorf("no state is missed: %q of %q", left, usual)
	}
}
