package browser

import (
	"testing"
)

// spaced is how wide a reader may set any text: WCAG 2.2, 1.4.12.
const spaced = `* { line-height: 1.5 !important; letter-spacing: 0.12em !important; word-spacing: 0.16em !important } p { margin-block-end: 2em !important }`

// cutCells counts the cells of input tables that do not show all that they hold.
const cutCells = `[...document.querySelectorAll('.entry-table td > input')].filter((e) => e.checkVisibility() && e.scrollWidth > e.clientWidth + 1).map((e) => e.getAttribute('aria-label') + ': ' + e.value)`

// Text that a reader sets wider needs no scrolling sideways on a small phone, and no digit of a table is cut off.
func TestTextMayBeSetWider(t *testing.T) {
	parallel(t)
	for _, under := range []string{"", "/de"} {
		var addresses []string
		for _, k := range kinds {
			addresses = append(addresses, under+addressOf(t, k.address, k.folder))
		}
		each(t, addresses, view{width: 320, height: 640, still: true}, func(tb *tab, address string) {
			tb.settle(t)
			tb.wear(t, spaced)
			eval[bool](t, tb, unfold)
			tb.resize(t, 320, 640)
			if wide := eval[int](t, tb, `document.documentElement.scrollWidth - document.documentElement.clientWidth`); wide > 0 {
				t.Errorf("%s is %d px too wide", address, wide)
			}
			if cut := eval[[]string](t, tb, cutCells); len(cut) > 0 {
				t.Errorf("%s cuts off %d cells, the first %s", address, len(cut), cut[0])
			}
		})
	}
}

// A column is as wide as its longest number.
func TestNoDigitOfATableIsCutOff(t *testing.T) {
	parallel(t)
	for _, width := range []int64{320, 1280} {
		each(t, []string{"/lessons/many-poses-one-pivot/", "/plates/pose-fit/", "/plates/reseat/"}, view{width: width, height: 900, still: true}, func(tb *tab, address string) {
			tb.settle(t)
			eval[bool](t, tb, unfold)
			tb.resize(t, width, 900)
			if cut := eval[[]string](t, tb, cutCells); len(cut) > 0 {
				t.Errorf("%s in a window of %d px cuts off %d cells, the first %s", address, width, len(cut), cut[0])
			}
		})
	}
}
