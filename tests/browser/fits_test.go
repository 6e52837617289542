package browser

import (
	"strings"
	"testing"
)

// structure are the rules of axe-core that other words or another direction can break and that cost little.
const structure = `runOnly: { type: 'rule', values: ['html-has-lang', 'html-lang-valid', 'valid-lang', 'document-title', 'label', 'link-name', 'button-name', 'select-name', 'summary-name',
	'heading-order', 'page-has-heading-one', 'landmark-one-main', 'landmark-unique', 'list', 'listitem', 'definition-list', 'dlitem', 'svg-img-alt', 'aria-valid-attr-value', 'aria-allowed-attr', 'aria-required-children', 'duplicate-id-aria', 'tabindex'] }`

// windows are those that every page type is looked at in: a phone, a desk of 1280 px at 400 %, a phone held sideways, a tablet, and wide desks. In the
// second language, whose words are longer, the narrow and the middle one tell what can differ.
var windows = map[string][][2]int64{
	"en": {{320, 640}, {320, 225}, {740, 360}, {768, 1024}, {1600, 900}, {2560, 1440}},
	"de": {{320, 640}, {1280, 900}},
}

// Every page type, in both languages, with all that folds opened: in no window does it scroll sideways, carry lines too long to read, lay words
// over words, offer a target too small for a finger, or keep so much in sight that the rest has no room. From right to left it holds as well. What a page
// type owes to a reader's own colours, to one who wants no motion and to a phone with a notch is asked while it is open.
func TestEveryPageTypeFitsEveryWindow(t *testing.T) {
	parallel(t)
	for _, language := range []struct{ tag, under string }{{"en", ""}, {"de", "/de"}} {
		var addresses []string
		for _, k := range kinds {
			addresses = append(addresses, language.under+addressOf(t, k.address, k.folder))
		}
		handles, asked := 0, 0
		each(t, addresses, view{width: 1280, height: 900, still: true}, func(tb *tab, address string) {
			tb.settle(t)
			if language.under != "" {
				bringAxe(t, tb)
				openBy(t, tb, structure, 6)
				if astray := eval[[]string](t, tb, linksAstray); len(astray) > 0 {
					t.Errorf("%s: links leave the language: %v", address, astray)
				}
			}
			if got := eval[string](t, tb, `document.documentElement.lang`); got != language.tag {
				t.Errorf("%s says that its language is %q", address, got)
			}
			if language.under == "" {
				keepsStill(t, tb, address)
				asked += keepsItsMeaning(t, tb, address)
				keepsClear(t, tb, address)
			}
			eval[bool](t, tb, unfold)
			for _, size := range windows[language.tag] {
				tb.resize(t, size[0], size[1])
				for _, trouble := range eval[[]string](t, tb, misfits) {
					t.Errorf("%s in a window of %d by %d: %s", address, size[0], size[1], trouble)
				}
			}
			handles += eval[int](t, tb, `document.querySelectorAll('[data-engine="on"] .handle-hit').length`)
			if language.under != "" {
				return
			}
			eval[bool](t, tb, `(document.documentElement.dir = 'rtl', true)`)
			for _, size := range [][2]int64{{1280, 900}, {320, 640}} {
				tb.resize(t, size[0], size[1])
				for _, trouble := range eval[[]string](t, tb, misfits) {
					t.Errorf("%s from right to left in a window of %d by %d: %s", address, size[0], size[1], trouble)
				}
				for _, trouble := range eval[[]string](t, tb, mirrored) {
					t.Errorf("%s from right to left in a window of %d by %d: %s", address, size[0], size[1], trouble)
				}
			}
		})
		if language.under == "" && handles < 5 {
			t.Errorf("only %d handles were measured", handles)
		}
		if language.under == "" && asked < 3000 {
			t.Errorf("only %d things were asked for their meaning in forced colours", asked)
		}
	}
}

// What a reader may choose can be read whole: in no plate is a choice narrower than the words of its options. The picker of starting
// values is left out, since its names are sentences and a phone shows them over the page.
func TestNoChoiceCutsTheWordsOfItsOptions(t *testing.T) {
	parallel(t)
	measured := 0
	each(t, append(pagesIn(t, "plates"), pagesIn(t, "de/plates")...), view{width: 1280, height: 900, still: true}, func(tb *tab, address string) {
		tb.settle(t)
		for _, size := range [][2]int64{{1280, 900}, {320, 640}} {
			tb.resize(t, size[0], size[1])
			for _, cut := range eval[[]string](t, tb, cutChoices) {
				t.Errorf("%s in a window of %d by %d: %s", address, size[0], size[1], cut)
			}
		}
		measured += eval[int](t, tb, `document.querySelectorAll('select[data-choice]').length`)
	})
	if measured < 20 {
		t.Errorf("only %d choices were measured", measured)
	}
}

// cutChoices lists the choices whose widest option does not fit into them.
const cutChoices = `[...document.querySelectorAll('select[data-choice]')].flatMap((e) => {
	const whole = e.cloneNode(true);
	Object.assign(whole.style, { position: 'absolute', inlineSize: 'max-content', minInlineSize: '0', maxInlineSize: 'none' });
	e.after(whole);
	const wanted = whole.offsetWidth;
	whole.remove();
	return wanted > e.offsetWidth + 1 ? ['the choice ' + e.id + ' has ' + e.offsetWidth + ' px, and its words want ' + wanted] : [];
})`

// linksAstray are the links of a German page that lead to one in another language, but for those that say so.
const linksAstray = `[...document.querySelectorAll('a[href^="/"]:not([download])')].map((a) => a.getAttribute('href'))
	.filter((href) => !/^\/((de|assets)\/|changes\.atom$)/.test(href) && !document.querySelector('a[data-language][href="' + href + '"]'))`

// resize changes the window and lets drawings be laid out for it.
func (tb *tab) resize(t testing.TB, width, height int64) {
	t.Helper()
	tb.window(t, width, height)
	tb.until(t, `new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(() => setTimeout(() => done(!document.querySelector('[data-plate][data-waiting]'))))))`)
}

// naming is what several scripts of the tests tell elements by: whether one is seen, and its name for a person.
const naming = `
	const seen = (e) => e.checkVisibility({ visibilityProperty: true, opacityProperty: true });
	const name = (e) => e.tagName.toLowerCase() + '.' + (e.getAttribute('class') ?? '') + ' “' + (e.getAttribute('aria-label') ?? e.textContent).trim().slice(0, 30) + '”';
`

// misfits lists what does not fit the window as the page stands.
const misfits = `(() => {
	const found = [];` + naming + `
	const root = document.documentElement;
	if (root.scrollWidth > root.clientWidth) found.push('it is ' + (root.scrollWidth - root.clientWidth) + ' px too wide');
	const out = [...document.querySelectorAll('body *')].filter((e) => {
		const box = e.getBoundingClientRect();
		return box.width > 1 && (box.right > innerWidth + 1 || box.left < -1) && seen(e) && !e.closest('.table-scroll, .formula, pre, .visually-hidden, svg, dialog, .room-tree, .entry-scroll');
	});
	if (out.length > 0) found.push('beyond the edge: ' + out.slice(0, 3).map(name).join(', '));

	// Lines: the characters of a paragraph over its lines.
	for (const p of document.querySelectorAll('main p')) {
		const { length } = p.innerText; // what is shown of it
		if (length < 220 || !seen(p)) continue;
		const range = document.createRange();
		range.selectNodeContents(p);
		const lines = new Set([...range.getClientRects()].map((box) => Math.round(box.bottom / 6))).size;
		if (length / lines > 90) found.push('lines of ' + Math.round(length / lines) + ' characters: ' + name(p));
	}

	// Targets: 24 px each way, but for links in a line of text (WCAG 2.5.8); 44 px for what is dragged.
	for (const e of document.querySelectorAll('a[href], button, input:not([type=hidden]), select, textarea, summary, [role=treeitem]')) {
		if (!seen(e) || e.closest('.visually-hidden, .skip-link, svg')) continue;
		const box = ((e.matches('[type=checkbox], [type=radio], [type=file]') && e.closest('label')) || e).getBoundingClientRect();
		if (box.width === 0 || (box.width >= 23.9 && box.height >= 23.9)) continue;
		const around = e.closest('p, li, dd, dt, td, th, caption, figcaption, legend, summary, .value-cell');
		if (getComputedStyle(e).display === 'inline' && around && around.textContent.trim() !== e.textContent.trim()) continue;
		found.push('a target of ' + Math.round(box.width) + ' by ' + Math.round(box.height) + ' px: ' + name(e));
	}
	for (const e of document.querySelectorAll('[data-engine="on"] .handle-hit, .probe .handle-hit')) {
		const box = e.getBoundingClientRect();
		if (seen(e) && Math.min(box.width, box.height) < 43.5) found.push('a handle of ' + Math.round(box.width) + ' by ' + Math.round(box.height) + ' px');
	}

	// What keeps in sight, and is not beside the rest.
	const kept = [...document.querySelectorAll('main *')].filter((e) => ['sticky', 'fixed'].includes(getComputedStyle(e).position) && seen(e) && e.tagName !== 'TH' && e.parentElement.getBoundingClientRect().height > e.getBoundingClientRect().height + 20)
		.map((e) => e.getBoundingClientRect()).filter((box) => box.width > 0.6 * innerWidth).reduce((most, box) => Math.max(most, box.height), 0);
	if (kept > 0.55 * innerHeight) found.push('what stays in sight takes ' + Math.round(kept) + ' px');
	const stage = document.querySelector('.room-stage')?.getBoundingClientRect();
	if (stage && stage.height > 0.65 * innerHeight && innerHeight > 300) found.push('the drawing, which does not scroll the page, takes ' + Math.round(stage.height) + ' px');

	// Words over words.
	const texts = [];
	const walk = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
	while (walk.nextNode()) {
		const { parentElement: e } = walk.currentNode;
		if (walk.currentNode.data.trim() === '' || !seen(e) || e.closest('svg, math, select, .visually-hidden, .skip-link, dialog, textarea, script, noscript, pre, .room-tree')) continue;
		const range = document.createRange();
		range.selectNodeContents(walk.currentNode);
		for (const box of range.getClientRects()) if (box.width > 4) texts.push({ box, e });
	}
	texts.sort((a, b) => a.box.top - b.box.top);
	const high = (t) => t.box.height * 0.3;
	for (let i = 0; i < texts.length; i++) {
		for (let j = i + 1; j < texts.length && texts[j].box.top < texts[i].box.bottom - high(texts[i]); j++) {
			const [a, b] = [texts[i].box, texts[j].box];
			if (Math.min(a.right, b.right) - Math.max(a.left, b.left) > 3 && Math.min(a.bottom, b.bottom) - Math.max(a.top, b.top) > 0.45 * Math.min(a.height, b.height)) {
				found.push('words over words: ' + name(texts[i].e) + ' and ' + name(texts[j].e));
				j = i = texts.length;
			}
		}
	}
	return [...new Set(found)].slice(0, 8);
})()`

// mirrored lists numbers that a page from right to left shows with the unit or the sign on the wrong side, and words of drawings that
// would hang on their anchors by the other end.
const mirrored = `(() => {
	const found = [];
	const walk = document.createTreeWalker(document.querySelector('main'), NodeFilter.SHOW_TEXT);
	while (walk.nextNode()) {
		const { data, parentElement: e } = walk.currentNode;
		const number = /[−+-]?\d[\d.]*[\s\u00a0](?:cm²?|mm)(?![a-z])|[−-]\d[\d.]*/.exec(data);
		if (!number || !e.closest('td, data, output, .figure, .plate-unit') || e.closest('math, [lang]:not(html), pre, code') || !e.checkVisibility({ visibilityProperty: true })) continue;
		const at = (i) => { const range = document.createRange(); range.setStart(walk.currentNode, i); range.setEnd(walk.currentNode, i + 1); return range.getBoundingClientRect().left; };
		if (at(number.index) > at(number.index + number[0].length - 1)) found.push('reads backwards: ' + number[0] + ' in ' + e.tagName.toLowerCase() + '.' + e.getAttribute('class'));
	}
	for (const e of document.querySelectorAll('[data-number], .entry-table input, .exercise-answer, .figure text, .map text')) {
		if (getComputedStyle(e).direction !== 'ltr') found.push('runs from right to left: ' + e.tagName.toLowerCase() + '.' + e.getAttribute('class'));
	}
	return [...new Set(found)].slice(0, 5);
})()`

// The check of the check: each kind of misfit is provoked once.
func TestAMisfitIsFound(t *testing.T) {
	parallel(t)
	tb := open(t, "/glossary/", view{width: 320, height: 640, still: true})
	tb.settle(t)
	if found := eval[[]string](t, tb, misfits); len(found) > 0 {
		t.Errorf("before anything is wrong: %q", found)
	}
	tb.wear(t, `.probe-wide { inline-size: 5000px } .probe-wide > p { font-size: 4px; inline-size: 1500px } .probe-over { position: relative; inset-block-start: -3.2em } .probe-small { min-block-size: 0; font-size: 6px; block-size: 8px; display: block } .probe-kept { position: sticky; inset-block-start: 0; block-size: 90vh }`)
	eval[bool](t, tb, `(() => {
		document.querySelector('main').insertAdjacentHTML('beforeend', '<div class="probe-wide"><p>' + 'word '.repeat(60) + '</p></div><p>above above</p><p class="probe-over">below below</p><button class="probe-small">x</button><div><div class="probe-kept"></div><p>beside</p><p>beside</p></div>'
			+ '<svg class="probe" width="20" height="20"><rect class="handle-hit" width="20" height="20"></rect></svg>');
		return true;
	})()`)
	told := strings.Join(eval[[]string](t, tb, misfits), "\n")
	for _, want := range []string{"px too wide", "beyond the edge", "characters", "a target of", "a handle of", "stays in sight", "words over words"} {
		if !strings.Contains(told, want) {
			t.Errorf("%q is not found in:\n%s", want, told)
		}
	}
	tb.wear(t, `td, [data-number] { direction: rtl !important }`)
	eval[bool](t, tb, `(() => {
		document.documentElement.dir = 'rtl';
		document.querySelector('main').insertAdjacentHTML('beforeend', '<table><tr><td>−1.50\u00a0cm</td></tr></table><input data-number>');
		return true;
	})()`)
	told = strings.Join(eval[[]string](t, tb, mirrored), "\n")
	for _, want := range []string{"reads backwards: −1.50\u00a0cm", "runs from right to left: input"} {
		if !strings.Contains(told, want) {
			t.Errorf("%q is not found in:\n%s", want, told)
		}
	}
}
