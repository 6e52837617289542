package plane

import (
	"math"
	"math/rand/v2"
	"testing"
)

// derived: where a point given is the one in which the circle touches a line, the two circles are one, and rounding puts the
// discriminant to either side of 0. Where the lines themselves are rounded by more than that, there may be none.
func TestTwoCirclesThatAreOneAreFound(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	for _, find := range []func(l [3]Line, p [3]Vec) [2]Circle{
		func(l [3]Line, p [3]Vec) [2]Circle { return TouchingLineThrough(l[0], p[0], p[1]) },
		func(l [3]Line, p [3]Vec) [2]Circle { return TouchingLinesThrough(l[0], l[1], p[0]) },
	} {
		none := 0
		for range 20_000 {
			want, l, p := planted(rng)
			for _, c := range find(l, p) {
				if math.IsNaN(c.Radius) {
					none++
				} else if off := c.Centre.Sub(want.Centre).Len(); !(off <= 1e-6) { // half of the digits of a double root
					t.Fatalf("seed 1,2: %v, want %v", c, want)
				}
			}
		}
		if none > 100 {
			t.Errorf("%d of 40,000 circles are not found", none)
		}
	}
}
