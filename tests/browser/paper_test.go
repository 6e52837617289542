package browser

import (
	"net/url"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"
)

// colouredInk are the lines, marks and words of drawings that paper would show in a colour; the steps of a map keep theirs.
const colouredInk = `[...document.querySelectorAll('.figure *')].filter((e) => !/heat-|handle-hit/.test(e.getAttribute('class') ?? '') && e.checkVisibility()).filter((e) => {
	const { fill, stroke } = getComputedStyle(e);
	return [fill, stroke].some((colour) => {
		const [r, g, b] = (/^rgba?\(([^)]*)\)/.exec(colour)?.[1] ?? '0, 0, 0').split(', ').map(Number);
		return Math.max(r, g, b) - Math.min(r, g, b) > 12;
	});
}).slice(0, 5).map((e) => e.tagName + '.' + e.getAttribute('class'))`

// toPress is what only a screen can use.
const toPress = `[...document.querySelectorAll('button, summary:not([open] > *), textarea, label:has([type="file"])')].filter((e) => e.checkVisibility()).map((e) => e.textContent)`

// noneAlone reports what stands alone at the foot of a page, of the elements that others must follow.
func noneAlone(t *testing.T, tb *tab, paper, selector string) {
	t.Helper()
	heads := eval[[]string](t, tb, `[...document.querySelectorAll(`+strconv.Quote(selector)+`)].map((head) => head.innerText.replace(/\s+/g, ' ').trim()).filter(Boolean)`)
	if len(heads) == 0 {
		t.Errorf("%s is not on the page", selector)
	}
	for i, sheet := range strings.Split(paper, "\f") {
		foot := strings.TrimSpace(strings.TrimSuffix(strings.Join(strings.Fields(sheet), " "), strconv.Itoa(i+1)))
		if n := slices.IndexFunc(heads, func(head string) bool { return strings.HasSuffix(foot, head) }); n >= 0 {
			t.Errorf("page %d: %q stands alone at its foot", i+1, heads[n])
		}
	}
}

// The first of two tables of given values stays with the second, in a worked example and in a question. On these papers it did not.
func TestGivenValuesOnPaperStandTogether(t *testing.T) {
	parallel(t)
	for address, heights := range map[string][]float64{"/lessons/when-the-centre-moves/": {10}, "/lessons/one-pose-one-pole/": {10.75, 11.625, 11.75, 12}} {
		tb := open(t, address, view{still: true})
		tb.settle(t)
		for _, height := range heights {
			noneAlone(t, tb, onPaper(t, tb, 8.5, height), ".given:has(+ .table-scroll)")
		}
		tb.shut()
	}
}

// A title keeps its words on one page. On some of these papers it did not.
func TestNoTitleOnPaperIsBrokenByAPage(t *testing.T) {
	parallel(t)
	tb := open(t, "/plates/pose-fit/", view{still: true})
	tb.settle(t)
	titles := eval[[]string](t, tb, `[...document.querySelectorAll('main .prose :is(h2, h3, .card-title)')].map((title) => title.innerText.replace(/\s*#$/, '').replace(/\s+/g, ' ').trim()).filter(Boolean)`)
	if len(titles) < 3 {
		t.Fatalf("titles are %q", titles)
	}
	for height := 9.75; height < 11.75; height += 0.25 {
		paper := onPaper(t, tb, 8.27, height)
		sheets := strings.Split(strings.ToLower(paper), "\f")
		for _, title := range titles {
			if !slices.ContainsFunc(sheets, func(sheet string) bool {
				return strings.Contains(strings.Join(strings.Fields(sheet), " "), strings.ToLower(title))
			}) {
				t.Errorf("%g in: %q stands on no page as a whole", height, title)
			}
		}
	}
}

// A lesson, a plate as it stands and a quick check on paper: addresses are numbered notes, drawings are ink, nothing is there to press.
func TestAPageOnPaperIsReadWithoutAScreen(t *testing.T) {
	parallel(t)
	told := 0
	for address, c := range map[string]struct {
		has, lacks []string
		most       int // pages of A4
	}{
		"/lessons/the-finger/":  {[]string{"The finger", "Along the finger", "Plate 1.", "This state: " + origin + "/lessons/the-finger/#"}, nil, 18}, // the last is the leaf of answers
		"/plates/hinge-arc/":    {[]string{"The sweep of a hinge", "Plate 1.", "[1]", "to_angle=120"}, nil, 10},
		"/plates/hinge-plane/":  {[]string{"Axis, plane and orientation of a bend", "From the singular angle"}, nil, 9},
		"/checks/how-far-off/":  {[]string{"How far off is this pivot?", "By 0.60 cm", "What it says of the cast", "This state: "}, []string{"Send a link"}, 2},
		"/de/plates/hinge-arc/": {[]string{"Dieser Stand: ", "to_angle=120"}, []string{"This state"}, 10},
	} {
		tb := open(t, address, view{still: true})
		tb.settle(t)
		if strings.Contains(address, "hinge-arc") {
			p := tb.plate(t, "hinge-arc")
			p.enter(t, "to_angle", "120", "\r")
			p.drawn(t)
		}
		out := onPaper(t, tb, 8.27, 11.69)
		if pages := strings.Count(out, "\f"); pages > c.most {
			t.Errorf("%s takes %d pages, want at most %d", address, pages, c.most)
		}
		for _, paper := range []string{out, onPaper(t, tb, 8.5, 11)} { // pages break elsewhere on Letter
			noneAlone(t, tb, paper, "main thead")
		}
		text := strings.Join(strings.Fields(out), " ")
		whole := strings.Join(strings.Fields(out), "") // an address may break anywhere
		for _, want := range c.has {
			if !strings.Contains(text, want) && !strings.Contains(whole, strings.ReplaceAll(want, " ", "")) {
				t.Errorf("%s on paper lacks %q", address, want)
			}
		}
		for _, not := range append(c.lacks, "Copy link", "Link kopieren", "Undo", "More inputs", "Appearance", "To the text") {
			if strings.Contains(text, not) {
				t.Errorf("%s on paper has %q", address, not)
			}
		}
		for _, link := range eval[[]string](t, tb, `[...document.querySelectorAll('main a[href^="http"]')].filter((a) => a.checkVisibility()).map((a) => a.href)`) {
			told++
			bare := func(text string) string { return strings.ReplaceAll(text, "-", "") } // one at the end of a line is taken for the line's
			if plain, err := url.PathUnescape(link); err == nil && !strings.Contains(bare(whole), bare(link)) && !strings.Contains(bare(whole), bare(plain)) {
				t.Errorf("%s on paper does not tell the address %s", address, link)
			}
		}
		if n := eval[int](t, tb, `document.querySelectorAll('.print-mark, .print-notes, .print-answers').length`); n > 0 {
			t.Errorf("%s keeps %d notes of the paper on the screen", address, n)
		}
		_, err := chromedp.Call(tb.ctx, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Media: "print"})
		must(t, err)
		if pressed := eval[[]string](t, tb, toPress); len(pressed) > 0 {
			t.Errorf("%s: there to press on paper: %q", address, pressed)
		}
		if coloured := eval[[]string](t, tb, colouredInk); len(coloured) > 0 {
			t.Errorf("%s: drawn in colour on paper: %q", address, coloured)
		}
		_, err = chromedp.Call(tb.ctx, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{})
		must(t, err)
		if eval[int](t, tb, toPress+`.length`) == 0 {
			t.Errorf("%s: nothing to press is found on the screen either", address)
		}
		if eval[int](t, tb, colouredInk+`.length`) == 0 {
			t.Errorf("%s: no colour is found on the screen either", address)
		}
		tb.clean(t)
		tb.shut()
	}
	if told == 0 {
		t.Error("none of the pages has an address to tell")
	}
}

// A plate that nobody has touched is not alive yet, and paper says all the same where it is found.
func TestAPlateThatNobodyTouchedTellsItsAddress(t *testing.T) {
	parallel(t)
	tb := open(t, "/lessons/the-finger/", view{still: true, nobody: true})
	tb.until(t, alive)
	whole := strings.Join(strings.Fields(onPaper(t, tb, 8.27, 11.69)), "")
	if want := "Thisstate:" + origin + "/lessons/the-finger/#plate-fist-plate"; !strings.Contains(whole, want) {
		t.Errorf("paper lacks %q", want)
	}
	if left := eval[int](t, tb, `document.querySelectorAll('[data-plate][data-engine="off"][data-link]').length`); left > 0 {
		t.Errorf("%d plates keep on the screen what paper says", left)
	}
	if eval[int](t, tb, `document.querySelectorAll('[data-plate][data-engine="off"]').length`) == 0 {
		t.Error("no plate of the page waits for a reader")
	}
	tb.clean(t)
}

// So does one whose calculators cannot be had.
func TestAPlateWithoutCalculatorsTellsItsAddress(t *testing.T) {
	parallel(t)
	tb := blank(t, view{still: true})
	tb.early(t, `window.Worker = undefined; WebAssembly.compileStreaming = WebAssembly.compile = () => Promise.reject(new Error('none'))`)
	tb.visit(t, origin+"/plates/hinge-arc/")
	tb.until(t, `document.querySelector('[data-plate][data-engine="failed"]') !== null`)
	whole := strings.Join(strings.Fields(onPaper(t, tb, 8.27, 11.69)), "")
	if want := "Thisstate:" + origin + "/plates/hinge-arc/#plate-hinge-arc"; !strings.Contains(whole, want) {
		t.Errorf("paper lacks %q", want)
	}
	if eval[bool](t, tb, `document.querySelector('[data-plate][data-link]') !== null`) {
		t.Error("the plate keeps on the screen what paper says")
	}
}

// A lesson is handed out without its answers, which stand on a last leaf: in the language of the page, and those of the numbers that are asked.
func TestTheAnswersStandOnALeafOfTheirOwn(t *testing.T) {
	parallel(t)
	for address, want := range map[string]string{"/lessons/the-elbow/": "Answers: ", "/de/lessons/the-elbow/": "Antworten: ", "/lessons/the-elbow/#reach-at-standard?4821": "Answers: "} {
		tb := open(t, address, view{still: true})
		tb.settle(t)
		if strings.Contains(address, "?") {
			tb.until(t, `document.querySelector('#reach-at-standard [data-own-numbers]:not([hidden])') !== null`)
		}
		answers := eval[[]string](t, tb, `[...document.querySelectorAll('[data-exercise] .exercise-answer-line .value-cell')].map((cell) => cell.textContent.replace(/\s+/g, ' '))`)
		sheets := strings.Split(strings.TrimSuffix(onPaper(t, tb, 8.27, 11.69), "\f"), "\f")
		leaf := strings.Join(strings.Fields(sheets[len(sheets)-1]), " ")
		if !strings.HasPrefix(leaf, want) || len(answers) < 2 {
			t.Errorf("%s: %d answers, and the last leaf says %q", address, len(answers), leaf)
		}
		for _, answer := range answers {
			if !strings.Contains(leaf, answer) {
				t.Errorf("%s: the leaf of answers lacks %q: %s", address, answer, leaf)
			}
		}
		if strings.Contains(address, "?") && !strings.Contains(leaf, "4821") {
			t.Errorf("the leaf does not say whose numbers it answers: %s", leaf)
		}
		if strings.Contains(leaf, "?.") {
			t.Errorf("%s: a title that is a question ends twice: %s", address, leaf)
		}
		for _, sheet := range sheets[:len(sheets)-1] {
			if strings.Contains(sheet, "counts as right") || strings.Contains(sheet, "gilt als richtig") {
				t.Errorf("%s: an answer stands beside its question", address)
			}
		}
		tb.clean(t)
		tb.shut()
	}
}
