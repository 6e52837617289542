package affine_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"centrode/calc/affine"
	"centrode/calc/rigid"
)

func between(r *rand.Rand, lo, hi float64) float64 { return lo + (hi-lo)*r.Float64() }

func vec(r *rand.Rand, lo, hi float64) rigid.Vec {
	return rigid.Vec{X: between(r, lo, hi), Y: between(r, lo, hi), Z: between(r, lo, hi)}
}

func random(r *rand.Rand) affine.Map {
	q, _ := rigid.Quat{X: r.NormFloat64(), Y: r.NormFloat64(), Z: r.NormFloat64(), W: r.NormFloat64()}.Unit()
	s := vec(r, 0.2, 3)
	if r.IntN(4) == 0 {
		s.X = -s.X
	}
	return affine.FromTRS(vec(r, -5, 5), q, s)
}

func far(a, b affine.Map) float64 {
	worst, x, y := 0.0, a.Columns(), b.Columns()
	for i := range x {
		if d := math.Abs(x[i] - y[i]); !(d <= worst) { // NaN counts as far
			worst = d
		}
	}
	return worst
}

func TestAMapAndItsOtherFormsAgree(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	for i := range 2000 {
		a, b, p := random(r), random(r), vec(r, -4, 4)
		back, ok := a.Inverse()
		if d := far(a.Then(back), affine.Identity()); !ok || !(d < 1e-12) {
			t.Fatalf("case %d: a·a⁻¹ differs from the identity by %.1e, ok %v", i, d, ok)
		}
		if d := a.Then(b).Apply(p).Sub(a.Apply(b.Apply(p))).Len(); !(d < 1e-12) {
			t.Fatalf("case %d: Then and Apply differ by %.1e", i, d)
		}
		if d := far(affine.FromColumns(a.Columns()), a); d != 0 {
			t.Fatalf("case %d: columns change the map by %.1e", i, d)
		}
		shift, turn, scale, ok := a.TRS()
		if d := far(affine.FromTRS(shift, turn, scale), a); !ok || !(d < 1e-12) {
			t.Fatalf("case %d: shift, rotation and scale differ by %.1e, ok %v", i, d, ok)
		}
		if d := math.Abs(a.Then(b).Det() - a.Det()*b.Det()); !(d < 1e-10) {
			t.Fatalf("case %d: determinants do not multiply: off by %.1e", i, d)
		}
	}
}

func TestWhatHasNoInverseOrNoScaleIsSaid(t *testing.T) {
	flat := affine.FromTRS(rigid.Vec{}, rigid.Quat{W: 1}, rigid.Vec{X: 1, Y: 0, Z: 1})
	if m, ok := flat.Inverse(); ok || m != affine.Identity() {
		t.Errorf("a flat map has the inverse %v, %v", m, ok)
	}
	if _, _, _, ok := flat.TRS(); ok {
		t.Error("a flat map has a scale")
	}
	shear := affine.Map{L: rigid.Rot{{1, 0.3, 0}, {0, 1, 0}, {0, 0, 1}}}
	if _, q, _, ok := shear.TRS(); ok || math.IsNaN(q.W) {
		t.Errorf("a sheared map has a scale, rotation %v", q)
	}
}

func TestAShearOfAThousandthIsTold(t *testing.T) {
	for shear, want := range map[float64]bool{1e-5: true, 1e-3: false} {
		m := affine.Map{L: rigid.Rot{{1, shear, 0}, {0, 1, 0}, {0, 0, 1}}}
		if _, _, _, ok := m.TRS(); ok != want {
			t.Errorf("sheared by %g: ok %v, want %v", shear, ok, want)
		}
	}
}
