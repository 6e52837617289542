package rigid

import (
	"math"
	"math/rand/v2"
	"testing"
)

func randomRot(r *rand.Rand) Rot {
	q, _ := Quat{r.NormFloat64(), r.NormFloat64(), r.NormFloat64(), r.NormFloat64()}.Unit()
	return q.Rot()
}

func randomVec(r *rand.Rand) Vec { return Vec{r.NormFloat64(), r.NormFloat64(), r.NormFloat64()} }

func apart(a, b Rot) float64 {
	worst := 0.0
	for i := range 3 {
		for j := range 3 {
			worst = math.Max(worst, math.Abs(a[i][j]-b[i][j]))
		}
	}
	return worst
}

func TestQuaternionAndRotationAreTheSameThing(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	for range 20000 {
		rot := randomRot(r)
		if off := apart(rot.Quat().Rot(), rot); !(off < 2e-15) {
			t.Fatalf("rotation %v comes back off by %.1e, allowed 2e-15", rot, off)
		}
		axis, angle := rot.AxisAngle()
		back, _ := Turn(axis, angle)
		if off := apart(back, rot); !(off < 3e-15) {
			t.Fatalf("axis and angle of %v come back off by %.1e, allowed 3e-15", rot, off)
		}
	}
}

func TestEveryOrderReadsBackItsOwnAngles(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	for _, name := range Orders() {
		o, ok := ParseOrder(name)
		if !ok {
			t.Fatalf("order %q is not read", name)
		}
		for range 5000 {
			rot := randomRot(r)
			if off := apart(o.Rot(o.Angles(rot)), rot); !(off < 3e-15) {
				t.Fatalf("order %s: %v comes back off by %.1e, allowed 3e-15", name, rot, off)
			}
		}
		singular := [3]float64{0.3, 0.3, 0.3}
		singular[o[1]] = math.Pi / 2
		rot := o.Rot(Vec{singular[0], singular[1], singular[2]})
		if off := apart(o.Rot(o.Angles(rot)), rot); !(off < 1e-12) {
			t.Errorf("order %s: singular rotation comes back off by %.1e, allowed 1e-12", name, off)
		}
	}
}

func TestBestRotationRecoversTheTruthAndNeverMirrors(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 3))
	for range 5000 {
		truth := randomRot(r)
		var m Cross
		flat := r.IntN(2) == 0
		for range 5 {
			a := randomVec(r)
			if flat {
				a.Z = 0
			}
			m.Add(0.5+r.Float64(), a, truth.Apply(a))
		}
		if best := m.Best(); !(apart(best.R, truth) < 1e-12) {
			t.Fatalf("best rotation is off by %.1e (gap %.2g), allowed 1e-12", apart(best.R, truth), best.Gap)
		}
		axis, angle := truth.AxisAngle()
		if got, best := m.BestAbout(axis); !(apart(best.R, truth) < 1e-11) || math.Abs(math.Abs(got)-angle) > 1e-9 {
			t.Fatalf("best rotation about the true axis has angle %v, want %v", got, angle)
		}
	}
}

func TestScrewRebuildsTheMotion(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 4))
	for range 5000 {
		m := Motion{randomRot(r), randomVec(r)}
		s, ok := m.Screw()
		if !ok {
			t.Fatal("a random rotation has no axis")
		}
		turn, _ := Turn(s.Axis, s.Angle)
		p := randomVec(r)
		want, got := m.Apply(p), TurnAbout(s.Point, turn).Apply(p).Add(s.Axis.Scale(s.Slide))
		if off := want.Sub(got).Len(); !(off < 1e-9) {
			t.Fatalf("the screw misses the motion by %.1e, allowed 1e-9 (angle %v)", off, s.Angle)
		}
	}
}

func TestEigenvectorsRebuildTheMatrix(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 5))
	for range 5000 {
		var s Sym
		for range 1 + r.IntN(4) {
			s = s.AddOuter(1, randomVec(r))
		}
		values, vectors := s.Eigen()
		for i, v := range vectors {
			if off := s.Apply(v).Sub(v.Scale(values[i])).Len(); !(off <= 1e-13*(1+values[0])) {
				t.Fatalf("eigenvector %d misses by %.1e", i, off)
			}
		}
		if !(values[0] >= values[1] && values[1] >= values[2]) {
			t.Fatalf("eigenvalues %v do not fall", values)
		}
	}
}

func TestShortestArcTurnsOneDirectionIntoTheOther(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 6))
	for i := range 2000 {
		a, b := randomVec(r), randomVec(r)
		if i%10 == 0 {
			b = a.Scale(-2)
		}
		rot, ok := ShortestArc(a, b)
		if off := rot.Apply(a.Unit()).Sub(b.Unit()).Len(); !ok || !(off < 1e-9) {
			t.Fatalf("shortest arc misses by %.1e", off)
		}
	}
	if _, ok := ShortestArc(Vec{}, Vec{X: 1}); ok {
		t.Error("a vector without length has a direction")
	}
}

func BenchmarkBest(b *testing.B) {
	r := rand.New(rand.NewPCG(1, 7))
	var m Cross
	truth := randomRot(r)
	for range 30 {
		a := randomVec(r)
		m.Add(1, a, truth.Apply(a))
	}
	for b.Loop() {
		m.Best()
	}
}

func TestTheFastSumIsTheGreatestEigenvalue(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 8))
	for i := range 20000 {
		var m Cross
		truth, bound := randomRot(r), 0.0
		for range 2 + r.IntN(6) {
			a := randomVec(r)
			if i%3 == 0 {
				a.Z = 0
			}
			b := truth.Apply(a).Add(randomVec(r).Scale(0.3 * float64(i%2)))
			m.Add(1, a, b)
			bound += (a.Dot(a) + b.Dot(b)) / 2
		}
		if got, want := m.BestSum(bound), m.Best().Sum; !(math.Abs(got-want) <= 1e-9*bound) {
			t.Fatalf("case %d: fast sum %v, eigenvalue %v, off by %.1e of the bound", i, got, want, math.Abs(got-want)/bound)
		}
	}
}

func BenchmarkBestSum(b *testing.B) {
	r := rand.New(rand.NewPCG(1, 7))
	var m Cross
	truth, bound := randomRot(r), 0.0
	for range 30 {
		a := randomVec(r)
		c := truth.Apply(a).Add(randomVec(r).Scale(0.1))
		m.Add(1, a, c)
		bound += (a.Dot(a) + c.Dot(c)) / 2
	}
	b.Run("quartic", func(b *testing.B) {
		for b.Loop() {
			m.BestSum(bound)
		}
	})
	b.Run("jacobi", func(b *testing.B) {
		for b.Loop() {
			m.Best()
		}
	})
}
