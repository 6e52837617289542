package browser

import (
	"strings"
	"testing"
)

// A number that is still being answered when its field is left for the other language goes along.
func TestAnEditUnderWayGoesAlongIntoTheOtherLanguage(t *testing.T) {
	parallel(t)
	p := openPlate(t, "finger-curl", "")
	p.enter(t, "mcp_pivot", "0.7", "")
	p.run(t, `const link = document.querySelector('a[data-language]'); link.focus(); link.click()`)
	p.until(t, `location.pathname.startsWith('/de/') && `+alive)
	if at := eval[string](t, p.tab, `location.hash`); !strings.Contains(at+"&", "mcp_pivot=0.7&") {
		t.Errorf("the German page opens at %q", at)
	}
	p.clean(t)
}

// Whoever presses another link while the language link waits for an answer goes where that one leads, on this page or another.
func TestTheLastLinkPressedIsTheOneThatIsFollowed(t *testing.T) {
	parallel(t)
	for _, other := range []string{`a[href="/glossary/"]`, `a[href^="#"]`} {
		tb := blank(t, view{still: true})
		tb.early(t, unasked)
		tb.visit(t, origin+"/plates/finger-curl/")
		tb.settle(t)
		tb.run(t, `window.silent = true`)
		tb.plate(t, "finger-curl").enter(t, "mcp_pivot", "0.7", "")
		tb.run(t, `document.querySelector('a[data-language]').focus()`)
		tb.until(t, `document.querySelector('[data-waiting="address"]')`)
		want := eval[string](t, tb, `document.querySelector(`+quote(other)+`).href`)
		tb.run(t, `document.querySelector('a[data-language]').click(); document.querySelector(`+quote(other)+`).click()
			document.querySelector('[data-waiting="address"]').removeAttribute('data-waiting'); window.left = performance.now()`) // the answer has come
		tb.until(t, `!(performance.now() < window.left + 500)`)
		tb.until(t, loaded)
		if at := eval[string](t, tb, `location.href`); at != want {
			t.Errorf("after %s: at %s, want %s", other, at, want)
		}
	}
}
