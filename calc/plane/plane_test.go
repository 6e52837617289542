package plane

import (
	"math"
	"math/rand/v2"
	"testing"
)

func point(rng *rand.Rand) Vec { return Vec{X: rng.Float64()*20 - 10, Y: rng.Float64()*20 - 10} }

func near(a, b Vec, tol float64) bool { return a.Sub(b).Len() <= tol } // false for NaN

func TestATurnAboutAPivotLeavesItAndKeepsDistances(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 1))
	for i := range 2000 {
		pivot, p, q, angle := point(rng), point(rng), point(rng), rng.Float64()*40-20
		m := TurnAbout(pivot, angle)
		back := TurnAbout(pivot, -angle)
		switch {
		case !near(m.Apply(pivot), pivot, 1e-14):
			t.Fatalf("seed 1,1 case %d: the pivot %v moves to %v", i, pivot, m.Apply(pivot))
		case !(math.Abs(m.Apply(p).Sub(m.Apply(q)).Len()-p.Sub(q).Len()) <= 1e-13):
			t.Fatalf("seed 1,1 case %d: the distance of %v and %v changes", i, p, q)
		case !near(back.Apply(m.Apply(p)), p, 1e-13):
			t.Fatalf("seed 1,1 case %d: back again leads to %v, want %v", i, back.Apply(m.Apply(p)), p)
		}
	}
}

func TestAQuarterTurnGoesCounterClockwise(t *testing.T) {
	for _, c := range []struct {
		name      string
		got, want Vec
		source    string
	}{
		{"about the origin", TurnAbout(Vec{}, math.Pi/2).Apply(Vec{X: 2}), Vec{Y: 2}, "derived: x axis to y axis"},
		{"about (1, 1)", TurnAbout(Vec{1, 1}, math.Pi/2).Apply(Vec{3, 1}), Vec{1, 3}, "derived: 2 to the right becomes 2 up"},
		{"perpendicular", Vec{3, 1}.Perp(), Vec{-1, 3}, "derived"},
		{"polar", Polar(2, -math.Pi/2), Vec{Y: -2}, "derived"},
		{"standing still", Still().Apply(Vec{3, 1}), Vec{3, 1}, "derived"},
	} {
		if !near(c.got, c.want, 5e-16) { // cos 90° rounds to 6e-17
			t.Errorf("%s: got %v, want %v (%s)", c.name, c.got, c.want, c.source)
		}
	}
}

func TestThenDoesTheInnerMotionFirst(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 1))
	for i := range 1000 {
		a, b, p := TurnAbout(point(rng), rng.Float64()*6), TurnAbout(point(rng), rng.Float64()*6), point(rng)
		if got, want := a.Then(b).Apply(p), a.Apply(b.Apply(p)); !near(got, want, 1e-13) {
			t.Fatalf("seed 1,1 case %d: product gives %v, one after the other %v", i, got, want)
		}
	}
}

func TestTheNearestPointOfASegmentIsNearerThanAnyOther(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 1))
	for i := range 300 {
		s, p := Segment{point(rng), point(rng)}, point(rng)
		nearest, at := s.Nearest(p)
		if !near(nearest, s.A.Lerp(s.B, at), 1e-12) || !(at >= 0 && at <= 1) {
			t.Fatalf("seed 1,1 case %d: %v is not at %v of the segment", i, nearest, at)
		}
		for k := range 201 {
			if d := p.Sub(s.A.Lerp(s.B, float64(k)/200)).Len(); d < s.Distance(p)-1e-12 {
				t.Fatalf("seed 1,1 case %d: %v is nearer than %v", i, d, s.Distance(p))
			}
		}
	}
}

func TestZeroLengthsAreAnswered(t *testing.T) {
	s := Segment{Vec{1, 2}, Vec{1, 2}}
	if nearest, at := s.Nearest(Vec{4, 6}); nearest != s.A || at != 0 || s.Distance(Vec{4, 6}) != 5 {
		t.Errorf("a segment without length answers %v at %v, distance %v; want its point and 5 (derived: 3-4-5)", nearest, at, s.Distance(Vec{4, 6}))
	}
	if got := (Vec{}).Unit(); got != (Vec{}) {
		t.Errorf("the unit of no vector is %v", got)
	}
	if got := (Vec{}).Angle(); got != 0 {
		t.Errorf("the angle of no vector is %v", got)
	}
	if got := (Vec{3, 4}).Unit(); !near(got, Vec{0.6, 0.8}, 2e-16) {
		t.Errorf("the unit of (3, 4) is %v, want (0.6, 0.8) (derived)", got)
	}
}

func TestCrossIsPositiveCounterClockwise(t *testing.T) {
	if got := (Vec{1, 0}).Cross(Vec{0, 2}); got != 2 {
		t.Errorf("x × 2y = %v, want 2 (derived)", got)
	}
	if got := (Vec{1, 2}).Dot(Vec{3, 4}); got != 11 {
		t.Errorf("dot = %v, want 11 (derived)", got)
	}
	if got := (Vec{1, 2}).Add(Vec{3, 4}); got != (Vec{4, 6}) {
		t.Errorf("sum = %v, want (4, 6) (derived)", got)
	}
}
