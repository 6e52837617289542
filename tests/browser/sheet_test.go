package browser

import (
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"

	"centrode/calc/catalog/list"
	"centrode/calc/sheet"
)

// onSheet puts two plates on the sheet of this browser and opens it. The sheet is emptied when the test ends.
func onSheet(t testing.TB) *tab {
	t.Helper()
	p := openPlate(t, "finger-curl", "#plate-finger-curl?mcp_pivot=0.3")
	p.click(t, `[data-action="add-sheet"]`)
	p.until(t, p.at(`.querySelector('.plate-status a')?.textContent === 'Open the sheet'`))
	q := openPlate(t, "hinge-arc", "#plate-hinge-arc?candidate_y=-2")
	q.click(t, `[data-action="add-sheet"]`)
	q.until(t, q.at(`.querySelector('.plate-status').textContent.startsWith('Added. The sheet has 2 placements.')`))
	tb := open(t, "/sheet/", view{still: true})
	t.Cleanup(func() { eval[bool](t, tb, `(localStorage.clear(), true)`) })
	tb.until(t, `document.querySelector('[data-sheet]').dataset.ready !== undefined`)
	for name, text := range map[string]string{"title": "Knuckle and elbow", "character": "Pell", "reviewer": "I. <b>Keel</b>", "date": "2026-03-04", "reasons": "The hand must close on the key."} {
		eval[bool](t, tb, `((input) => { input.value = `+quote(text)+`; input.dispatchEvent(new Event('change', { bubbles: true })); return true; })(document.querySelector('[data-sheet-text="`+name+`"]'))`)
	}
	tb.until(t, `['Knuckle and elbow', 'Pell', 'I. <b>Keel</b>', '2026-03-04', 'The hand must close'].every((text) => document.querySelector('[data-sheet-view]').textContent.includes(text))`)
	return tb
}

// keptSheet is the sheet as this browser keeps it.
func keptSheet(t testing.TB, tb *tab) string {
	t.Helper()
	return eval[string](t, tb, `localStorage.getItem('centrode-sheet') ?? ''`)
}

func shownSheet(t testing.TB, tb *tab) string {
	t.Helper()
	return eval[string](t, tb, `document.querySelector('[data-sheet-view]').innerHTML`)
}

// choose hands a file to one of the page's file inputs.
func choose(t testing.TB, tb *tab, selector, text string) {
	t.Helper()
	name := filepath.Join(t.TempDir(), "chosen.json")
	must(t, os.WriteFile(name, []byte(text), 0o644))
	must(t, chromedp.Do(tb.ctx, chromedp.SetUploadFiles(selector, []string{name})))
}

func TestASheetIsMadeSavedReopenedAndCompared(t *testing.T) {
	parallel(t)
	tb := onSheet(t)
	text := keptSheet(t, tb)
	s, err := sheet.Read([]byte(text))
	must(t, err)
	if s.Title != "Knuckle and elbow" || s.Reviewer != "I. <b>Keel</b>" || len(s.Entries) != 2 || s.Entries[0].Candidate != "mcp_pivot=0.3" {
		t.Errorf("kept is %s", text)
	}
	v, err := sheet.Prove(s, list.Find)
	must(t, err)
	cells := eval[[]string](t, tb, `[...document.querySelectorAll('[data-sheet-view] tbody tr')].map((row) => [...row.cells].map((cell) => cell.textContent).join('|'))`)
	var want []string
	for _, e := range v.Entries {
		if len(e.Doubts) > 0 {
			t.Errorf("doubts about a fresh sheet: %q", e.Doubts)
		}
		for _, r := range e.Rows {
			want = append(want, strings.Join([]string{r.Label, sheet.OrDash(r.Current), sheet.OrDash(r.Candidate), sheet.OrDash(r.Difference)}, "|"))
		}
	}
	if strings.Join(cells, "\n") != strings.Join(want, "\n") || len(cells) < 10 {
		t.Errorf("rows are\n%s\nwant\n%s", strings.Join(cells, "\n"), strings.Join(want, "\n"))
	}
	first := shownSheet(t, tb)
	if strings.Contains(first, "<b>") || strings.Count(first, "<svg") != 2 {
		t.Errorf("%.400s", first)
	}
	// What the button hands out is read from the link it makes, so that the test needs no folder for downloads.
	saved := eval[string](t, tb, `new Promise((resolve) => {
		const click = HTMLAnchorElement.prototype.click;
		const make = URL.createObjectURL;
		URL.createObjectURL = (blob) => { URL.createObjectURL = make; void blob.text().then(resolve); return make.call(URL, blob); };
		HTMLAnchorElement.prototype.click = function () { HTMLAnchorElement.prototype.click = click; };
		document.querySelector('[data-sheet-do="save"]').click();
	})`)
	if saved != text+"\n" {
		t.Errorf("the file holds %s\nwant %s", saved, text)
	}
	eval[bool](t, tb, `(document.querySelector('[data-sheet-do="clear"]').click(), true)`)
	tb.until(t, `document.querySelector('[data-sheet]').dataset.sheet === 'empty'`)
	choose(t, tb, `[data-sheet-open]`, saved)
	tb.until(t, `document.querySelector('[data-sheet]').dataset.sheet === 'full'`)
	if shownSheet(t, tb) != first {
		t.Error("the saved file shows another sheet")
	}
	choose(t, tb, `[data-sheet-open]`, strings.Replace(text, `"reviewer":"I. `, `"reviewer":"J. `, 1))
	tb.until(t, `document.querySelector('[data-sheet-view]').textContent.includes('J. <b>Keel')`)
	choose(t, tb, `[data-sheet-other]`, text)
	tb.until(t, `!document.querySelector('[data-sheet-pair]').hidden`)
	if n := eval[int](t, tb, `document.querySelectorAll('[data-sheet-pair] .sheet-differs').length`); n != 2 {
		t.Errorf("%d places differ, want the two reviewers", n)
	}
	bringAxe(t, tb)
	openToAll(t, tb)
	keepsItsMeaning(t, tb, "a sheet beside another")
	tb.clean(t)
}

// onPaper prints the page on paper of a size in inches, and returns the words; each page ends with a form feed.
func onPaper(t testing.TB, tb *tab, wide, high float64) string {
	t.Helper()
	reader, err := exec.LookPath("pdftotext")
	if err != nil {
		t.Skip("pdftotext was not found; tests/run.sh installs it (on Debian: apt-get install poppler-utils)")
	}
	pdf, err := chromedp.Call(tb.ctx, page.PrintToPDF, page.PrintToPDFParams{PaperWidth: wide, PaperHeight: high})
	must(t, err)
	file := filepath.Join(t.TempDir(), "sheet.pdf")
	must(t, os.WriteFile(file, pdf.Data, 0o644))
	out, err := exec.Command(reader, file, "-").Output()
	must(t, err)
	return string(out)
}

func TestASheetPrintsOnOnePage(t *testing.T) {
	parallel(t)
	tb := onSheet(t)
	for name, size := range map[string][2]float64{"A4": {8.27, 11.69}, "Letter": {8.5, 11}} {
		out := onPaper(t, tb, size[0], size[1])
		if pages := strings.Count(out, "\f"); pages != 1 {
			t.Errorf("%s: %d pages", name, pages)
		}
		for _, want := range []string{"Knuckle and elbow", "Pell", "2026-03-04", "Gap between", "0.56 cm", "−0.44 cm", "The hand must close on the key.", "Candidate"} {
			if !strings.Contains(strings.Join(strings.Fields(out), " "), want) {
				t.Errorf("%s: %q is not on the page:\n%s", name, want, out)
			}
		}
		if strings.Contains(out, "Save as a file") {
			t.Errorf("%s: the buttons are printed", name)
		}
	}
}

func TestALinkHoldsASheetAndABadOneIsRefused(t *testing.T) {
	parallel(t)
	tb := onSheet(t)
	want := shownSheet(t, tb)
	eval[bool](t, tb, `(document.querySelector('[data-sheet-do="link"]').click(), true)`)
	tb.until(t, `location.hash.startsWith('#z=')`)
	link := eval[string](t, tb, `location.href`)
	second := open(t, strings.TrimPrefix(link, origin), view{still: true})
	second.until(t, `document.querySelector('[data-sheet]').dataset.ready !== undefined`)
	if got := shownSheet(t, second); got != want {
		t.Error("the link shows another sheet")
	}
	second.clean(t)
	for name, fragment := range map[string]string{
		"no base64": "#z=%%%", "no deflate": "#z=AAAA", "cut": "#z=" + strings.TrimPrefix(link[strings.Index(link, "#"):], "#z=")[:40], "no JSON": "#j=x",
		"a script": "#j=" + url.PathEscape(`{"format":"centrode-sheet-1","<img src=x onerror=hacked=1>":1}`),
		"a number": "#j=" + url.PathEscape(`{"format":"centrode-sheet-1","entries":[{"calculator":"finger-curl","current":"","candidate":"mcp_depth=NaN"}]}`),
	} {
		tb := open(t, "/sheet/"+fragment, view{still: true})
		tb.until(t, `document.querySelector('[data-sheet]').dataset.ready !== undefined`)
		if got := eval[string](t, tb, `document.querySelector('[data-sheet-status]').textContent`); !strings.HasPrefix(got, "Not shown: ") && got != "The link holds no sheet that can be read." {
			t.Errorf("%s: the page says %q", name, got)
		}
		if eval[bool](t, tb, `'hacked' in window || document.querySelector('main img') !== null`) {
			t.Errorf("%s: the link put something of its own into the page", name)
		}
		tb.clean(t)
	}
}
