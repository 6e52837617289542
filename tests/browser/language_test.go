package browser

import (
	"strings"
	"testing"

	"github.com/chromedp/chromedp/kb"
)

func TestAPlateSpeaksTheLanguageOfItsPage(t *testing.T) {
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

func TestTheOtherLanguageOpensAtTheSamePlaceAndIsOffered(t *testing.T) {
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
	eval[bool](t, tb, `(localStorage.clear(), true)`)
	tb.clean(t)
}

func TestTheSearchLeadsToPagesOfTheLanguage(t *testing.T) {
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
