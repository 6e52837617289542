package rigid

import (
	"math"
	"math/rand/v2"
	"testing"
)

// derived: about the pivot of which the poses were made nothing is left, however far it lies. The root of a rounding of 1e-15 is 4e-8.
func TestNothingIsLeftAboutTheTruePivotAtEachDistance(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 8))
	for _, away := range []float64{0.3, 1, 3, 10, 20, 31, 32, 100, 1000} {
		for range 500 {
			axis := randomVec(r).Unit()
			turn, _ := Turn(axis, []float64{3, 1, 0.1, 0.01}[r.IntN(4)])
			rest := make([]Vec, 3+r.IntN(20))
			for i := range rest {
				rest[i] = randomVec(r)
			}
			still := NewPair(rest, rest, nil)
			size := math.Sqrt(still.restSquares / still.W)
			pivot := still.RestMean.Add(randomVec(r).Unit().Scale(away * size))
			posed := make([]Vec, len(rest))
			for i, x := range rest {
				posed[i] = TurnAbout(pivot, turn).Apply(x)
			}
			p := NewPair(rest, posed, nil)
			turning := p.Turning(axis)
			for name, squares := range map[string]float64{"free": p.LeastSquares(pivot), "about the axis": turning.LeastSquares(pivot)} {
				if left := math.Sqrt(squares/p.W) / size; !(left <= 1e-7) {
					t.Fatalf("%g sizes away, %s: %.1e of the size is left", away, name, left)
				}
			}
		}
	}
}
