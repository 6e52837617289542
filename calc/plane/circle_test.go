package plane

import (
	"math"
	"math/rand/v2"
	"testing"
)

// touchesAll reports how far the circle is from touching the lines (from their positive side) and passing the points.
func touchesAll(c Circle, lines []Line, points []Vec) float64 {
	off := 0.0
	for _, l := range lines {
		off = math.Max(off, math.Abs(l.Signed(c.Centre)-c.Radius))
	}
	for _, p := range points {
		off = math.Max(off, math.Abs(p.Sub(c.Centre).Len()-c.Radius))
	}
	return off
}

// planted draws a circle with three features that it touches, so that the circle is known beforehand.
func planted(rng *rand.Rand) (c Circle, lines [3]Line, points [3]Vec) {
	c = Circle{Vec{rng.Float64()*10 - 5, rng.Float64()*10 - 5}, 0.1 + 5*rng.Float64()}
	for i := range lines {
		out := Polar(1, (float64(i)+0.8*rng.Float64())*2*math.Pi/3)
		points[i] = c.Centre.Add(out.Scale(c.Radius))
		lines[i] = LineThrough(points[i], out.Scale(-1))
	}
	return c, lines, points
}

func TestACircleIsFoundFromAnyThreeFeaturesItTouches(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 1))
	for range 20_000 {
		want, l, p := planted(rng)
		for _, kind := range []struct {
			name   string
			found  []Circle
			lines  []Line
			points []Vec
		}{
			{"three lines", []Circle{TouchingLines(l[0], l[1], l[2])}, l[:], nil},
			{"two lines, a point", one(TouchingLinesThrough(l[0], l[1], p[2])), l[:2], p[2:]},
			{"a line, two points", one(TouchingLineThrough(l[0], p[1], p[2])), l[:1], p[1:]},
			{"three points", []Circle{Circumcircle(p[0], p[1], p[2])}, nil, p[:]},
		} {
			best := math.Inf(1)
			for _, c := range kind.found {
				best = math.Min(best, c.Centre.Sub(want.Centre).Len()+math.Abs(c.Radius-want.Radius))
				if off := touchesAll(c, kind.lines, kind.points); c.Radius > 0 && c.Radius < 1e3 && !(off <= 1e-9) {
					t.Fatalf("seed 1,1: %s: %v misses its features by %.1e", kind.name, c, off)
				}
			}
			if !(best <= 1e-10) {
				t.Fatalf("seed 1,1: %s: %v, want %v, off by %.1e\n\tderived: the features were built around it", kind.name, kind.found, want, best)
			}
		}
	}
}

func one(pair [2]Circle) []Circle { return pair[:] }

func TestKnownTouchingCircles(t *testing.T) {
	floor, left := Line{Vec{0, 1}, 0}, Line{Vec{1, 0}, 0}
	for _, c := range []struct {
		name   string
		found  []Circle
		want   Circle
		source string
	}{
		{"3-4-5 triangle has inradius 1", []Circle{TouchingLines(floor, left, LineThrough(Vec{3, 0}, Vec{-0.8, -0.6}))}, Circle{Vec{1, 1}, 1},
			"derived: r = (3 + 4 − 5)/2"},
		{"corner and the point (2, 1)", one(TouchingLinesThrough(floor, left, Vec{2, 1})), Circle{Vec{1, 1}, 1}, "derived: centre (r, r), (2 − r)² + (1 − r)² = r²"},
		{"corner and the point (2, 1), the large one", one(TouchingLinesThrough(floor, left, Vec{2, 1})), Circle{Vec{5, 5}, 5}, "derived: the other root"},
		{"line parallel to the points", one(TouchingLineThrough(floor, Vec{-1, 1}, Vec{1, 1})), Circle{Vec{0, 1}, 1}, "derived: by symmetry"},
		{"right triangle's hypotenuse is a diameter", []Circle{Circumcircle(Vec{}, Vec{6, 0}, Vec{0, 8})}, Circle{Vec{3, 4}, 5}, "Thales"},
	} {
		best := math.Inf(1)
		for _, f := range c.found {
			if d := f.Centre.Sub(c.want.Centre).Len() + math.Abs(f.Radius-c.want.Radius); d < best { // NaN is passed over
				best = d
			}
		}
		if !(best <= 1e-14) {
			t.Errorf("%s: %v, want %v\n\t%s", c.name, c.found, c.want, c.source)
		}
	}
}

func TestFeaturesThatAdmitNoCircleGiveNoFiniteOne(t *testing.T) {
	floor := Line{Vec{0, 1}, 0}
	ceiling := Line{Vec{0, 1}, 2} // the same normal
	finite := func(c Circle) bool { return c.Radius > 0 && !math.IsInf(c.Radius, 0) }
	for _, c := range []struct {
		name  string
		found []Circle
	}{
		{"two equal normals", []Circle{TouchingLines(floor, ceiling, Line{Vec{1, 0}, 0})}},
		{"two equal normals through a point", one(TouchingLinesThrough(floor, ceiling, Vec{0, 5}))},
		{"one point given twice", one(TouchingLineThrough(floor, Vec{1, 1}, Vec{1, 1}))},
		{"points on both sides of the line", one(TouchingLineThrough(floor, Vec{0, 1}, Vec{1, -1}))},
		{"three points on a line", []Circle{Circumcircle(Vec{}, Vec{1, 1}, Vec{2, 2})}},
	} {
		for _, f := range c.found {
			if finite(f) {
				t.Errorf("%s: %v, want none", c.name, f)
			}
		}
	}
}

func TestSurrounds(t *testing.T) {
	a := func(degrees ...float64) []Vec {
		var points []Vec
		for _, d := range degrees {
			points = append(points, Vec{3, 4}.Add(Polar(2, d*math.Pi/180)))
		}
		return points
	}
	for _, c := range []struct {
		name   string
		points []Vec
		want   bool
	}{
		{"nothing surrounds nothing", nil, false},
		{"one point does not", a(10), false},
		{"two opposite points do", a(10, 190), true},
		{"two points not quite opposite do not", a(10, 189), false},
		{"the same direction twice does not", a(10, 10, 10), false},
		{"a third of a turn apart", a(0, 120, 240), true},
		{"four sides of a hexagon span just half a turn", a(30, 90, 150, 210), true},
		{"four sides of an octagon do not", a(0, 45, 90, 135), false},
		{"listed in any order", a(240, 0, 120), true},
		{"a pair of doubles", a(10, 10, 190, 190), true},
		{"a point on the spot", []Vec{{3, 4}}, true},
	} {
		if got := Surrounds(Vec{3, 4}, c.points, 1e-9); got != c.want {
			t.Errorf("%s: %v, want %v", c.name, got, c.want)
		}
	}
}

func TestSurroundsAgreesWithTheLargestEmptyAngle(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 1))
	for range 50_000 {
		var points []Vec
		var angles []float64
		for range 2 + rng.IntN(4) {
			angle := rng.Float64() * 2 * math.Pi
			angles = append(angles, angle)
			points = append(points, Polar(0.1+rng.Float64(), angle))
		}
		if got, want := Surrounds(Vec{}, points, 1e-9), emptyAngle(angles) <= math.Pi; got != want {
			t.Fatalf("seed 1,1: Surrounds(%v) = %v, want %v", points, got, want)
		}
	}
}

// emptyAngle is the largest turn from one direction to the next.
func emptyAngle(angles []float64) float64 {
	largest := 0.0
	for i, a := range angles {
		next := 2 * math.Pi
		for j, b := range angles {
			if i != j {
				next = math.Min(next, math.Mod(b-a+2*math.Pi, 2*math.Pi))
			}
		}
		largest = math.Max(largest, next)
	}
	return largest
}

func TestOverlapOfSquares(t *testing.T) {
	at := func(x, y float64) []Vec { return []Vec{{x, y}, {x + 2, y}, {x + 2, y + 2}, {x, y + 2}} }
	for _, c := range []struct {
		name string
		b    []Vec
		want float64
	}{
		{"itself", at(0, 0), 4}, {"a quarter", at(1, 1), 1}, {"half", at(1, 0), 2}, {"apart", at(5, 0), 0}, {"edge to edge", at(2, 0), 0},
		{"a diamond inside", []Vec{{1, 0}, {2, 1}, {1, 2}, {0, 1}}, 2},
	} {
		if got := Area(Overlap(at(0, 0), c.b)); math.Abs(got-c.want) > 1e-15 {
			t.Errorf("%s: area %v, want %v\n\tderived by hand", c.name, got, c.want)
		}
	}
}

func TestUndoComesBack(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 1))
	for range 1000 {
		m := TurnAbout(Vec{rng.NormFloat64(), rng.NormFloat64()}, 10*rng.NormFloat64()).Then(TurnAbout(Vec{1, 2}, rng.Float64()))
		p := Vec{rng.NormFloat64(), rng.NormFloat64()}
		if off := m.Undo(m.Apply(p)).Sub(p).Len(); !(off <= 1e-13) {
			t.Fatalf("seed 1,1: off by %.1e", off)
		}
	}
}
