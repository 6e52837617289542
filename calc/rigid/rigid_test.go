package rigid

import (
	"math"
	"math/rand/v2"
	"testing"
)

// anyVec is a vector of random direction whose length spans thirty orders of magnitude.
func anyVec(rng *rand.Rand) Vec {
	v := Vec{rng.NormFloat64(), rng.NormFloat64(), rng.NormFloat64()}
	return v.Scale(math.Exp((rng.Float64() - 0.5) * 70))
}

func TestATurnIsARotation(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 1))
	for i := range 100_000 {
		axis, angle := anyVec(rng), (rng.Float64()-0.5)*100
		r, ok := Turn(axis, angle)
		if !ok {
			t.Fatalf("seed 1,1 case %d: axis %v is refused", i, axis)
		}
		for a := range 3 {
			for b := range 3 {
				dot, want := 0.0, 0.0
				for k := range 3 {
					dot += r[k][a] * r[k][b]
				}
				if a == b {
					want = 1
				}
				if !(math.Abs(dot-want) <= 5e-15) {
					t.Fatalf("seed 1,1 case %d: RᵀR is off by %.1e", i, dot-want)
				}
			}
		}
		u := axis.Unit()
		if off := r.Apply(u).Sub(u).Len(); !(off <= 5e-15) {
			t.Fatalf("seed 1,1 case %d: the axis moves by %.1e", i, off)
		}
		if trace := r[0][0] + r[1][1] + r[2][2]; !(math.Abs(trace-1-2*math.Cos(angle)) <= 5e-15) { // roy_udel: trace = 1 + 2 cos θ
			t.Fatalf("seed 1,1 case %d: trace %v, want %v", i, trace, 1+2*math.Cos(angle))
		}
	}
}

func TestTwoTurnsAboutOneAxisAddUp(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 1))
	for i := range 5000 {
		axis, v, a, b := anyVec(rng), Vec{rng.Float64(), rng.Float64(), rng.Float64()}, rng.Float64()*6, rng.Float64()*6
		one, _ := Turn(axis, a)
		two, _ := Turn(axis, b)
		both, _ := Turn(axis, a+b)
		if off := one.Apply(two.Apply(v)).Sub(both.Apply(v)).Len(); !(off <= 1e-14) {
			t.Fatalf("seed 1,1 case %d: off by %.1e", i, off)
		}
	}
}

func TestTurnsOfKnownPlaces(t *testing.T) {
	for _, c := range []struct {
		name   string
		axis   Vec
		deg    float64
		v      Vec
		want   Vec
		tol    float64
		source string
	}{
		{"a quarter turn about z takes x to y", Vec{0, 0, 1}, 90, Vec{1, 0, 0}, Vec{0, 1, 0}, 3e-16, "derived: right-hand rule"},
		{"a third of a turn about the diagonal permutes the axes", Vec{1, 1, 1}, 120, Vec{1, 2, 3}, Vec{3, 1, 2}, 2e-15, "roy_udel: printed permutation matrix"},
		{"a half turn about x", Vec{7, 0, 0}, 180, Vec{1, 2, 3}, Vec{1, -2, -3}, 1e-15, "derived"},
		{"no turn", Vec{1, 2, 3}, 0, Vec{1, 2, 3}, Vec{1, 2, 3}, 0, "derived"},
	} {
		t.Run(c.name, func(t *testing.T) {
			r, ok := Turn(c.axis, c.deg*math.Pi/180)
			if off := r.Apply(c.v).Sub(c.want).Len(); !ok || !(off <= c.tol) {
				t.Errorf("got %v, want %v, off by %.1e\n\t%s", r.Apply(c.v), c.want, off, c.source)
			}
		})
	}
}

func TestNoAxisIsNoTurn(t *testing.T) {
	if r, ok := Turn(Vec{}, 1); ok || r != Identity() {
		t.Errorf("a zero axis gives %v, %v; want the identity and false", r, ok)
	}
}

func TestLengthAndUnitKeepTheirDigitsAtEverySize(t *testing.T) {
	for _, k := range []float64{1, 1e-200, 1e200, 1e-310, 1e300} {
		if got := (Vec{2 * k, 3 * k, 6 * k}).Len(); !(math.Abs(got/k-7) <= 1e-13) && k > 1e-307 {
			t.Errorf("|(2, 3, 6)·%g| = %g, want 7 times it (derived: 4 + 9 + 36 = 49)", k, got)
		}
		if got := (Vec{2 * k, 3 * k, 6 * k}).Unit().Len(); !(math.Abs(got-1) <= 1e-15) {
			t.Errorf("the unit of (2, 3, 6)·%g has length %v", k, got)
		}
	}
	const least = 5e-324
	if got := (Vec{least, least, least}).Unit().Len(); !(math.Abs(got-1) <= 1e-15) {
		t.Errorf("the unit of the smallest vector has length %v", got)
	}
	if (Vec{}).Len() != 0 || (Vec{}).Unit() != (Vec{}) {
		t.Error("no vector has a length or a direction")
	}
}

func TestTheVectorProductStandsSquareOnBoth(t *testing.T) {
	if got := (Vec{1, 0, 0}).Cross(Vec{0, 1, 0}); got != (Vec{0, 0, 1}) {
		t.Errorf("x × y = %v, want z (derived)", got)
	}
	rng := rand.New(rand.NewPCG(1, 1))
	for i := range 1000 {
		a, b := Vec{rng.Float64(), rng.Float64(), rng.Float64()}, Vec{rng.Float64(), rng.Float64(), rng.Float64()}
		c := a.Cross(b)
		if !(math.Abs(c.Dot(a)) <= 1e-15 && math.Abs(c.Dot(b)) <= 1e-15) || a.Add(b).Sub(b).Sub(a).Len() > 1e-15 {
			t.Fatalf("seed 1,1 case %d: %v × %v = %v", i, a, b, c)
		}
	}
}

func BenchmarkTurn(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		if _, ok := Turn(Vec{1, 2, 2}, 1.3); !ok {
			b.Fatal("refused")
		}
	}
}
