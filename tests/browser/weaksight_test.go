package browser

import (
	"math"
	"slices"
	"testing"

	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"
)

// larger has the browser set text at twice its usual size, as a reader does in its settings. Nothing is zoomed.
func (tb *tab) larger(t testing.TB) {
	t.Helper()
	_, err := chromedp.Call(tb.ctx, page.SetFontSizes, page.SetFontSizesParams{FontSizes: &page.FontSizes{Standard: 32, Fixed: 26}})
	must(t, err)
}

// shareOf is what the words of a drawing have on the screen of the size of the page's text.
func shareOf(drawing string) string {
	return `((svg) => parseFloat(getComputedStyle(svg.querySelector('text')).fontSize) * svg.getBoundingClientRect().width / svg.viewBox.baseVal.width / parseFloat(getComputedStyle(document.body).fontSize))(document.querySelector('` + drawing + `'))`
}

// So do the words of the map of the fitting room.
func TestTheWordsOfTheRoomsMapGrowWithTheReadersText(t *testing.T) {
	parallel(t)
	share := func(larger bool) float64 {
		f := fitting{blank(t, view{still: true})}
		if larger {
			f.larger(t)
		}
		f.visit(t, origin+"/fitting-room/")
		f.until(t, `document.querySelector('[data-room][data-state="on"]')`)
		f.settled(t)
		f.press(t, "propose")
		f.until(t, `document.querySelector('[data-map] svg .heat')`)
		defer f.shut()
		return eval[float64](t, f.tab, shareOf(`[data-map] svg`))
	}
	if usual, got := share(false), share(true); !(usual > 0.5 && got > 0.9*usual) {
		t.Errorf("the map's words have %.2f of the size of text, and %.2f where that is twice as large", usual, got)
	}
}

// A drawing's words are larger where all text is, and its handle still goes where it is dragged.
func TestTheWordsOfADrawingGrowWithTheReadersText(t *testing.T) {
	parallel(t)
	tb := blank(t, view{still: true})
	share := shareOf(`.plate[data-engine="on"] svg.figure`)
	p := tb.turnTo(t, "pivot-offset", "")
	usual := eval[float64](t, tb, share)
	tb.larger(t)
	p = p.again(t, "")
	if got := eval[float64](t, tb, share); !(usual > 0.5 && got > 0.9*usual) {
		t.Errorf("a drawing's words have %.2f of the size of text, and %.2f where that is twice as large", usual, got)
	}
	at := p.middle(t, handle(0)+" .handle-hit")
	to := point{X: at.X + 40, Y: at.Y - 25}
	p.mouse(t, "press", at)
	p.mouse(t, "move", to)
	p.drawn(t)
	if got := eval[point](t, tb, `(({ x, y, width, height }) => ({ X: x + width / 2, Y: y + height / 2 }))(`+p.at(`.querySelector('`+handle(0)+` .handle-hit').getBoundingClientRect()`)+`)`); math.Hypot(got.X-to.X, got.Y-to.Y) > 3 {
		t.Errorf("a handle dragged from %v to %v stands at %v", at, to, got)
	}
	p.mouse(t, "release", to)
	p.drawn(t)
	tb.clean(t)
}

// brokenWords are the words of a title that stand on two lines.
const brokenWords = `[...document.querySelectorAll('h1')].flatMap((title) => {
	const broken = [], texts = document.createTreeWalker(title, NodeFilter.SHOW_TEXT);
	while (texts.nextNode()) for (const { 0: word, index } of texts.currentNode.data.matchAll(/[^\s-]+/g)) {
		const range = document.createRange();
		range.setStart(texts.currentNode, index);
		range.setEnd(texts.currentNode, index + word.length);
		if (new Set([...range.getClientRects()].map(({ top }) => Math.round(top))).size > 1) broken.push(word);
	}
	return broken;
})`

func TestATitleInLargeTextOnAPhoneBreaksNoWord(t *testing.T) {
	parallel(t)
	tb := blank(t, view{width: phone.width, height: phone.height, still: true})
	tb.larger(t)
	for _, address := range []string{"/", "/lessons/stylised-proportions/", "/sheet/", "/checks/will-it-close/"} {
		tb.visit(t, origin+address)
		tb.settle(t)
		if size := eval[float64](t, tb, `parseFloat(getComputedStyle(document.body).fontSize)`); size < 32 {
			t.Fatalf("text is %g px", size)
		}
		if broken := eval[[]string](t, tb, brokenWords); len(broken) > 0 {
			t.Errorf("%s: broken in the middle: %q", address, broken)
		}
	}
}

// At 400 % a desk's window is 320 px by 256: the answer in words stays in sight while a number is changed, and leaves room for it.
func TestTheAnswerOfAQuickCheckStaysInSightAtFourTimesTheSize(t *testing.T) {
	parallel(t)
	for _, c := range quickChecks {
		tb := open(t, "/checks/"+c.page+"/", view{width: 320, height: 256, still: true})
		tb.settle(t)
		p := tb.plate(t, c.calculator)
		for _, typed := range c.typed {
			p.enter(t, typed[0], typed[1], "\r")
			p.drawn(t)
			seen := eval[[5]float64](t, tb, `(() => {
				const answer = `+p.at(`.querySelector('[data-verdict]')`)+`.getBoundingClientRect(), field = document.activeElement.getBoundingClientRect();
				const on = document.elementFromPoint(answer.left + answer.width / 2, answer.top + answer.height / 2)?.matches('[data-verdict]');
				return [answer.top, answer.bottom, field.top, field.bottom, on ? 1 : 0];
			})()`)
			if seen[0] < 0 || seen[1] > 0.5*256 || seen[4] == 0 {
				t.Errorf("%s, %s: the answer stands from %.0f to %.0f px of the window, under something else: %v", c.page, typed[0], seen[0], seen[1], seen[4] == 0)
			}
			if seen[2] < seen[1]-1 || seen[3] > 256 {
				t.Errorf("%s: the field %s stands from %.0f to %.0f px, the answer to %.0f", c.page, typed[0], seen[2], seen[3], seen[1])
			}
		}
		tb.clean(t)
		tb.shut()
	}
}

// The answer that stays in sight does not stand on a handle that has the keyboard, whichever way it was reached.
func TestNoHandleLiesUnderTheAnswerOfAQuickCheckAtFourTimesTheSize(t *testing.T) {
	parallel(t)
	tb := open(t, "/de/checks/will-it-close/", view{width: 320, height: 256, still: true})
	tb.settle(t)
	p := tb.plate(t, "finger-curl")
	eval[bool](t, tb, `(document.querySelector('.check select').focus(), true)`)
	for i := p.handles(t); i > 0; i-- {
		p.keys(t, "\t", true)
		seen := eval[[2]float64](t, tb, `[document.activeElement.closest('.handle').querySelector('.handle-hit').getBoundingClientRect().top, document.querySelector('.check-verdict').getBoundingClientRect().bottom]`)
		if seen[0] < seen[1]-1 {
			t.Errorf("handle %d begins at %.0f px, the answer ends at %.0f", i, seen[0], seen[1])
		}
	}
	tb.clean(t)
}

// Buttons under each other stand apart, so that a thumb does not take one for another.
func TestTheButtonsOfAQuickCheckStandApart(t *testing.T) {
	parallel(t)
	tb := open(t, "/checks/will-it-close/", view{width: phone.width, height: phone.height, still: true})
	tb.settle(t)
	tb.plate(t, "finger-curl")
	boxes := eval[[][2]float64](t, tb, `[...document.querySelectorAll('.check .plate-actions > .button')].map((e) => e.getBoundingClientRect()).map(({ top, bottom }) => [top, bottom])`)
	lines := 0
	for _, box := range boxes {
		if box[0] > boxes[0][0]+1 {
			lines++
			if gap := box[0] - boxes[0][1]; gap < 8 {
				t.Errorf("a button stands %.0f px below another", gap)
			}
		}
	}
	if lines == 0 {
		t.Error("all buttons stand on one line")
	}
}

// The lines of a question's name stand under each other, its number before them, with one figure or two.
func TestTheNamesOfAClosingCheckStandInLine(t *testing.T) {
	parallel(t)
	tb := open(t, "/paths/onboarding/check/", view{width: phone.width, height: phone.height, still: true})
	tb.settle(t)
	lefts := eval[[][]float64](t, tb, `[...document.querySelectorAll('.closing-item .card-title > span:last-child')].map((name) => {
		const range = document.createRange();
		range.selectNodeContents(name);
		return [...range.getClientRects()].map(({ left }) => Math.round(left));
	})`)
	broken := 0
	for i, lines := range lefts {
		broken += len(lines) - 1
		for _, left := range lines {
			if left != lefts[0][0] {
				t.Errorf("question %d: a line begins at %g px, those of the first at %g", i+1, left, lefts[0][0])
			}
		}
	}
	if len(lefts) < 10 || broken == 0 {
		t.Errorf("%d questions, %d second lines", len(lefts), broken)
	}
}

// A column of words stands at the left before the calculator has come, too.
func TestWordsInAnInputTableStandAtTheStart(t *testing.T) {
	parallel(t)
	tb := open(t, "/lessons/moving-a-joint-safely/", view{noScript: true})
	columns := eval[[]string](t, tb, `[...document.querySelectorAll('.entry-table')].flatMap((table) => [...table.rows[1].cells].slice(1).map((cell, i) => (table.rows[0].cells[i + 1].className || 'number') + ': ' + getComputedStyle(cell).textAlign))`)
	slices.Sort(columns)
	if got := slices.Compact(columns); !slices.Equal(got, []string{"number: end", "words: start"}) {
		t.Errorf("columns stand at %q", got)
	}
}

// A browser's own slider has its thumb on its track: rules for another one are not for it.
func TestASliderInAReadersOwnColoursIsTheBrowsers(t *testing.T) {
	parallel(t)
	for _, address := range []string{"/plates/pivot-offset/", "/checks/will-it-reach/"} {
		tb := open(t, address, view{still: true})
		tb.settle(t)
		const thumb = `getComputedStyle(document.querySelector('.plate input[type="range"]'), '::-webkit-slider-thumb').appearance`
		own := eval[string](t, tb, thumb)
		tb.forceColours(t, true, true)
		if forced := eval[string](t, tb, thumb); own != "none" || forced != "auto" {
			t.Errorf("%s: thumbs are %q, and %q in a reader's own colours", address, own, forced)
		}
		tb.shut()
	}
}
