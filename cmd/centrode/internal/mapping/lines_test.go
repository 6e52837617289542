package mapping

import (
	"slices"
	"testing"
)

// Two lines into the next part cross only where they must: of two orders of one height, the one without a crossing is drawn.
func TestLinesOfOneHeightDoNotCross(t *testing.T) {
	p := Plan{Bands: []string{"One", "Two"}, ID: "m", Name: "Map", Places: []Place{
		{Title: "a"}, {Title: "b"}, {Title: "c", Band: 1, Needs: []int{1}}, {Title: "d", Band: 1, Needs: []int{0}}}}
	n := newNet(p)
	n.settle()
	if upper := n.items[0].row < n.items[1].row; upper != (n.items[3].row < n.items[2].row) {
		t.Errorf("rows: a %d, b %d; c %d, d %d: the lines b to c and a to d cross", n.items[0].row, n.items[1].row, n.items[2].row, n.items[3].row)
	}
}

// A line that passes on its way to a chosen place is itself chosen only where it comes from one.
func TestAPassingLineIsChosenFromAChosenPlace(t *testing.T) {
	for _, chosen := range []bool{true, false} {
		p := Plan{Bands: []string{"One"}, Places: []Place{
			{Title: "a", Chosen: chosen}, {Title: "b"}, {Title: "c", Needs: []int{1}}, {Title: "d", Needs: []int{0, 2}, Chosen: true}}}
		s := sheet{net: newNet(p)}
		kept := s.kept()
		at := slices.IndexFunc(s.items, func(i item) bool { return i.passes })
		if at < 0 || kept[at] != chosen {
			t.Errorf("from a place that is chosen: %v, the passing line is: %v", chosen, at >= 0 && kept[at])
		}
	}
}

func TestATitleMayBreakBeforeItsLastWord(t *testing.T) {
	if got := broken("up to internationalisation"); !slices.Equal(got, []string{"up to", "internationalisation"}) {
		t.Errorf("broken into %q", got)
	}
}
