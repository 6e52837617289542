package browser

import (
	"bytes"
	"image"
	"image/color"
	"image/draw"
	"image/png"
	"path"
	"testing"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"
)

// grain is how many points of a page, across and down, make one point of a stored picture: enough to show a line that moved,
// too few to show how a machine smooths its letters.
const grain = 4

// sameLook is what a stored picture may differ in. Two photographs by one browser do not differ at all; by another, which sets
// letters half a point to the side, they do: many points by a little, few by more. So a ground of another colour counts by its
// size, and a line by its colour.
var sameLook = []slack{{tenth, 0.003}, {1.0 / 6, 0.0004}}

// seen tells by how many times the slack two pictures differ.
func seen(a, b image.Image) (times float64) {
	for _, may := range sameLook {
		times = max(times, differing(a, b, may.far)/may.most)
	}
	return times
}

// evenFormulas gives each formula room of the same height: one Chromium sets it a point or two higher than another, and all
// that follows would move.
const evenFormulas = `.formula { block-size: 4.4rem !important; display: grid !important; align-content: center; overflow: clip !important; }`

// Each element in each state, as it looks in light, in the dark, on a phone and on paper. A change shows as a difference that
// a person accepts with -update.
func TestTheSpecimensLookAsCommitted(t *testing.T) {
	parallel(t)
	tb := open(t, "/specimens/", view{width: 1280, height: 900, still: true})
	tb.settle(t)
	tb.wear(t, evenFormulas)
	for _, c := range []struct {
		name  string
		view  view
		paper bool
	}{
		{"light", view{width: 1280, height: 900, still: true}, false},
		{"dark", view{width: 1280, height: 900, still: true, dark: true}, false},
		{"phone", view{width: 320, height: 640, still: true}, false},
		{"print", view{width: 680, height: 960, still: true}, true}, // A4 less its margins
	} {
		t.Run(c.name, func(t *testing.T) {
			tb.look(t, c.view)
			if c.paper {
				_, err := chromedp.Call(tb.ctx, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Media: "print", Features: c.view.features()})
				must(t, err)
			}
			tb.until(t, settled) // another width may ask for another drawing
			if wide := eval[int](t, tb, `document.documentElement.scrollWidth - document.documentElement.clientWidth`); wide > 0 {
				t.Errorf("the page is %d px wider than its window", wide)
			}
			samePicture(t, path.Join("tests/browser/testdata/specimens", c.name+".png"), func() image.Image { return coarse(tb.whole(t), grain) }, sameLook...)
		})
	}
	tb.clean(t)
}

// pinned keeps drawings of plates as wide as they are, or lets go of them. For a photograph beyond the window Chromium makes the page one
// point wide for a moment; a plate would be drawn for that, and on a busy machine so photographed.
const pinned = `(pinned) => (document.querySelectorAll('[data-figure]').forEach((place) => {
	const width = pinned ? place.getBoundingClientRect().width + 'px' : '';
	for (const size of ['inlineSize', 'minInlineSize', 'maxInlineSize']) place.style[size] = width;
}), true)`

// whole is a photograph of the whole page, in pieces that any browser can paint.
func (tb *tab) whole(t testing.TB) *image.RGBA {
	t.Helper()
	eval[bool](t, tb, `(document.activeElement?.blur(), scrollTo({ top: 0, behavior: 'instant' }), `+drawnTwice+`)`)
	eval[bool](t, tb, `(`+pinned+`)(true)`)
	defer eval[bool](t, tb, `(`+pinned+`)(false)`)
	size := eval[point](t, tb, `({ X: document.documentElement.clientWidth, Y: document.documentElement.scrollHeight })`)
	const piece = 3000
	picture := image.NewRGBA(image.Rect(0, 0, int(size.X), int(size.Y)))
	for top := 0.0; top < size.Y; top += piece {
		high := min(piece, size.Y-top)
		got, err := chromedp.Call(tb.ctx, page.CaptureScreenshot, page.CaptureScreenshotParams{CaptureBeyondViewport: new(true),
			Clip: &page.Viewport{X: 0, Y: top, Width: size.X, Height: high, Scale: 1}})
		must(t, err)
		part, err := png.Decode(bytes.NewReader(got.Data))
		must(t, err)
		draw.Draw(picture, image.Rect(0, int(top), int(size.X), int(top+high)), part, part.Bounds().Min, draw.Src)
	}
	return picture
}

// coarse is the picture with each square of so many points in the colour of their mean, in 32 steps of red, green and blue, so
// that it takes little room.
func coarse(p *image.RGBA, square int) image.Image {
	size := p.Bounds().Size()
	small := image.NewNRGBA(image.Rect(0, 0, size.X/square, size.Y/square))
	for y := range small.Rect.Dy() {
		for x := range small.Rect.Dx() {
			var sum [3]uint32
			for dy := range square {
				for dx := range square {
					for i, part := range p.Pix[p.PixOffset(x*square+dx, y*square+dy):][:3] {
						sum[i] += uint32(part)
					}
				}
			}
			step := func(s uint32) uint8 { return uint8(s/uint32(square*square)) &^ 7 }
			small.SetNRGBA(x, y, color.NRGBA{step(sum[0]), step(sum[1]), step(sum[2]), 255})
		}
	}
	return small
}

// The check of the check: what a hand would change of a style, each by a little.
func TestAChangedSpecimenIsSeen(t *testing.T) {
	parallel(t)
	tb := open(t, "/specimens/", view{width: 320, height: 640, still: true})
	tb.settle(t)
	before := coarse(tb.whole(t), grain)
	for name, rule := range map[string]string{
		"the line of the candidate":     `.figure .mark-candidate { stroke-dasharray: 2 6 !important }`,
		"the colour of a caution":       `.callout-caution { border-color: #c00 !important; background: #fdd }`,
		"the outline of what has focus": `[data-as="focus"] { outline: none !important }`,
	} {
		tb.wear(t, rule)
		times := seen(before, coarse(tb.whole(t), grain))
		eval[bool](t, tb, `(document.adoptedStyleSheets.pop(), true)`)
		t.Logf("%s: %.1f times what may differ", name, times)
		if times <= 1 {
			t.Errorf("%s changes so little of the picture that nobody would be told: %.2f of what may differ", name, times)
		}
	}
	if times := seen(before, coarse(tb.whole(t), grain)); times > 0 {
		t.Errorf("two photographs of one page differ by %.3f of what may differ", times)
	}
}
