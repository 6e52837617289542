package browser

import (
	"strings"
	"testing"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"
)

// insets is what a phone takes of its window for a notch, its corners and its own bar, px.
type insets struct{ top, right, bottom, left int64 }

// phones are a phone with a notch, upright and on its side. // derived: as large as any phone's known to us, by common practice
var phones = []struct {
	width, height int64
	takes         insets
}{
	{360, 740, insets{top: 48, bottom: 34}},
	{740, 360, insets{left: 59, right: 59, bottom: 21}},
}

func (tb *tab) inset(t testing.TB, takes insets) {
	t.Helper()
	_, err := chromedp.Call(tb.ctx, emulation.SetSafeAreaInsetsOverride, emulation.SetSafeAreaInsetsOverrideParams{
		Insets: &emulation.SafeAreaInsets{Top: &takes.top, Right: &takes.right, Bottom: &takes.bottom, Left: &takes.left}})
	must(t, err)
}

// keepsClear fails the test for words, controls and handles that lie where a phone has its notch, its corners or its bar.
func keepsClear(t testing.TB, tb *tab, address string) {
	t.Helper()
	for _, p := range phones {
		tb.resize(t, p.width, p.height)
		tb.inset(t, p.takes)
		if got := eval[insetsSeen](t, tb, insetsOf); got != (insetsSeen{p.takes.top, p.takes.right, p.takes.bottom, p.takes.left}) {
			t.Fatalf("the page sees insets of %v, want %v", got, p.takes)
		}
		for _, under := range eval[[]string](t, tb, underTheNotch) {
			t.Errorf("%s on a phone of %d by %d px that takes %v: %s", address, p.width, p.height, p.takes, under)
		}
	}
	tb.inset(t, insets{})
	eval[bool](t, tb, `(scrollTo(0, 0), true)`)
}

type insetsSeen [4]int64

// insetsOf is what the page's own style would be told: top, right, bottom, left.
const insetsOf = `(() => {
	const sheet = new CSSStyleSheet();
	sheet.replaceSync('#probe-insets { position: fixed; padding: env(safe-area-inset-top) env(safe-area-inset-right) env(safe-area-inset-bottom) env(safe-area-inset-left) }');
	document.adoptedStyleSheets.push(sheet);
	const probe = document.body.appendChild(Object.assign(document.createElement('i'), { id: 'probe-insets' }));
	const { paddingTop, paddingRight, paddingBottom, paddingLeft } = getComputedStyle(probe);
	probe.remove();
	document.adoptedStyleSheets = document.adoptedStyleSheets.filter((one) => one !== sheet);
	return [paddingTop, paddingRight, paddingBottom, paddingLeft].map((one) => Math.round(parseFloat(one)));
})()`

// underTheNotch lists what lies there: at the sides anywhere on the page, above at its beginning, below at its end, and above
// whatever stays in sight.
const underTheNotch = `(() => {
	const found = [];` + naming + `
	const [top, right, bottom, left] = ` + insetsOf + `;
	const pieces = (root) => {
		const list = [];
		const add = (e, box) => { if (box.width > 1 && box.height > 1) list.push({ e, box }); };
		const walk = document.createTreeWalker(root, NodeFilter.SHOW_TEXT);
		while (walk.nextNode()) {
			const { parentElement: e } = walk.currentNode;
			if (walk.currentNode.data.trim() === '' || !seen(e) || e.closest('.table-scroll, .formula, pre, math, script, noscript, select, textarea, .visually-hidden, .skip-link, .entry-scroll, .room-tree, .search-results, dialog:not([open])')) continue;
			const range = document.createRange();
			range.selectNodeContents(walk.currentNode);
			for (const box of range.getClientRects()) add(e, new DOMRect(box.x, box.y + 0.2 * box.height, box.width, 0.7 * box.height)); // a letter's box is taller than its line
		}
		for (const e of root.querySelectorAll('button, input, select, textarea, .handle-hit, progress')) if (seen(e) && !e.closest('.table-scroll, .visually-hidden, .entry-scroll, .map-scroll')) add(e, e.getBoundingClientRect());
		return list;
	};
	const open = document.querySelector('dialog[open]');
	const root = open ?? document.body;
	scrollTo(0, 0);
	for (const { e, box } of pieces(root)) {
		if (box.left < left - 0.5 || box.right > innerWidth - right + 0.5) found.push('under the side: ' + name(e));
		if (box.top < top - 0.5 && (open || box.top > -scrollY)) found.push('under the top: ' + name(e));
		if (open && open.scrollHeight <= open.clientHeight && box.bottom > innerHeight - bottom + 0.5) found.push('under the bar: ' + name(e));
	}
	if (open?.getBoundingClientRect().bottom > innerHeight - bottom) found.push('under the bar: ' + name(open));
	if (!open) {
		scrollTo(0, document.documentElement.scrollHeight);
		for (const { e, box } of pieces(root)) if (box.bottom > innerHeight - bottom + 0.5) found.push('under the bar at the end: ' + name(e));
		for (const e of document.querySelectorAll('main *, .page-failure')) {
			const { position } = getComputedStyle(e);
			if ((position !== 'sticky' && position !== 'fixed') || !seen(e) || e.matches('th')) continue;
			const around = e.parentElement.getBoundingClientRect();
			const room = around.height - e.getBoundingClientRect().height - top - 10;
			if (room <= 0) continue;
			scrollTo(0, scrollY + around.top + Math.min(around.height / 2, room));
			const drawn = [...e.querySelectorAll('svg.figure')].map((svg) => ({ e: svg, box: svg.getBoundingClientRect() }));
			for (const { e: part, box } of [...pieces(e), ...drawn]) if (box.top < top - 0.5) found.push('under the top where it stays in sight: ' + name(part));
		}
	}
	return [...new Set(found)].slice(0, 6);
})()`

// The check of the check.
func TestWhatLiesUnderANotchIsFound(t *testing.T) {
	parallel(t)
	tb := open(t, "/glossary/", view{width: 740, height: 360, still: true})
	tb.settle(t)
	tb.inset(t, insets{top: 48, right: 59, bottom: 34, left: 59})
	tb.wear(t, `.page-main, .page-header, .page-footer { padding: 0 !important } .probe-kept { position: sticky; inset-block-start: 0 }`)
	eval[bool](t, tb, `(() => {
		document.querySelector('main').insertAdjacentHTML('beforeend', '<section><p class="probe-kept">kept in sight</p>' + '<p>text</p>'.repeat(60) + '</section>');
		return true;
	})()`)
	found := strings.Join(eval[[]string](t, tb, strings.Replace(underTheNotch, ".slice(0, 6)", "", 1)), "\n")
	for _, want := range []string{"under the side", "under the top:", "under the bar at the end", "under the top where it stays"} {
		if !strings.Contains(found, want) {
			t.Errorf("%q is not found in:\n%.600s", want, found)
		}
	}
}
