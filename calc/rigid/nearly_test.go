package rigid

import (
	"math"
	"math/rand/v2"
	"testing"
)

// What is nearly one thing and nearly another: directions nearly opposite or nearly one, angles nearly none or nearly singular,
// points nearly on a line. derived: in each a rounding of 1e-16 is bounded by what the case leaves of the digits.

func TestTheShortestArcEndsWhereItShould(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 1))
	for _, off := range []float64{math.Pi, math.Pi - 1e-15, math.Pi - 1e-12, math.Pi - 1e-6, 3, 1.6, 1.5, 1, 0.1, 1e-3, 1e-5, 1e-7, 3e-9, 1e-9, 1e-10, 1e-12, 1e-14, 0} {
		for range 500 {
			u := randomVec(r).Unit()
			turn, _ := Turn(u.Cross(randomVec(r)), math.Pi-off)
			v := turn.Apply(u).Unit()
			arc, ok := ShortestArc(u, v)
			if miss := arc.Apply(u).Sub(v).Len(); !ok || !(miss <= 8e-15) {
				t.Fatalf("%g short of half a turn: the end is missed by %.1e", off, miss)
			}
			if _, angle := arc.AxisAngle(); !(math.Abs(angle-(math.Pi-off)) <= 1e-14) {
				t.Fatalf("%g short of half a turn: it turns by %v", off, angle)
			}
		}
	}
}

func TestASmallScrewHasItsLine(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 2))
	for _, turned := range []float64{3, 1, 1e-3, 1e-6, 1e-9, 1e-11} {
		for range 500 {
			axis, pivot := randomVec(r).Unit(), randomVec(r)
			turn, _ := Turn(axis, turned)
			s, ok := TurnAbout(pivot, turn).Screw()
			d := s.Point.Sub(pivot)
			if miss := d.Cross(axis).Len(); !ok || !(miss <= 2e-15*(1+1/turned)) {
				t.Fatalf("turned by %g: %v, off the line by %.1e", turned, ok, miss)
			}
		}
	}
	turn, _ := Turn(Vec{Z: 1}, 1e-13)
	if s, ok := (Motion{turn, Vec{X: 1}}).Screw(); ok {
		t.Errorf("a turn lost in rounding has the screw %v", s)
	}
}

func TestAnglesComeBackNearTheSingularPlace(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 3))
	for _, off := range []float64{1, 1e-2, 1e-4, 1e-6, 1e-9, 1e-11, 1e-13, 0} {
		for _, name := range Orders() {
			order, _ := ParseOrder(name)
			for range 100 {
				a := [3]float64{6*r.Float64() - 3, 6*r.Float64() - 3, 6*r.Float64() - 3}
				a[order[1]] = math.Copysign(math.Pi/2-off, a[order[1]])
				turn := order.Rot(Vec{a[0], a[1], a[2]})
				if miss := Apart(order.Rot(order.Angles(turn)), turn); !(miss <= 3e-12) || off >= 1e-11 && !(miss <= 2e-15) {
					t.Fatalf("%s, %g from ±90°: angles give another rotation, by %.1e", name, off, miss)
				}
			}
		}
	}
}

func TestAFrameIsSquareHoweverNearItsTwoDirectionsAre(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	for _, off := range []float64{1, 1e-3, 1e-6, 1e-9, 1e-11} {
		for range 500 {
			along := randomVec(r)
			turn, _ := Turn(along.Cross(randomVec(r)), off)
			frame, ok := Frame(Vec{X: 1}, Vec{Y: 1}, along, turn.Apply(along))
			if miss := Apart(frame.Mul(frame.Transpose()), Identity()); !ok || !(miss <= 3e-15) {
				t.Fatalf("%g apart: %v, off by %.1e", off, ok, miss)
			}
		}
	}
	if _, ok := Frame(Vec{X: 1}, Vec{Y: 1}, Vec{1, 2, 3}, Vec{-2, -4, -6}); ok {
		t.Error("opposite directions make a frame")
	}
}

// The greatest sum of points that are nearly on a line: Best, which needs no root of a quartic, is the witness.
func TestTheQuickSumNearADoubleRoot(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 5))
	for _, squash := range []float64{1, 0.1, 1e-2, 1e-3, 1e-4, 1e-6, 0} {
		for range 500 {
			var m Cross
			bound, truth := 0.0, randomRot(r)
			for range 3 + r.IntN(5) {
				a := randomVec(r)
				a.Y, a.Z = a.Y*squash, a.Z*squash
				m.Add(1, a, truth.Apply(a))
				bound += a.Dot(a)
			}
			if off := math.Abs(m.BestSum(bound) - m.Best().Sum); !(off <= 1e-9*bound) || squash == 1 && !(off <= 1e-14*bound) {
				t.Fatalf("squashed to %g: off by %.1e of the bound", squash, off/bound)
			}
		}
	}
}

func TestWhatTurnedIsMoreThanRounding(t *testing.T) {
	for turned, want := range map[float64]bool{0: false, 1e-13: false, 1e-11: true, 1e-6: true, 1: true} {
		turn, _ := Turn(Vec{Y: 1}, turned)
		if got := Turned(turn, Identity()); got != want {
			t.Errorf("turned by %g: %v", turned, got)
		}
	}
}

// derived: A·v = λ·v, of matrices whose entries are alike and of such whose entries span eight digits.
func TestNineSweepsAreEnough(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 7))
	for i := range 20_000 {
		var m [4][4]float64
		n, size := 3+i%2, 0.0
		for a := range n {
			for b := range a + 1 {
				m[a][b] = r.NormFloat64() * math.Exp(-20*r.Float64()*float64(i%3/2))
				m[b][a] = m[a][b]
				size += 2 * m[a][b] * m[a][b]
			}
		}
		values, vectors := jacobi(m, n)
		for j := range n {
			for a := range n {
				left := -values[j] * vectors[a][j]
				for b := range n {
					left += m[a][b] * vectors[b][j]
				}
				if !(math.Abs(left) <= 2e-15*math.Sqrt(size)) {
					t.Fatalf("case %d: eigenvalue %v of %v leaves %.1e", i, values[j], m, left)
				}
			}
		}
	}
}
