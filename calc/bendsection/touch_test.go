package bendsection

import (
	"math"
	"math/rand/v2"
	"testing"
)

// Derived: a blend as wide as the squash, 2h·tan(θ/2), only lets the sides touch, and one that is narrower by a hundred millionth of
// the depth folds: that is far above the rounding of these sums and far below what is drawn.
func TestOnlyWhatIsPastTheBisectorFolds(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 5))
	for range 2000 {
		s := Strip{Depth: 1 + r.Float64(), Pivot: 0.9 * r.Float64(), Flex: 0.1 + 1.4*r.Float64()}
		squash := 2 * (1 - s.Pivot) * s.Depth * math.Tan(s.Flex/2)
		s.Length = 1 + squash
		for _, c := range []struct {
			narrower float64 // across the bisector, in parts of the depth
			want     bool
		}{{-1e-8, false}, {0, false}, {3e-9, true}, {1e-6, true}} {
			s.Blend = squash - c.narrower*s.Depth/math.Cos(s.Flex/2)
			_, inner := s.Surfaces()
			if got := s.fold(inner) > 0; got != c.want {
				t.Fatalf("%+v, narrower by %g of the depth: folds %v", s, c.narrower, got)
			}
		}
	}
}

// Derived: with the pivot on the inside surface nothing but the pivot itself lies on the bisector, at whatever bend and blend.
func TestAnInsideThatTurnsAboutItselfDoesNotFold(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 6))
	for range 500 {
		s := Strip{Depth: 0.1 + 20*r.Float64(), Pivot: 1, Flex: math.Pi * r.Float64(), Length: 1 + 30*r.Float64(), Passes: r.IntN(30), Strength: r.Float64()}
		s.Blend = 2 * s.Length * r.Float64() * float64(r.IntN(2))
		_, inner := s.Surfaces()
		if n := s.fold(inner); n != 0 {
			t.Fatalf("%+v: folds at %d points", s, n)
		}
	}
}
