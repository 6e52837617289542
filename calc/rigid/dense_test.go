package rigid

import (
	"math"
	"math/rand/v2"
	"testing"
)

// A system says nothing of an unknown when what the others leave of its diagonal is lost in rounding, whatever unit the unknown is in: a
// pivot's centimetres stand beside an axis's radians. derived: of (1, c; c, 1) the second pivot is 1 − c², which for c = 1 − 2⁻ⁿ is
// 2¹⁻ⁿ to rounding, and the answer to (1, 1) is 1/(1 + c) each.
func TestASystemIsSingularInAnyUnit(t *testing.T) {
	for n, want := range map[int]bool{10: true, 30: true, 50: true, 52: false, 53: false} {
		c := 1 - math.Ldexp(1, -n)
		for _, unit := range []float64{1, 0x1p-40, 0x1p30, 0x1p-200} {
			d := Dense{N: 2, A: [4][4]float64{{1, c * unit}, {c * unit, unit * unit}}, B: [4]float64{1, unit}}
			x, ok := d.Solve(0)
			if ok != want || ok && !(math.Abs(x[0]+x[1]*unit-2/(1+c)) < 1e-15) {
				t.Errorf("c = 1 − 2^−%d, in a unit of %g: %v, %v", n, unit, x, ok)
			}
		}
	}
}

// Of a matrix that is singular, rounding may leave something that passes for an inverse. It is then so large that whoever takes it for a
// covariance is told of an error ten million times the noise.
func TestAnInverseOfASingularMatrixIsRefusedOrHuge(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 8))
	for range 20_000 {
		s := Sym{}.AddOuter(1, randomVec(r)).AddOuter(1, randomVec(r)) // of rank two
		inverse, ok := s.Inverse()
		if !ok {
			continue
		}
		values, _ := s.Eigen()
		if large, _ := inverse.Eigen(); !(large[0]*values[0] > 1e14) {
			t.Fatalf("%v has the inverse %v", s, inverse)
		}
	}
}
