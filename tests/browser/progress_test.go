package browser

import (
	"strconv"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
)

// seedProgress notes lessons as read and exercises as solved, as their pages would.
func seedProgress(t testing.TB, tb *tab, record string) {
	t.Helper()
	eval[bool](t, tb, `(localStorage.setItem('centrode-progress', `+strconv.Quote(record)+`), true)`)
}

const someProgress = `{"format":"centrode-progress-1","lessons":{"what-placement-decides":{"read":true},"the-finger":{"read":true}},` +
	`"exercises":{"the-finger/pell-rod":{"tries":2,"own":true,"fresh":1,"shown":false},"the-finger/mitten-depth":{"tries":1,"own":false,"fresh":0,"shown":true}}}`

// A path from its first lesson to its end, each marked at its foot as a reader does.
func TestAPathIsFinished(t *testing.T) {
	parallel(t)
	tb := open(t, "/paths/onboarding/", view{})
	eval[bool](t, tb, `(localStorage.clear(), true)`)
	tb.visit(t, origin+"/paths/onboarding/?again")
	tb.until(t, alive+` && document.querySelector('[data-course-standing]').hidden`)
	lessons := eval[[]string](t, tb, `[...document.querySelectorAll('[data-lesson-row] a')].map((a) => a.getAttribute('href'))`)
	if len(lessons) != 8 {
		t.Fatalf("the path has %d lessons", len(lessons))
	}
	for i, address := range lessons {
		tb.visit(t, origin+address)
		tb.until(t, `document.querySelector('[data-lesson-end]').hidden === false`)
		eval[bool](t, tb, `(document.querySelector('[data-mark-read]').click(), true)`)
		line := eval[string](t, tb, `document.querySelector('.lesson-paths a[href="/paths/onboarding/"]').closest('li').textContent`)
		if want := "lessons read: " + strconv.Itoa(i+1) + " of 8"; !strings.Contains(line, want) {
			t.Errorf("%s says %q, want %q", address, line, want)
		}
		next := "/paths/onboarding/check/"
		if i+1 < len(lessons) {
			next = lessons[i+1]
		}
		if got := eval[string](t, tb, `document.querySelector('.lesson-paths a[href="/paths/onboarding/"]').closest('li').querySelector('.path-next a').getAttribute('href')`); got != next {
			t.Errorf("%s leads on to %s, want %s", address, got, next)
		}
		tb.visit(t, origin+"/paths/onboarding/")
		tb.until(t, `!document.querySelector('[data-course-standing]').hidden`)
		standing := eval[string](t, tb, `document.querySelector('[data-course-standing]').textContent`)
		if !strings.HasPrefix(standing, "Lessons read: "+strconv.Itoa(i+1)+" of 8. Exercises solved: 0 of ") {
			t.Errorf("after %s the path stands as %q", address, standing)
		}
		if got := eval[string](t, tb, `new URL(document.querySelector('[data-course-next] a').href).pathname`); got != next {
			t.Errorf("the path goes on with %s, want %s", got, next)
		}
		if eval[bool](t, tb, `document.querySelector('[data-course-next] a').hasAttribute('lang')`) {
			t.Error("on an English page the way on is marked as of another language, or of none that is known")
		}
		if !eval[bool](t, tb, `document.querySelector('a.map-place[href="`+address+`"]').hasAttribute('data-read')`) {
			t.Errorf("the map does not mark %s", address)
		}
	}
	tb.clean(t)
}

// Lists show what is done, and nothing to a reader who has done nothing.
func TestListsShowWhatIsDone(t *testing.T) {
	parallel(t)
	tb := open(t, "/parts/2/", view{})
	seedProgress(t, tb, someProgress)
	tb.visit(t, origin+"/parts/2/?again")
	tb.until(t, `document.querySelector('[data-lesson-row="the-finger"] [data-standing]').textContent === 'Read, exercises solved: 1 of 3'`)
	if n := eval[int](t, tb, `document.querySelectorAll('[data-lesson-row] [data-standing]:not([hidden])').length`); n != 1 {
		t.Errorf("%d lessons are marked", n)
	}
	tb.clean(t)
}

// offer hands the page a file as if the reader had chosen it, and returns what the page says.
func offer(t testing.TB, tb *tab, content string) string {
	t.Helper()
	eval[bool](t, tb, `(document.querySelector('[data-progress-status]').textContent = '', true)`)
	choose(t, tb, "#progress-file", content)
	tb.until(t, `document.querySelector('[data-progress-status]').textContent !== ''`)
	return eval[string](t, tb, `document.querySelector('[data-progress-status]').textContent`)
}

func openProgress(t testing.TB, record string) *tab {
	t.Helper()
	tb := open(t, "/progress/", view{})
	if record == "" {
		eval[bool](t, tb, `(localStorage.clear(), true)`)
	} else {
		seedProgress(t, tb, record)
	}
	tb.visit(t, origin+"/progress/?again")
	tb.until(t, `document.querySelector('[data-progress-tools]')?.hidden === false`)
	return tb
}

// What is saved in one browser is read in another, and added to what is there.
func TestProgressIsSavedReadAndForgotten(t *testing.T) {
	parallel(t)
	tb := openProgress(t, someProgress)
	if got := eval[string](t, tb, `document.querySelector('[data-course-standing]').textContent`); !strings.HasPrefix(got, "Lessons read: 2 of 34. Exercises solved: 1 of 85.") {
		t.Errorf("the page says %q", got)
	}
	file := eval[string](t, tb, `new Promise((done) => {
		const make = URL.createObjectURL;
		URL.createObjectURL = (blob) => (blob.text().then(done), make(blob));
		HTMLAnchorElement.prototype.click = () => {};
		document.querySelector('[data-save]').click();
	})`)
	if !strings.HasPrefix(file, "{\n \"format\": \"centrode-progress-1\",") || !strings.Contains(file, "pell-rod") {
		t.Fatalf("the file is %s", file)
	}
	eval[bool](t, tb, `(document.querySelector('[data-forget]').click(), true)`)
	if got := eval[string](t, tb, `document.querySelector('[data-loss]').textContent`); !strings.Contains(got, "lessons read, 2; exercises solved, 1; exercises only tried, 1") {
		t.Errorf("before forgetting it says %q", got)
	}
	eval[bool](t, tb, `(document.querySelector('[data-keep]').click(), true)`)
	if got := eval[string](t, tb, `localStorage.getItem('centrode-progress')`); !strings.Contains(got, "pell-rod") {
		t.Error("it forgot what was to be kept")
	}
	eval[bool](t, tb, `(document.querySelector('[data-forget]').click(), document.querySelector('[data-forget-now]').click(), true)`)
	if got := eval[string](t, tb, `localStorage.getItem('centrode-progress')`); strings.Contains(got, "finger") {
		t.Errorf("it still has %s", got)
	}
	seedProgress(t, tb, `{"format":"centrode-progress-1","lessons":{"the-hip":{"read":true}},"exercises":{"the-finger/pell-rod":{"tries":5,"own":false,"fresh":0,"shown":false}}}`)
	for range 2 { // reading it twice changes nothing
		if got := offer(t, tb, file); got != "Added. Lessons read: 2. Exercises tried or solved: 2. What was here already stays." {
			t.Errorf("reading the file says %q", got)
		}
		got := strings.NewReplacer("\n", "", " ", "").Replace(eval[string](t, tb, `localStorage.getItem('centrode-progress')`))
		if want := `"the-finger/pell-rod":{"tries":5,"own":true,"fresh":1,"shown":false}`; !strings.Contains(got, want) || !strings.Contains(got, "the-hip") || !strings.Contains(got, "what-placement-decides") {
			t.Errorf("the record is %s", got)
		}
	}
	tb.clean(t)
}

// A file that is none of ours, broken or altered, changes nothing and runs nothing.
func TestAHostileFileOfProgressIsRefusedWhole(t *testing.T) {
	parallel(t)
	tb := openProgress(t, someProgress)
	const refused, long = "This is no progress file, or it was altered. Nothing was changed.", "The file is over 1\u00a0MB, so it is no progress file. Nothing was changed."
	wrap := func(lessons, exercises string) string {
		return `{"format":"centrode-progress-1","lessons":{` + lessons + `},"exercises":{` + exercises + `}}`
	}
	for name, c := range map[string]struct{ text, want string }{
		"nothing":              {" ", refused},
		"no JSON":              {"alert(1)", refused},
		"a list":               {"[]", refused},
		"null":                 {"null", refused},
		"another format":       {strings.Replace(someProgress, "progress-1", "progress-2", 1), refused},
		"an unknown member":    {strings.Replace(someProgress, `"lessons"`, `"run":"x","lessons"`, 1), refused},
		"markup for a name":    {wrap(`"<img src=x onerror=window.hacked=1>":{"read":true}`, ""), refused},
		"a name of all things": {wrap(`"__proto__":{"read":true}`, ""), refused},
		"read is a number":     {wrap(`"the-hip":{"read":1}`, ""), refused},
		"one bad among good":   {wrap(`"the-hip":{"read":true}`, `"the-hip/a":{"tries":-1,"own":true,"fresh":0,"shown":false}`), refused},
		"huge tries":           {wrap("", `"the-hip/a":{"tries":1e300,"own":true,"fresh":0,"shown":false}`), refused},
		"deep":                 {strings.Repeat("[", 100_000), refused},
		"too many":             {wrap(strings.TrimSuffix(many(5001), ","), ""), refused},
		"over a megabyte":      {strings.Repeat(" ", 1<<20) + someProgress, long},
	} {
		t.Run(name, func(t *testing.T) {
			before := eval[string](t, tb, `localStorage.getItem('centrode-progress')`)
			if got := offer(t, tb, c.text); got != c.want {
				t.Errorf("it says %q", got)
			}
			if after := eval[string](t, tb, `localStorage.getItem('centrode-progress')`); after != before || eval[bool](t, tb, `'hacked' in window`) {
				t.Errorf("the record became %s", after)
			}
		})
	}
	tb.clean(t)
}

func many(n int) string {
	var b strings.Builder
	for i := range n {
		b.WriteString(`"a` + strconv.Itoa(i) + `":{"read":true},`)
	}
	return b.String()
}

// A record that somebody altered in the browser is taken for none, and a browser that keeps nothing says so.
func TestProgressWithoutStorage(t *testing.T) {
	parallel(t)
	tb := openProgress(t, `{"format":"centrode-progress-1","lessons":{"x":{"read":"yes"}},"exercises":{}}`)
	if !eval[bool](t, tb, `document.querySelector('[data-course-standing]').hidden`) {
		t.Error("an altered record is shown")
	}
	must(t, chromedp.Do(tb.ctx, chromedp.Navigate("about:blank")))
	c := openExercise(t, "the-owed-translation", "pin-debt", view{})
	eval[bool](t, c.tab, `(Storage.prototype.setItem = () => { throw new DOMException('full', 'QuotaExceededError'); }, true)`)
	if kind, _ := c.answer(t, "11.624"); kind != "right" {
		t.Errorf("a right answer is %s", kind)
	}
	if got := c.text(t, "[data-exercise-standing]"); got != "Solved" {
		t.Errorf("the exercise stands as %q", got)
	}
	if got := eval[string](t, c.tab, `document.querySelector('[data-lesson-end] [data-standing]').textContent`); !strings.HasPrefix(got, "exercises solved: 1 of 2. This browser does not let the page remember anything") {
		t.Errorf("the lesson says %q", got)
	}
	c.clean(t)
	// What was kept before, when there was room, does not take the place of what the page has.
	full := openProgress(t, `{"format":"centrode-progress-1","lessons":{"the-hip":{"read":true}},"exercises":{}}`)
	full.visit(t, origin+"/lessons/the-knee/")
	full.settle(t)
	full.run(t, `Storage.prototype.setItem = () => { throw new DOMException('full', 'QuotaExceededError'); }`)
	full.run(t, `document.querySelector('[data-mark-read]').click()`)
	if pressed := eval[string](t, full, `document.querySelector('[data-mark-read]').getAttribute('aria-pressed')`); pressed != "true" {
		t.Errorf("a lesson marked as read where nothing more can be kept stands as %q, want it marked", pressed)
	}
	full.clean(t)
}

// A record of a later form is another edition's: it stays as it is, whatever is done, and the page says so.
func TestProgressOfALaterFormIsLeftAlone(t *testing.T) {
	parallel(t)
	const later, says = `{"format":"centrode-progress-2","lessons":["the-hip"]}`, "was written by a later edition of this site"
	tb := openProgress(t, later)
	stands := func(after string) {
		t.Helper()
		if got := eval[string](t, tb, `localStorage.getItem('centrode-progress')`); got != later {
			t.Errorf("after %s the record is %s", after, got)
		}
	}
	if got := eval[string](t, tb, `document.querySelector('[data-progress-notice]:not([hidden])')?.textContent ?? ''`); !strings.Contains(got, says) {
		t.Errorf("the page of progress says %q", got)
	}
	if got := offer(t, tb, someProgress); !strings.HasPrefix(got, "Added.") {
		t.Errorf("a file that is read says %q", got)
	}
	stands("a file was read")
	tb.run(t, `document.querySelector('[data-forget]').click(); document.querySelector('[data-forget-now]').click()`)
	if got := eval[string](t, tb, `document.querySelector('[data-progress-status]').textContent`); !strings.Contains(got, says) {
		t.Errorf("asked to forget, the page says %q", got)
	}
	stands("all was to be forgotten")
	tb.visit(t, origin+"/lessons/the-knee/")
	tb.settle(t)
	tb.run(t, `document.querySelector('[data-mark-read]').click()`)
	stands("a lesson was marked")
	if got := eval[string](t, tb, `document.querySelector('[data-lesson-end]').textContent`); !strings.Contains(got, "Read.") || !strings.Contains(got, says) {
		t.Errorf("the lesson says %q", got)
	}
	tb.clean(t)
}

// It may come from another tab while the page is open, and go again.
func TestALaterRecordOfAnotherTabIsTold(t *testing.T) {
	parallel(t)
	tb := openProgress(t, someProgress)
	other := open(t, "/glossary/", view{still: true})
	notice := `document.querySelector('[data-progress-notice]:not([hidden])')?.textContent ?? ''`
	other.run(t, `localStorage.setItem('centrode-progress', '{"format":"centrode-progress-2"}')`)
	tb.until(t, `(`+notice+`).includes('a later edition')`)
	other.run(t, `localStorage.clear()`)
	tb.until(t, `(`+notice+`) === ''`)
	other.clean(t)
	tb.clean(t)
}

// Without scripts nothing is offered that needs one.
func TestProgressAndCheckWithoutScripts(t *testing.T) {
	parallel(t)
	for address, want := range map[string]string{"/progress/": "Without scripts nothing is noted", "/paths/onboarding/check/": "Without scripts the same exercises stand in their lessons"} {
		tb := open(t, address, view{noScript: true})
		text := eval[string](t, tb, `document.querySelector('main').innerText`)
		buttons := eval[int](t, tb, `[...document.querySelectorAll('main :is(button, input)')].filter((b) => b.getClientRects().length > 0).length`)
		if !strings.Contains(text, want) || buttons > 0 {
			t.Errorf("%s shows %d controls and says %s", address, buttons, text)
		}
		tb.clean(t)
	}
	tb := open(t, "/lessons/the-owed-translation/", view{noScript: true})
	if n := eval[int](t, tb, `[...document.querySelectorAll('main :is([data-numbers], [data-lesson-end], form)')].filter((b) => b.getClientRects().length > 0).length`); n > 0 {
		t.Errorf("a lesson shows %d things that need a script", n)
	}
	tb.clean(t)
}
