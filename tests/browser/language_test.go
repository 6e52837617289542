package browser

import (
	"strings"
	"testing"

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
	if lang := eval[string](t, tb, p.at(`.querySelector('[data-say]').lang`)); lang != "en" {
		t.Errorf("the sentence of the calculator is marked %q", lang)
	}
	tb.clean(t)
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
