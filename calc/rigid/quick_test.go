package rigid

import (
	"math"
	"math/rand/v2"
	"testing"
)

func TestTheQuickTurnIsTheBestOne(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 21))
	for i := range 50000 {
		var m Cross
		truth, noise := randomRot(r), []float64{0, 1e-6, 0.05, 0.5}[i%4]
		if i%5 == 0 {
			truth, _ = Turn(randomVec(r), []float64{math.Pi, 1e-7, 0, math.Pi - 1e-9}[r.IntN(4)])
		}
		squash := []float64{1, 0, 0.03, 1e-4}[r.IntN(4)] // a plane, a blade, nearly a line
		size := math.Exp(40 * (r.Float64() - 0.5))
		for range 3 + r.IntN(5) {
			a := randomVec(r)
			a.Y, a.Z = a.Y*math.Sqrt(squash), a.Z*squash
			m.Add(size*(0.2+r.Float64()), a, truth.Apply(a).Add(randomVec(r).Scale(noise)))
		}
		best := m.Best()
		if best.Gap < 1e-6 {
			continue // nearly as good another way
		}
		if off := apart(m.BestTurn(), best.R); !(off < 1e-11/math.Min(1, 1e3*best.Gap)) {
			t.Fatalf("case %d: the quick turn is off by %.1e, gap %.1e", i, off, best.Gap)
		}
	}
}

func TestNothingToTurnIsNoTrouble(t *testing.T) {
	for _, m := range []Cross{{}, {{math.MaxFloat64}}, {{5e-324}}, {{1, 0, 0}, {0, 0, 0}, {0, 0, 0}}, {{-1, 0, 0}, {0, -1, 0}, {0, 0, -1}}} {
		turn := m.BestTurn()
		for j := range 3 {
			if off := turn.Column(j).Len() - 1; !(math.Abs(off) < 1e-12) {
				t.Errorf("%v: column %d of %v has length off by %v", m, j, turn, off)
			}
		}
	}
}

// derived: what a turn about one direction leaves is what the rotation that AboutAxis finds leaves, summed landmark by landmark.
func TestATurnAboutOneDirectionIsAProblemOfThePlaneAcrossIt(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 22))
	for range 5000 {
		n := 1 + r.IntN(8)
		rest, posed, weights := make([]Vec, n), make([]Vec, n), make([]float64, n)
		for i := range rest {
			rest[i], posed[i], weights[i] = randomVec(r), randomVec(r), r.Float64()
		}
		pair, axis, pivot := NewPair(rest, posed, weights), randomVec(r).Unit(), randomVec(r).Scale(3)
		turning := pair.Turning(axis)
		_, best := pair.AboutAxis(pivot, axis)
		want := Residual(TurnAbout(pivot, best.R), rest, posed, weights)
		if got := turning.LeastSquares(pivot); !(math.Abs(got-want) <= 1e-12*(1+want)) {
			t.Fatalf("%d landmarks, about %v along %v: %v is left, want %v", n, pivot, axis, got, want)
		}
	}
}

func BenchmarkBestTurn(b *testing.B) {
	r := rand.New(rand.NewPCG(1, 7))
	var m Cross
	truth := randomRot(r)
	for range 30 {
		a := randomVec(r)
		m.Add(1, a, truth.Apply(a).Add(randomVec(r).Scale(0.1)))
	}
	for b.Loop() {
		m.BestTurn()
	}
}
