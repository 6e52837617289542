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
	for _, k := range kinds {
		for _, v := range []struct {
			name string
			view view
		}{{"desk", view{}}, {"phone", phone}, {"no scripts", view{noScript: true}}} {
			t.Run(k.name+"/"+v.name, func(t *testing.T) {
				tb := open(t, addressOf(t, k.address, k.folder), v.view)
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
	}
}

func TestAnUnknownAddressShowsThePageForIt(t *testing.T) {
	tb := open(t, "/lessons/no-such-lesson/", view{})
	if links := eval[int](t, tb, `document.querySelectorAll('main a[href]').length`); links == 0 {
		t.Error("the page for unknown addresses leads nowhere")
	}
	for _, line := range tb.troubles() {
		if !strings.Contains(line, "404") { // the browser logs the status of the page itself
			t.Error(line)
		}
	}
}

func TestALessonWithoutScriptsShowsItsFigureAndNumbers(t *testing.T) {
	count := 0
	for _, address := range pagesIn(t, "lessons") {
		tb := open(t, address, view{noScript: true})
		if eval[int](t, tb, `document.querySelectorAll('.plate').length`) == 0 {
			continue
		}
		count++
		for what, expression := range map[string]string{
			"a drawn figure with a title":                `[...document.querySelectorAll('.plate svg[role=img]')].every(s => s.querySelector('title')?.textContent && s.getBoundingClientRect().height > 80)`,
			"an output with a number":                    `[...document.querySelectorAll('.plate table [data-current], .plate table td')].some(c => /\d/.test(c.textContent) && c.getBoundingClientRect().height > 0)`,
			"the result in words":                        `[...document.querySelectorAll('.plate [data-say]')].every(p => p.textContent.trim().length > 20)`,
			"no form, which would do nothing":            `[...document.querySelectorAll('.plate form, .plate [data-actions]')].every(f => f.getBoundingClientRect().height === 0)`,
			"formulas set as mathematics, if it has any": `[...document.querySelectorAll('math')].every(m => m.getBoundingClientRect().height >= 0 && m.textContent.trim() !== '')`,
		} {
			if !eval[bool](t, tb, expression) {
				t.Errorf("%s: lacks %s", address, what)
			}
		}
		tb.clean(t)
	}
	if count == 0 {
		t.Error("no lesson has a plate")
	}
}

// The check of the check: what the other tests rely on being told is provoked here.
func TestTroubleIsHeard(t *testing.T) {
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
