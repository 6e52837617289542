package browser

import (
	"encoding/json"
	"os"
	"path"
	"path/filepath"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
	"golang.org/x/net/html"
)

// presses types keys where the focus is.
func (tb *tab) presses(t *testing.T, keys string) {
	t.Helper()
	must(t, chromedp.Do(tb.ctx, chromedp.KeyEvent(keys)))
}

// whatLineHolds is for a failure: what was typed, and whether the page could hear it.
const whatLineHolds = `JSON.stringify([document.querySelector('.search-input')?.value, document.querySelector('.search-status')?.textContent, document.activeElement.className, document.hasFocus(), document.visibilityState])`

// searches opens the search by its key and types a query.
func (tb *tab) searches(t *testing.T, query string) {
	t.Helper()
	tb.until(t, alive)
	tb.presses(t, "/")
	tb.until(t, `document.querySelector('dialog.search[open]') && document.activeElement.matches('.search-input')`)
	// One letter after the other, as a person types: a page that is still starting may take its time over the first.
	typed := ""
	for _, letter := range query {
		typed += string(letter)
		tb.presses(t, string(letter))
		if err := tb.wait(`document.querySelector('.search-input').value === `+quote(typed), patience/2); err != nil {
			t.Fatalf("typed %q: %v; the line holds %s", typed, err, eval[string](t, tb, whatLineHolds))
		}
	}
	tb.until(t, `/found/i.test(document.querySelector('.search-status').textContent)`)
}

func quote(text string) string {
	out, err := json.Marshal(text)
	if err != nil {
		panic(err) // a string always has a JSON form
	}
	return string(out)
}

const inWindow = `(r => r.left >= 0 && r.right <= innerWidth && r.top >= 0 && r.bottom <= innerHeight)(document.querySelector('dialog.search').getBoundingClientRect())`

const here = `location.pathname + decodeURIComponent(location.hash)`

func TestTheSearchLeadsToThePlaceByKeysAlone(t *testing.T) {
	parallel(t)
	for _, c := range []struct {
		name, from, query, keys, want string
		view                          view
	}{
		{"a misspelt term", "/", "knucle", kb.Enter, "/glossary/#knuckle", view{}},
		{"the beginning of a word", "/lessons/", "squ", kb.Enter, "/glossary/#squash", view{}},
		{"a section, walked to", "/plates/finger-curl/", "through the finger", kb.ArrowDown + kb.Enter, "/lessons/the-finger/#through-the-finger", view{}},
		{"down, and up again", "/sources/", "elbow", kb.ArrowDown + kb.ArrowDown + kb.ArrowUp + kb.ArrowUp + kb.Enter, "/lessons/the-elbow/", view{}},
		{"a place on the same page", "/glossary/", "knucle", kb.Enter, "/glossary/#knuckle", view{}},
		{"on a phone, in the dark, at rest", "/cast/", "knucle", kb.Enter, "/glossary/#knuckle", view{width: 360, height: 740, dark: true, still: true}},
	} {
		t.Run(c.name, func(t *testing.T) {
			tb := open(t, c.from, c.view)
			tb.searches(t, c.query)
			if wide := eval[int](t, tb, `document.documentElement.scrollWidth - document.documentElement.clientWidth`); wide > 0 {
				t.Errorf("with the search open the page is %d px wider than its window", wide)
			}
			if !eval[bool](t, tb, inWindow) {
				t.Error("the dialog reaches out of the window")
			}
			tb.presses(t, c.keys)
			tb.until(t, here+` === `+quote(c.want))
			tb.until(t, `!document.querySelector('dialog[open]')`)
			if place := c.want[strings.Index(c.want, "#")+1:]; strings.Contains(c.want, "#") {
				tb.until(t, `(() => { const at = document.getElementById(`+quote(place)+`)?.getBoundingClientRect(); return at && at.top >= -2 && at.top < innerHeight })()`)
			}
			tb.clean(t)
		})
	}
}

func TestTheSearchTellsWhatItFound(t *testing.T) {
	parallel(t)
	tb := open(t, "/", view{})
	tb.searches(t, "knucle")
	if role := eval[string](t, tb, `document.querySelector('.search-status').role`); role != "status" {
		t.Errorf("the count has the role %q, so it is not announced", role)
	}
	shown := eval[int](t, tb, `document.querySelectorAll('.search-results a').length`)
	told := eval[string](t, tb, `document.querySelector('.search-status').textContent`)
	if shown < 5 || !strings.Contains(told, " found") || strings.HasPrefix(told, "0") {
		t.Errorf("%d results and the words %q", shown, told)
	}
	tb.until(t, `document.querySelector('.search-excerpt mark')?.textContent.toLowerCase().startsWith('knuckle')`)
	must(t, chromedp.Do(tb.ctx, chromedp.Evaluate[chromedp.Void](`document.querySelector('.search-input').select(); void 0`)))
	tb.presses(t, "qqqqqqq")
	tb.until(t, `document.querySelector('.search-status').textContent.startsWith('Nothing found for “qqqqqqq”') && !document.querySelector('.search-results a')`)
	tb.clean(t)
}

func TestTheSearchOpensByItsButtonAndClosesByEscape(t *testing.T) {
	parallel(t)
	tb := open(t, "/lessons/", phone)
	tb.until(t, alive)
	for _, address := range tb.asked() {
		if strings.Contains(address, "/search.") || strings.Contains(address, "/search-texts.") {
			t.Errorf("%s was loaded before anybody searched", address)
		}
	}
	eval[bool](t, tb, `(document.querySelector('.search-open').focus(), document.querySelector('.search-open').click(), true)`)
	tb.until(t, `document.querySelector('dialog.search[open]') && document.activeElement.matches('.search-input')`)
	tb.presses(t, "elbow")
	tb.until(t, `document.querySelectorAll('.search-results a').length > 0`)
	for what, expression := range map[string]string{
		"a line to type in that a phone does not zoom to": `parseFloat(getComputedStyle(document.querySelector('.search-input')).fontSize) >= 16`,
		"results a finger can hit":                        `[...document.querySelectorAll('.search-results a')].every(a => a.getBoundingClientRect().height >= 40)`,
		"the whole dialog within the window":              inWindow,
	} {
		if !eval[bool](t, tb, expression) {
			t.Errorf("lacks %s", what)
		}
	}
	tb.presses(t, kb.ArrowDown)
	tb.until(t, `document.activeElement.matches('.search-result')`)
	tb.presses(t, "s") // typing goes on in the line
	tb.until(t, `document.activeElement.matches('.search-input') && document.querySelector('.search-input').value === 'elbows'`)
	tb.presses(t, kb.Escape)
	tb.until(t, `!document.querySelector('dialog[open]') && document.activeElement.matches('.search-open')`)
	tb.clean(t)
}

func TestASlashInAFieldIsASlash(t *testing.T) {
	parallel(t)
	tb := open(t, "/plates/finger-curl/", view{})
	tb.settle(t)
	tb.until(t, `(document.querySelector('[data-number]').focus(), document.activeElement.matches('[data-number]'))`)
	tb.presses(t, "/")
	if eval[bool](t, tb, `!!document.querySelector('dialog')`) {
		t.Error("the search opened over a number being typed")
	}
	tb.clean(t)
}

func TestWithoutScriptsTheHeadLeadsToLessonsAndGlossary(t *testing.T) {
	parallel(t)
	tb := open(t, "/cast/", view{noScript: true})
	links := eval[string](t, tb, `[...document.querySelectorAll('.search-place a')].filter(a => a.getBoundingClientRect().height > 0).map(a => a.getAttribute('href')).join(' ')`)
	if links != "/lessons/ /glossary/" {
		t.Errorf("the head leads to %q", links)
	}
	if eval[bool](t, tb, `[...document.querySelectorAll('.search-place button')].some(b => b.getBoundingClientRect().height > 0)`) {
		t.Error("a button shows that does nothing")
	}
	tb.clean(t)
}

// The addresses in the index are made from the book and not from the pages, so each is looked up there.
func TestEveryPlaceInTheIndexExists(t *testing.T) {
	parallel(t)
	data, err := os.ReadFile(filepath.Join(public, "search.json"))
	must(t, err)
	var index struct {
		StoredFields map[string]struct{ Href, Title string } `json:"storedFields"`
	}
	must(t, json.Unmarshal(data, &index))
	if len(index.StoredFields) < 800 {
		t.Errorf("only %d places in the index", len(index.StoredFields))
	}
	pages := map[string]map[string]bool{}
	for _, place := range index.StoredFields {
		address, anchor, deep := strings.Cut(place.Href, "#")
		if pages[address] == nil {
			pages[address] = idsOf(t, filepath.Join(public, filepath.FromSlash(path.Join(address, "index.html"))))
		}
		if deep && !pages[address][anchor] {
			t.Errorf("%s (%s): the page has no such place", place.Href, place.Title)
		}
	}
}

func idsOf(t *testing.T, file string) map[string]bool {
	t.Helper()
	page, err := os.Open(file)
	must(t, err)
	defer page.Close()
	tree, err := html.Parse(page)
	must(t, err)
	ids := map[string]bool{}
	for n := range tree.Descendants() {
		for _, a := range n.Attr {
			if a.Key == "id" {
				ids[a.Val] = true
			}
		}
	}
	return ids
}

// Whoever types on while the search is still on its way finds every letter in the line.
func TestWhatIsTypedBeforeTheSearchHasComeStandsInIt(t *testing.T) {
	parallel(t)
	for range 5 {
		tb := open(t, "/glossary/", view{})
		tb.until(t, alive)
		tb.presses(t, "/knuckle"+kb.Backspace+"e")
		if err := tb.wait(`document.querySelector('.search-input')?.value === 'knuckle' && document.querySelectorAll('.search-results a').length > 0`, patience/2); err != nil {
			t.Fatalf("%v; the line holds %s", err, eval[string](t, tb, whatLineHolds))
		}
		tb.presses(t, "s")
		tb.until(t, `document.querySelector('.search-input').value === 'knuckles'`)
		tb.clean(t)
		tb.shut()
	}
}
