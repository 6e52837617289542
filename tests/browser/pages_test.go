package browser

import (
	"io/fs"
	"os"
	"path"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
)

// kinds are the page types, each with an address of its own or a folder whose first page stands for all.
var kinds = []struct{ name, address, folder string }{
	{"home", "/", ""},
	{"all lessons", "/lessons/", ""},
	{"a lesson", "", "lessons"},
	{"a part", "", "parts"},
	{"a path", "", "paths"},
	{"all plates", "/plates/", ""},
	{"a plate", "", "plates"},
	{"glossary", "/glossary/", ""},
	{"sources", "/sources/", ""},
	{"cast", "/cast/", ""},
	{"all quick checks", "/checks/", ""},
	{"a quick check", "", "checks"},
	{"the closing check of a path", "/paths/onboarding/check/", ""},
	{"the sheet", "/sheet/", ""},
	{"progress", "/progress/", ""},
	{"without a network", "/offline/", ""},
	{"changes", "/changes/", ""},
	{"the fitting room", "/fitting-room/", ""},
	{"specimens", "/specimens/", ""},
}

// pagesIn lists the addresses of the pages one folder down, in order.
func pagesIn(t testing.TB, folder string) []string {
	t.Helper()
	files, err := fs.Glob(os.DirFS(public), path.Join(folder, "*", "index.html"))
	if err != nil {
		t.Fatal(err)
	}
	slices.Sort(files)
	for i, file := range files {
		files[i] = "/" + strings.TrimSuffix(file, "index.html")
	}
	if len(files) == 0 {
		t.Fatalf("the site has no page in /%s/", folder)
	}
	return files
}

func addressOf(t testing.TB, address, folder string) string {
	t.Helper()
	if folder != "" {
		return pagesIn(t, folder)[0]
	}
	return address
}

func TestNoPageTypeHasTrouble(t *testing.T) {
	parallel(t)
	for _, v := range []struct {
		name string
		view view
	}{{"desk", view{}}, {"phone", phone}, {"dark phone", view{width: 360, height: 740, dark: true, still: true}}, {"no scripts", view{noScript: true}}} {
		tb := blank(t, v.view) // one for all pages: a new one costs as much as a page
		for _, k := range kinds {
			t.Run(k.name+"/"+v.name, func(t *testing.T) {
				tb.forget()
				tb.visit(t, origin+addressOf(t, k.address, k.folder))
				if !v.view.noScript {
					tb.settle(t)
				}
				if title := eval[string](t, tb, `document.title`); title == "" {
					t.Error("the page has no title")
				}
				if count := eval[int](t, tb, `document.querySelectorAll('h1').length`); count != 1 {
					t.Errorf("%d headings of the first level, want 1", count)
				}
				if wide := eval[int](t, tb, `document.documentElement.scrollWidth - document.documentElement.clientWidth`); wide > 0 {
					t.Errorf("the page is %d px wider than its window", wide)
				}
				if len(tb.asked()) < 2 {
					t.Errorf("the page asked for %v; at least its style sheet was expected, so the harness may not see requests", tb.asked())
				}
				tb.clean(t)
			})
		}
		tb.shut()
	}
}

// Every single page fits a small phone and a desk at four times the size (320 px is a window of 1280 px at 400 %), with all
// that folds opened, and loads without trouble.
func TestEveryPageFitsAPhone(t *testing.T) {
	parallel(t)
	var addresses []string
	for _, folder := range []string{"lessons", "parts", "paths", "plates"} {
		addresses = append(addresses, pagesIn(t, folder)...)
	}
	addresses = append(addresses, "/", "/lessons/", "/paths/", "/plates/", "/glossary/", "/sources/", "/cast/")
	if len(addresses) < 47 {
		t.Errorf("only %d pages", len(addresses))
	}
	each(t, addresses, phone, func(tb *tab, address string) {
		tb.until(t, alive+` && document.fonts.status === 'loaded'`)
		eval[bool](t, tb, `(document.querySelectorAll('details').forEach((part) => { part.open = true; }), true)`)
		for _, size := range []view{phone, {width: 320, height: 225}} {
			tb.window(t, size.width, size.height)
			if wide := eval[int](t, tb, tooWide); wide > 0 {
				t.Errorf("%s is %d px wider than a window of %d px: %s", address, wide, size.width, eval[string](t, tb, whatIsWide))
			}
		}
		tb.window(t, phone.width, phone.height)
	})
}

// tooWide is by how much the page is wider than its window, in px; whatIsWide names what sticks out.
const (
	tooWide    = `document.documentElement.scrollWidth - document.documentElement.clientWidth`
	whatIsWide = `[...document.querySelectorAll('body *')].filter((e) => e.getBoundingClientRect().right > innerWidth + 1 && !e.closest('.table-scroll, .formula, pre'))
		.slice(0, 6).map((e) => e.tagName + '.' + e.className + ' ' + e.textContent.trim().slice(0, 40)).join(' | ')`
)

func TestAnUnknownAddressShowsThePageForIt(t *testing.T) {
	parallel(t)
	tb := open(t, "/lessons/no-such-lesson/", view{width: 320, height: 225})
	if wide := eval[int](t, tb, tooWide); wide > 0 {
		t.Errorf("it is %d px wider than a window of 320 px: %s", wide, eval[string](t, tb, whatIsWide))
	}
	if links := eval[int](t, tb, `document.querySelectorAll('main a[href]').length`); links == 0 {
		t.Error("the page for unknown addresses leads nowhere")
	}
	tb.visit(t, origin+"/lessons/%E0%A4/") // no address that can be read
	tb.until(t, alive+` && performance.getEntriesByType('resource').some(({ name }) => name.endsWith('/index.json'))`)
	if eval[bool](t, tb, `document.querySelector('.page-failure') !== null`) {
		t.Error("a broken address is told as a failure of the page's scripts")
	}
	for _, line := range tb.troubles() {
		if !strings.Contains(line, "404") { // the browser logs the status of the page itself
			t.Error(line)
		}
	}
}

func TestALessonWithoutScriptsShowsItsFigureAndNumbers(t *testing.T) {
	parallel(t)
	count, exercises, steps := 0, 0, 0
	each(t, pagesIn(t, "lessons"), view{noScript: true}, func(tb *tab, address string) {
		opened := eval[[4]int](t, tb, answersAndSteps)
		if opened[0] != opened[1] || opened[2] != opened[3] {
			t.Errorf("%s: of %d exercises %d show an answer; of %d derivations %d show steps with numbers", address, opened[0], opened[1], opened[2], opened[3])
		}
		exercises, steps = exercises+opened[0], steps+opened[2]
		if eval[int](t, tb, `document.querySelectorAll('.plate').length`) == 0 {
			return
		}
		count++
		for what, expression := range map[string]string{
			"a drawn figure with a title":                `[...document.querySelectorAll('.plate svg[role=img]')].every(s => s.querySelector('title')?.textContent && s.getBoundingClientRect().height > 80)`,
			"an output with a number":                    `[...document.querySelectorAll('.plate table [data-current], .plate table td')].some(c => /\d/.test(c.textContent) && c.getBoundingClientRect().height > 0)`,
			"the result in words":                        `[...document.querySelectorAll('.plate [data-say]')].every(p => p.textContent.trim().length > 20)`,
			"no form, which would do nothing":            `[...document.querySelectorAll('.plate [data-inputs], .plate [data-actions]')].every(f => f.getBoundingClientRect().height === 0)`,
			"formulas set as mathematics, if it has any": `[...document.querySelectorAll('math')].every(m => m.getBoundingClientRect().height >= 0 && m.textContent.trim() !== '')`,
		} {
			if !eval[bool](t, tb, expression) {
				t.Errorf("%s: lacks %s", address, what)
			}
		}
	})
	if count < 10 || exercises < 20 || steps < 10 {
		t.Errorf("only %d lessons with a plate, %d exercises and %d derivations were seen", count, exercises, steps)
	}
}

// answersAndSteps opens what folds and counts: exercises, those that show their answer, derivations, those with numbers.
const answersAndSteps = `(() => {
	const shown = (part) => part && part.getBoundingClientRect().height > 0;
	const solutions = [...document.querySelectorAll('[data-exercise] details')];
	const steps = [...document.querySelectorAll('[data-plate] details[data-steps]')];
	[...solutions, ...steps].forEach((part) => { part.open = true; });
	const answers = solutions.map((part) => part.querySelector('.exercise-answer-line .value-cell'));
	return [document.querySelectorAll('[data-exercise]').length, answers.filter((cell) => shown(cell) && cell.textContent.trim() !== '').length,
		steps.length, steps.filter((part) => [...part.querySelectorAll('li')].some(shown) && /\d/.test(part.textContent)).length];
})()`

// The check of the check: what the other tests rely on being told is provoked here.
func TestTroubleIsHeard(t *testing.T) {
	parallel(t)
	tb := open(t, "/", view{})
	tb.settle(t)
	tb.clean(t)
	must(t, chromedp.Do(tb.ctx, chromedp.Evaluate[chromedp.Void](`
		document.body.insertAdjacentHTML('beforeend', '<p style="color: red">inline style</p>');
		document.head.append(Object.assign(document.createElement('script'), { textContent: 'window.inline = 1' }));
		fetch('https://elsewhere.invalid/').catch(() => {});
		console.error('said so');
		setTimeout(() => { throw new Error('thrown') });
		void 0`)))
	for _, want := range []string{"style-src", "script-src", "connect-src", "said so", "thrown"} {
		heard := func() bool {
			return slices.ContainsFunc(tb.troubles(), func(line string) bool { return strings.Contains(line, want) })
		}
		for range 100 {
			if heard() {
				break
			}
			time.Sleep(20 * time.Millisecond) // between two looks
		}
		if !heard() {
			t.Errorf("the harness did not hear of %s:\n%s", want, strings.Join(tb.troubles(), "\n"))
		}
	}
	if eval[bool](t, tb, `'inline' in window`) {
		t.Error("an inline script ran")
	}
}
