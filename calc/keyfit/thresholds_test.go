package keyfit

import (
	"math"
	"testing"

	"centrode/calc/rigid"
)

// Two half turns about axes that lie φ to either side of z. derived: I − R is 2·(I − n·nᵀ), so the normal matrix of both has the
// eigenvalues 8·cos²φ along x, 8 along y and 8·sin²φ along z, and translations ±y leave the offset at none, each key a centimetre. An
// offset along z of none is not significant: it counts just while z is tied by more than a millionth of what ties y.
func TestADirectionThatIsHardlyTiedHasToEarnItsPlace(t *testing.T) {
	for ratio, want := range map[float64]int{0.25: 3, 1e-3: 3, 3e-6: 3, 3e-7: 2, 1e-9: 2} {
		phi := math.Asin(math.Sqrt(ratio))
		var keys []Key
		for _, side := range []float64{1, -1} {
			turn, _ := rigid.Turn(rigid.Vec{X: side * math.Sin(phi), Z: math.Cos(phi)}, math.Pi)
			keys = append(keys, Key{turn, rigid.Vec{Y: side}, 1})
		}
		if fit := Fit(keys); fit.Rank != want || !(fit.Offset.Len() < 1e-12) {
			t.Errorf("z tied by %g of y: rank %d, offset %v; want rank %d and none", ratio, fit.Rank, fit.Offset, want)
		}
	}
}

// The same key twice, the second off by a part of its translation or of its turn: what a file of single precision, whose numbers are
// rounded by a part of 6e-8 each, leaves of a pose that is held is the same pose, and ten times that is another.
func TestAHeldPoseIsOneWithinSinglePrecision(t *testing.T) {
	for part, varies := range map[float64]bool{0: false, 1.2e-7: false, 4e-7: false, 3e-6: true, 1e-3: true} {
		for what, part := range map[string][2]float64{"translation": {part, 0}, "turn": {0, part}} {
			var keys []Key
			for _, more := range []float64{0, 1} {
				turn, _ := rigid.Turn(rigid.Vec{X: 1, Y: 2, Z: 3}, 0.4*(1+more*part[1])) // so small that the chord is the arc, but for a part in a hundred
				keys = append(keys, Key{turn, rigid.Vec{X: 3, Y: -1, Z: 0.5}.Scale(1 + more*part[0]), 1})
			}
			if got := Fit(keys).Known; got != varies {
				t.Errorf("a %s that is off by %v: the error is known %v, want %v", what, part, got, varies)
			}
		}
	}
}
