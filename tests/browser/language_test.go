package browser

import (
	"bytes"
	"fmt"
	"strconv"
	"strings"
	"testing"

	"centrode/calc/catalog/list"
	"centrode/calc/character"

	"github.com/chromedp/chromedp/kb"
)

func TestAPlateSpeaksTheLanguageOfItsPage(t *testing.T) {
	parallel(t)
	tb := open(t, "/de/plates/finger-curl/", view{still: true})
	tb.settle(t)
	p := tb.plate(t, "finger-curl")
	label := eval[string](t, tb, `document.querySelector('[data-field="mcp_flex"] label').textContent`)
	if label != "Beugung im Grundgelenk (MCP)" {
		t.Errorf("the field is called %q", label)
	}
	p.enter(t, "mcp_flex", "70", kb.Enter)
	p.drawn(t)
	if kind := eval[string](t, tb, p.at(`.querySelector('g[data-handle]').getAttribute('aria-roledescription')`)); kind != "beweglicher Punkt" {
		t.Errorf("a handle is a %q", kind)
	}
	if said := eval[string](t, tb, markedAs(p.at(`.querySelector('[data-say]')`))); !strings.HasPrefix(said, "de: Die Fingerbeere bleibt") {
		t.Errorf("the calculator says %q", said)
	}
	const surfaces = `[...document.querySelector('[data-answers] [data-answer="contacts"]').querySelectorAll('tbody td:first-child')].map((cell) => cell.closest('[lang]').lang + ': ' + cell.textContent).join(', ')`
	const printed = "de: Handfläche, de: erstes Segment, de: Endsegment"
	before := eval[string](t, tb, surfaces)
	p.enter(t, "mcp_flex", "85", kb.Enter)
	p.drawn(t)
	if after := eval[string](t, tb, surfaces); before != printed || after != printed {
		t.Errorf("the rod touches %q, and of another closing %q", before, after)
	}
	p.enter(t, "dip_flex", "180", kb.Enter)
	p.drawn(t)
	if told := eval[string](t, tb, markedAs(p.at(`.querySelector('[data-warnings]').lastElementChild`))); !strings.HasPrefix(told, "de: Bei einer Beugung von 180° im Endgelenk") {
		t.Errorf("the calculator warns %q", told)
	}
	if frame := p.press(t, "copy-embed"); !strings.Contains(frame, `title="How tightly a finger closes"`) {
		t.Errorf("a frame, which is English, is called %q", frame)
	}
	eval[string](t, tb, `(() => { Storage.prototype.setItem = (key, text) => { window.kept = text; }; document.querySelector('[data-action="add-sheet"]').click(); return ''; })()`)
	tb.until(t, `window.kept?.includes('"entries"')`) // and not in the store, which other tests share
	if entry := eval[string](t, tb, `JSON.parse(window.kept).entries.at(-1).title`); entry != "How tightly a finger closes" {
		t.Errorf("on a sheet, which is English, it is called %q", entry)
	}
	if copied := p.press(t, "copy-csv"); !strings.HasPrefix(copied, "mcp_pivot;pip_pivot;") || !strings.Contains(copied, "\n0,5;0,5;") {
		t.Errorf("for a spreadsheet it copies %q", copied)
	}
	tb.clean(t)
}

// markedAs is the language that an element is marked with, and its text.
func markedAs(element string) string {
	return `((element) => element.closest('[lang]').lang + ': ' + element.textContent)(` + element + `)`
}

// spokenEnglish lists the sentences of calculators, of the room and of worked examples that a German page shows in English.
const spokenEnglish = `[...document.querySelectorAll('[data-say], [data-verdict], [data-warnings] li, [data-current], [data-candidate], .card-say, .card-warnings li, .check-cast td.words, .compare .plate-say span:not(.side), .answer-table tbody td, [data-found-say], [data-found-rows] th, [data-will] li, [data-lose] li')]
	.filter((element) => !element.closest('table')?.tHead?.rows[0].cells[element.cellIndex]?.matches('[data-named]') && /[a-z]{3}/i.test(element.textContent.replace(/[0-9.]+/g, '')) && (element.closest('[lang]').lang === 'en' || / (the|of|and|is|are|no|to|with) /.test(element.textContent)))
	.map((element) => element.textContent)`

func TestAGermanPageShowsNoSentenceOfACalculatorInEnglish(t *testing.T) {
	parallel(t)
	tb := open(t, "/de/", view{still: true})
	addresses := []string{"/de/", "/de/checks/will-it-close/", "/de/checks/will-it-reach/", "/de/checks/how-far-off/", "/de/lessons/the-elbow/", "/de/lessons/side-by-side-review/"}
	for _, c := range list.All() {
		addresses = append(addresses, "/de/plates/"+c.Spec().ID+"/")
	}
	for _, address := range addresses {
		tb.visit(t, origin+address)
		tb.settle(t)
		for _, text := range eval[[]string](t, tb, spokenEnglish) {
			t.Errorf("%s shows %q", address, text)
		}
		if heard := eval[int](t, tb, `document.querySelectorAll('[data-say][lang="de"]').length`); heard == 0 && strings.Contains(address, "plates") {
			t.Errorf("%s says nothing in German", address)
		}
	}
	tb.clean(t)
}

// New numbers leave a choice as the page says it.
func TestNewNumbersLeaveChoicesInTheLanguageOfThePage(t *testing.T) {
	parallel(t)
	tb := open(t, "/de"+checkPage+"#closing?4821", view{still: true})
	tb.until(t, `[...document.querySelectorAll('[data-question]')].filter((q) => q.dataset.answer).length === `+strconv.Itoa(questions))
	given := eval[string](t, tb, `[...document.querySelectorAll('.closing-given td')].map((cell) => cell.textContent).join('; ')`)
	if english := "the pivot of each placement"; !strings.Contains(given, "dem Drehpunkt jeder Platzierung") || strings.Contains(given, english) {
		t.Errorf("given are %q", given)
	}
	tb.clean(t)
}

// Words are longer in German: on a phone buttons that stand under each other stand apart, and a choice shows all of its text.
func TestLongerWordsHaveRoomOnAPhone(t *testing.T) {
	parallel(t)
	tb := open(t, "/de"+checkPage, view{width: 360, height: 780, still: true})
	apart := eval[float64](t, tb, `((tools) => { tools.hidden = false; const [first, second] = [...tools.querySelectorAll('button')].map((button) => button.getBoundingClientRect()); return second.top > first.top ? second.top - first.bottom : second.left - first.right; })(document.querySelector('[data-closing-tools]'))`)
	if apart < 4 {
		t.Errorf("the buttons of the check are %v px apart", apart)
	}
	tb.visit(t, origin+"/de/fitting-room/")
	short := eval[float64](t, tb, `((select) => {
		for (let part = select; part; part = part.parentElement) part.hidden = false;
		document.querySelector('[data-room]').dataset.state = 'on';
		const wide = select.getBoundingClientRect().width;
		select.style.cssText = 'position: absolute; inline-size: max-content';
		return wide > 0 ? select.getBoundingClientRect().width - wide : 999;
	})(document.querySelector('[data-slice]'))`)
	if short > 1 {
		t.Errorf("the choice of a slice is %v px narrower than its text", short)
	}
}

func TestTheFittingRoomSpeaksTheLanguageOfItsPage(t *testing.T) {
	parallel(t)
	f := fitting{open(t, "/de/fitting-room/", view{still: true})}
	f.until(t, `document.querySelector('[data-room][data-state="on"]')`)
	f.settled(t)
	c := character.All()[1]
	name := "Arc" // a word of the room, which a joint may be called too
	f.begin(t, c.ID, bytes.ReplaceAll(c.GLB(), []byte(quote(c.Flawed)), []byte(fmt.Sprintf("%-*s", len(c.Flawed)+2, quote(name)))), name)
	f.press(t, "propose")
	f.until(t, `!document.querySelector('[data-found]').hidden`)
	f.settled(t)
	f.until(t, `document.querySelector('[data-map][lang="de"] svg .heat')`)
	if drawn := f.text(t, "[data-map] svg"); !strings.Contains(drawn, "Was Drehung allein übrig lässt, je nach Ort") || !strings.Contains(drawn, "Vorschlag") || strings.Contains(drawn, "proposed") {
		t.Errorf("the map says %q", drawn)
	}
	f.press(t, "plan")
	f.until(t, `!document.querySelector('[data-plan]').hidden`)
	for _, text := range eval[[]string](t, f.tab, spokenEnglish) {
		t.Errorf("the room shows %q", text)
	}
	if listed := f.text(t, "[data-values] tbody th"); listed != name {
		t.Errorf("the values of the joint %s are listed under %s", name, listed)
	}
	if will := f.text(t, "[data-will]"); !strings.Contains(will, name+" wird um") {
		t.Errorf("what will change is told as %q", will)
	}
	f.bring(t, "picture.glb", []byte("a picture, and no character"))
	f.until(t, `document.querySelector('[data-notice]').textContent.includes('beginnt nicht wie eine glTF-Datei')`)
	f.clean(t)
}

// What is refused is said in the language of the page, and marked as that; headings above cells may be those of the page.
func TestAGermanPageRefusesAndReadsInGerman(t *testing.T) {
	parallel(t)
	tb := open(t, "/de/plates/limb-fold/", view{still: true})
	tb.settle(t)
	p := tb.plate(t, "limb-fold")
	p.unfold(t)
	eval[bool](t, tb, `(document.querySelectorAll('details').forEach((d) => { d.open = true }), true)`)
	use := func(text string) string {
		eval[bool](t, tb, `((text) => { text.value = `+quote(text)+`; text.closest('[data-table]').querySelector('[data-do="use-text"]').click(); return true })(document.querySelector('[data-table="segments"] [data-table-text]'))`)
		tb.until(t, `document.querySelector('[data-table="segments"] [data-table-status]').textContent !== ''`)
		p.drawn(t)
		return eval[string](t, tb, `document.querySelector('[data-table="segments"] [data-table-status]').textContent`)
	}
	said := use("Länge (mm);Richtung in Ruhe;Untere Grenze;Obere Grenze\n105,5;0;0;90\n120,25;30;0;100\n")
	if rows := eval[string](t, tb, `[...document.querySelectorAll('[data-table="segments"] tbody tr')].slice(0, 2).map((row) => [...row.querySelectorAll('input')].map((cell) => cell.value).join(' ')).join(';')`); rows != "10.55 0 0 90;12.025 30 0 100" {
		t.Errorf("read as %q, and told %q", rows, said)
	}
	if said := use("Untere Grenze;Obere Grenze\n1;2\n"); !strings.Contains(said, "fehlt in der ersten Zeile") {
		t.Errorf("a column that is missing is told as %q", said)
	}
	tb.visit(t, origin+"/de/plates/pivot-offset/")
	tb.settle(t)
	p = tb.plate(t, "pivot-offset")
	p.enter(t, "angle", "abc", kb.Enter)
	tb.until(t, `!document.querySelector('[data-field="angle"] [data-error]').hidden`)
	if said := eval[string](t, tb, `(({ lang, textContent }) => lang + ': ' + textContent)(document.querySelector('[data-field="angle"] [data-error]'))`); !strings.HasPrefix(said, "de: ") || !strings.Contains(said, "muss ein Winkel sein") {
		t.Errorf("refused as %q", said)
	}
	tb.clean(t)
}

func TestTheOtherLanguageOpensAtTheSamePlaceAndIsOffered(t *testing.T) {
	parallel(t)
	tb := open(t, "/plates/pivot-offset/#plate-pivot-offset?angle=40", view{still: true})
	tb.settle(t)
	eval[bool](t, tb, `(document.querySelector('[data-language][hreflang="de"]').click(), true)`)
	tb.until(t, `document.documentElement.lang === 'de' && `+alive)
	if at := eval[string](t, tb, `location.pathname + location.hash`); at != "/de/plates/pivot-offset/#plate-pivot-offset?angle=40" {
		t.Errorf("it opens %s", at)
	}
	tb.visit(t, origin+"/glossary/")
	tb.until(t, `document.querySelector('.page-header [data-language]') !== null`)
	if words := eval[string](t, tb, `document.querySelector('.page-header [data-language]').textContent`); words != "Deutsch" {
		t.Errorf("the head of an English page offers %q", words)
	}
	tb.clean(t)
}

func TestTheSearchLeadsToPagesOfTheLanguage(t *testing.T) {
	parallel(t)
	tb := open(t, "/de/", view{still: true})
	tb.settle(t)
	eval[bool](t, tb, `(document.querySelector('[data-search]').click(), true)`)
	tb.until(t, `document.querySelector('dialog.search[open]') !== null`)
	eval[bool](t, tb, `((input) => { input.value = 'knee'; input.dispatchEvent(new Event('input')); return true })(document.getElementById('search-input'))`)
	tb.until(t, `document.querySelector('.search-result') !== null || !!document.getElementById('search-input').dispatchEvent(new Event('input')) && false`)
	if href := eval[string](t, tb, `document.querySelector('.search-result').getAttribute('href')`); !strings.HasPrefix(href, "/de/") {
		t.Errorf("a result leads to %s", href)
	}
	tb.clean(t)
}
