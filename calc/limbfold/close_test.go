package limbfold

import (
	"math"
	"testing"
)

// A triangle closes both ways round. Limits that leave one of them find it, without the steps toward the base, which would come near
// it from either side. derived: the outer angles of a triangle with equal sides are 120°.
func TestATriangleClosesEitherWayRound(t *testing.T) {
	const degree = math.Pi / 180
	for _, side := range []float64{1, -1} {
		low, high := min(100*side, 130*side)*degree, max(100*side, 130*side)*degree
		s := newSearch([]Segment{{1, 0, 0, 0}, {1, 0, low, high}, {1, 0, low, high}}, true)
		s.closePairs()
		if !(s.best >= 0 && s.best < 1e-15) || !(math.Abs(s.fold[1]-120*degree*side) < 1e-15) || !(math.Abs(s.fold[2]-120*degree*side) < 1e-15) {
			t.Errorf("side %v: the shortest span is %v, of the folds %v", side, s.best, s.fold)
		}
	}
}

// A chain that closes just at its limits closes, whatever rounding makes of the angle that is solved for. derived: the outer angles of
// a regular polygon of n sides are 360°/n.
func TestAPolygonClosesAtItsLimits(t *testing.T) {
	for n := 3; n <= 8; n++ {
		for _, side := range []float64{1, -1} {
			for _, rest := range []float64{0, 0.3, -1.1, 2.7} {
				outer := 2*math.Pi/float64(n)*side - rest
				low, high := outer, outer+0.4
				if side < 0 {
					low, high = outer-0.4, outer
				}
				chain := []Segment{{Length: 1}}
				for len(chain) < n {
					chain = append(chain, Segment{1, rest, low, high})
				}
				s := newSearch(chain, true)
				s.closePairs()
				if !(s.best >= 0 && s.best <= 1e-12*s.total) {
					t.Errorf("%d sides, side %v, rest %v: the shortest span is %v", n, side, rest, s.best)
				}
			}
		}
	}
}
