package browser

import (
	"encoding/json"
	"net/url"
	"strconv"
	"strings"
	"testing"
)

// A file may come from anybody: what is no sheet is refused by name, and what was on the page stays.
func TestAHostileSheetFileIsRefusedAndTheDraftStays(t *testing.T) {
	parallel(t)
	tb := onSheet(t)
	kept, shown := keptSheet(t, tb), shownSheet(t, tb)
	const head = `{"format":"centrode-sheet-1",`
	for name, c := range map[string]struct{ text, want string }{
		"another format":     {`{"format":"other"}`, "format"},
		"a number for text":  {head + `"title":5,"entries":[]}`, "title"},
		"a list for text":    {head + `"reasons":["a"],"entries":[]}`, "reasons"},
		"a word for entries": {head + `"entries":"all"}`, "entries"},
		"five placements":    {head + `"entries":[{},{},{},{},{}]}`, "entries"},
		"unknown calculator": {head + `"entries":[{"calculator":"finger-curls","current":"","candidate":""}]}`, "entries[1].calculator"},
		"a broken state":     {head + `"entries":[{"calculator":"finger-curl","current":"","candidate":"mcp_pivot=1e999"}]}`, "entries[1].candidate"},
		"a script as a name": {head + `"<script>hacked=1</script>":1,"entries":[]}`, "<script>hacked=1</script>"},
		"a long title":       {head + `"title":"` + strings.Repeat("x", 121) + `","entries":[]}`, "title"},
		"deep":               {strings.Repeat("[", 5000), "the file is no JSON of a sheet"},
		"huge":               {strings.Repeat(" ", 1<<20+1), "The file is over 1\u00a0MB"},
	} {
		for _, bring := range []func(){
			func() { choose(t, tb, `[data-sheet-open]`, c.text) },
			func() { drop(t, tb, `body`, c.text) },
		} {
			eval[bool](t, tb, `(document.querySelector('[data-sheet-status]').textContent = '', true)`)
			bring()
			tb.until(t, `document.querySelector('[data-sheet-status]').textContent`)
			if got := eval[string](t, tb, `document.querySelector('[data-sheet-status]').textContent`); !strings.Contains(got, c.want) {
				t.Errorf("%s: the page says %q, want %q in it", name, got, c.want)
			}
			if keptSheet(t, tb) != kept || shownSheet(t, tb) != shown {
				t.Errorf("%s: the draft is another one now", name)
			}
			if eval[bool](t, tb, `'hacked' in window`) {
				t.Errorf("%s: a script ran", name)
			}
		}
	}
	drop(t, tb, `body`, kept, kept)
	tb.until(t, `document.querySelector('[data-sheet-status]').textContent === 'Bring one file at a time.'`)
	drop(t, tb, `body`, strings.Replace(kept, "Knuckle and elbow", "Dropped", 1))
	tb.until(t, `document.querySelector('.sheet-title').textContent === 'Dropped'`)
	drop(t, tb, `.sheet-file:has([data-sheet-other])`, kept)
	tb.until(t, `!document.querySelector('[data-sheet-pair]').hidden`)
	tb.clean(t)
}

// drop lets files fall on an element, as a reader does who brings them from a folder.
func drop(t testing.TB, tb *tab, selector string, texts ...string) {
	t.Helper()
	list, err := json.Marshal(texts)
	must(t, err)
	eval[bool](t, tb, `(() => {
		const dataTransfer = new DataTransfer();
		`+string(list)+`.forEach((text, i) => dataTransfer.items.add(new File([text], 'sheet' + i + '.json')));
		const on = document.querySelector(`+quote(selector)+`);
		on.dispatchEvent(new DragEvent('drop', { dataTransfer, bubbles: true, cancelable: true }));
		return true;
	})()`)
}

// Four placements with thirty doubts each are too much for one page: the words go on to the next one.
func TestASheetTooLongForAPageLosesNoWordOnPaper(t *testing.T) {
	parallel(t)
	const each = 30
	var numbers []string
	for i := range each {
		numbers = append(numbers, `{"id":"made_up_`+strconv.Itoa(i)+`","candidate":1}`)
	}
	entry := `{"calculator":"hinge-arc","current":"","candidate":"candidate_y=-2","numbers":[` + strings.Join(numbers, ",") + `]}`
	text := `{"format":"centrode-sheet-1","reasons":"` + strings.Repeat("word ", 200) + `end.","entries":[` + strings.Join([]string{entry, entry, entry, entry}, ",") + `]}`
	none := open(t, "/sheet/", view{still: true})
	if out := onPaper(t, none, 8.27, 11.69); !strings.Contains(out, "Placement sheet") || strings.Count(out, "\f") != 1 {
		t.Errorf("the page without a sheet is %q on paper, want its title and how a sheet is begun", out)
	}
	none.clean(t)
	tb := open(t, "/sheet/#j="+url.PathEscape(text), view{still: true})
	tb.until(t, `document.querySelector('[data-sheet]').dataset.ready !== undefined`)
	out := onPaper(t, tb, 8.27, 11.69)
	if doubts, pages := strings.Count(out, "The sheet states"), strings.Count(out, "\f"); doubts != 4*each || pages < 2 {
		t.Errorf("%d doubts on %d pages, want %d", doubts, pages, 4*each)
	}
	for _, want := range []string{"word end.", "For drawn and animated characters."} {
		if !strings.Contains(strings.Join(strings.Fields(out), " "), want) {
			t.Errorf("%q is not on paper", want)
		}
	}
	tb.clean(t)
}

// Two sheets of four placements each, side by side, two placements of each on a page.
func TestTwoSheetsOfFourPlacementsTakeTwoPages(t *testing.T) {
	parallel(t)
	var entries []string
	for _, e := range [][2]string{{"finger-curl", "mcp_pivot=0.3&pip_pivot=0.3&dip_pivot=0.3"}, {"hinge-arc", "candidate_y=-2"}, {"pivot-offset", "offset_x=2"}, {"finger-curl", "mcp_pivot=0.2&pip_pivot=0.3&mcp_shift=-0.3"}} {
		entries = append(entries, `{"title":"`+e[0]+`","calculator":"`+e[0]+`","current":"","candidate":"`+e[1]+`","numbers":[]}`)
	}
	text := func(who string) string {
		return `{"format":"centrode-sheet-1","title":"Four placements","character":"Pell","reviewer":"` + who + `","reasons":"The hand must close on the key, and the arm must reach the wheel without its flesh passing through the coat.","entries":[` + strings.Join(entries, ",") + `]}`
	}
	tb := open(t, "/sheet/#j="+url.PathEscape(text("Ann")), view{still: true})
	tb.until(t, `document.querySelector('[data-sheet]').dataset.sheet === 'full'`)
	choose(t, tb, `[data-sheet-other]`, text("Ben"))
	tb.until(t, `!document.querySelector('[data-sheet-pair]').hidden`)
	for _, size := range [][2]float64{{8.27, 11.69}, {8.5, 11}} {
		out := onPaper(t, tb, size[0], size[1])
		if pages := strings.Count(out, "\f"); pages != 2 {
			t.Errorf("on %v in the two sheets take %d pages", size, pages)
		}
		if n := strings.Count(strings.Join(strings.Fields(out), " "), "hinge-arc"); n < 2 {
			t.Errorf("on %v in the second placement stands %d times", size, n)
		}
	}
	tb.clean(t)
}

// A sheet that an earlier edition kept may ask for a field that is gone: it is not shown, and its reader can take it along and begin anew.
func TestAKeptSheetThatCannotBeShownCanBeTakenAlong(t *testing.T) {
	parallel(t)
	tb := open(t, "/sheet/", view{still: true})
	const old = `{"format":"centrode-sheet-1","title":"Elbow","entries":[{"calculator":"hinge-arc","current":"","candidate":"candidate_why=-2"}]}`
	eval[bool](t, tb, `(localStorage.setItem('centrode-sheet', `+quote(old)+`), true)`)
	tb.visit(t, origin+"/sheet/")
	tb.until(t, `document.querySelector('[data-sheet]').dataset.ready !== undefined`)
	eval[bool](t, tb, watchDownloads)
	if said := eval[string](t, tb, `document.querySelector('[data-sheet-status]').textContent`); !strings.Contains(said, "It is still here") || !strings.Contains(said, "candidate_why") {
		t.Errorf("the page says %q, want that the sheet is still here and what is in the way", said)
	}
	seen := `[...document.querySelectorAll('.sheet-desk button, .sheet-desk label, .sheet-empty')].filter((one) => one.checkVisibility()).map((one) => one.dataset.sheetDo ?? one.textContent.trim()).join(', ')`
	if got, want := eval[string](t, tb, seen), "Open a file, save, clear"; got != want {
		t.Errorf("to be seen are %q, want %q", got, want)
	}
	eval[bool](t, tb, `(document.querySelector('[data-sheet-do="save"]').click(), true)`)
	tb.until(t, `window.taken`)
	if got := eval[string](t, tb, `window.taken.text()`); got != old+"\n" {
		t.Errorf("saved is %q", got)
	}
	eval[bool](t, tb, `(document.querySelector('[data-sheet-do="clear"]').click(), true)`)
	tb.until(t, `document.querySelector('[data-sheet]').dataset.sheet === 'empty'`)
	if kept := keptSheet(t, tb); kept != "" {
		t.Errorf("begun anew, the browser keeps %q", kept)
	}
	tb.clean(t)
}
