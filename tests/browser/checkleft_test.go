package browser

import (
	"regexp"
	"strconv"
	"testing"
)

// The numbers of a closing check go along into the other language, and so do the answers, to the last letter.
func TestAnswersOfACheckGoAlongIntoTheOtherLanguage(t *testing.T) {
	parallel(t)
	tb := open(t, checkPage, view{still: true})
	tb.until(t, `document.querySelector('[data-closing-begin]').hidden === false`)
	tb.run(t, `document.querySelector('[data-closing-begin] button').click()`)
	tb.until(t, `/^#closing\?[0-9]{4}$/.test(location.hash)`)
	stand := func(when string) {
		t.Helper()
		tb.until(t, `!('before' in window) && document.querySelectorAll('[data-question] input')[2]?.getClientRects().length > 0`)
		if got := eval[string](t, tb, `[...document.querySelectorAll('[data-question] input')].slice(1, 4).map(({ value }) => value).join('|')`); got != "1.5 cm|7|" {
			t.Errorf("%s the answers are %q", when, got)
		}
	}
	tb.run(t, `document.querySelectorAll('[data-question] input')[1].focus()`)
	tb.presses(t, "1.5 cm")
	tb.run(t, `document.querySelectorAll('[data-question] input')[2].focus()`)
	tb.presses(t, "7")
	set := eval[string](t, tb, `location.hash`)
	tb.run(t, `window.before = true; location.reload()`)
	stand("read again,")
	tb.run(t, `window.before = true; document.querySelector('a[data-language]').click()`)
	stand("in the other language")
	if at := eval[string](t, tb, `location.pathname + location.hash`); at != "/de"+checkPage+set {
		t.Errorf("the check goes on at %s", at)
	}
	tb.clean(t)
}

// Two checks that are under way in one tab, by their sets of numbers, keep their answers apart.
func TestTwoChecksInOneTabKeepTheirAnswersApart(t *testing.T) {
	parallel(t)
	tb := blank(t, view{still: true})
	checks := []string{"1234", "4321"}
	stands := func(check string) string {
		t.Helper()
		tb.visit(t, "about:blank")
		tb.visit(t, origin+checkPage+"#closing?"+check)
		tb.until(t, `document.querySelector('[data-question] input')?.getClientRects().length > 0 && document.querySelector('[data-closing-begin]').hidden`)
		return eval[string](t, tb, `document.querySelector('[data-question] input').value`)
	}
	for i, check := range checks {
		if at := stands(check); at != "" {
			t.Errorf("%s begins with %q", check, at)
		}
		tb.run(t, `document.querySelector('[data-question] input').focus()`)
		tb.presses(t, strconv.Itoa(i+1)+"7")
	}
	for i, check := range checks {
		if at := stands(check); at != strconv.Itoa(i+1)+"7" {
			t.Errorf("%s goes on with %q", check, at)
		}
	}
	tb.clean(t)
}

// A date with too long a year, as a slip of the keys makes it, leaves a finished check that can be read.
func TestADateOfAFarYearLeavesACheckThatIsRead(t *testing.T) {
	parallel(t)
	const answers = `#closing?1234?a=&a=&a=&a=&a=&a=&a=&a=&a=&a=`
	tb := open(t, checkPage+answers+`&date=20261-05-05`, view{still: true})
	tb.until(t, `document.querySelector('[data-closing]').hasAttribute('data-finished') || document.querySelector('[data-closing-notice]').textContent !== ''`)
	if said := eval[string](t, tb, `document.querySelector('[data-closing-notice]').textContent`); said != "" {
		t.Errorf("the page says %q", said)
	}
	tb.run(t, `const date = document.querySelector('#closing-date'); document.querySelector('[data-closing-end]').hidden = false; date.focus()`)
	tb.presses(t, "05052026")
	tb.presses(t, "1")
	if date := eval[string](t, tb, `document.querySelector('#closing-date').value`); !regexp.MustCompile(`^\d{4}-\d\d-\d\d$`).MatchString(date) {
		t.Errorf("a digit too many makes the date %q", date)
	}
	tb.clean(t)
}
