package figure

import (
	"math"
	"math/rand/v2"
	"testing"

	"centrode/calc/plane"
)

func TestAViewHoldsItsBoxWithAirAndRarelyMoves(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	for range 500 {
		corner, size := vec(200*r.Float64()-100, 200*r.Float64()-100), 0.5+40*r.Float64()
		moves := 0
		var last Rect
		const drags = 100
		for i := range drags { // the box grows by a tenth while a reader drags
			reach := size * (1 + 0.1*float64(i)/drags)
			box := Rect{corner, corner.Add(vec(reach, size/2))}
			view := Snug(box)
			if air := reach / 80; !view.holds(Rect{box.Min.Sub(vec(air, air).Scale(0.99)), box.Max.Add(vec(air, air).Scale(0.99))}) {
				t.Fatalf("%v does not hold %v with an eightieth of air", view, box)
			}
			if i > 0 && view != last {
				moves++
			}
			last = view
		}
		if moves > 4 { // derived: the edge that goes passes at most three grid lines of a twenty-fifth of the size or more; when
			// the grid itself changes, or the air that grows carries others along, several move at once
			t.Errorf("the view of %v by %v moved %d times", corner, size, moves)
		}
	}
}

func TestAHullHoldsItsPointsAndTheirRadius(t *testing.T) {
	if got, want := Hull(1, vec(0, 0), vec(3, -2)), (Rect{vec(-1, -3), vec(4, 1)}); got != want {
		t.Errorf("got %v, want %v", got, want)
	}
	if got := Hull(1); got != (Rect{}) {
		t.Errorf("no points give %v", got)
	}
	if got := Snug(Hull(0, plane.Vec{X: 2})); !(got.Max.X > got.Min.X && got.Max.Y > got.Min.Y) {
		t.Errorf("a single point has the view %v", got)
	}
}

func TestLevelsAreRoundAndFew(t *testing.T) {
	for _, c := range []struct{ least, most float64 }{{0, 1}, {0.03, 7}, {1e-6, 2e-6}, {5, 5}, {0, 1e9}} {
		list := Levels(c.least, c.most, math.Inf(-1), 8)
		if len(list) > 10 || (c.most > c.least) != (len(list) > 0) {
			t.Errorf("%v to %v: %v", c.least, c.most, list)
		}
	}
}

// A drawing of one point is 1 wide, or a fiftieth of how far it lies, so that its coordinates still tell places apart; any other is as wide as it is.
func TestTheExtentOfAPoint(t *testing.T) {
	for _, c := range []struct{ size, far, want float64 }{{0, 0, 1}, {0, 10, 1}, {0, 1000, 20}, {1e-7, 1000, 20}, {1e-3, 1000, 1e-3}, {5, 10, 5}, {math.NaN(), 1000, 20}} {
		if got := Extent(c.size, c.far); got != c.want {
			t.Errorf("%v wide and %v away: %v, want %v", c.size, c.far, got, c.want)
		}
	}
}
