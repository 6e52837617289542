package bendsection

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"centrode/calc/catalog"
	"centrode/calc/plane"
)

func run(t *testing.T, set map[string]float64) catalog.Answer {
	t.Helper()
	v := catalog.NewValues()
	for id, x := range set {
		v.Numbers[id] = x
	}
	a, err := catalog.Run(Calculator{}, v)
	if err != nil {
		t.Fatal(err)
	}
	return a
}

// Source: kavan2008 (linear blending loses the cosine of half the angle), here as an identity.
func TestAnEvenBlendKeepsTheCosineOfHalfTheBend(t *testing.T) {
	for _, flex := range []float64{-120, 0, 17, 45, 90, 135, 170} {
		for _, pivot := range []float64{0, 0.3, 0.5, 1} {
			n := run(t, map[string]float64{"flex": flex, "pivot": pivot}).Result.Numbers
			if want := math.Cos(flex * math.Pi / 360); !(math.Abs(n["thickness_ratio"]-want) < 1e-12) {
				t.Errorf("flex %v, pivot %v: keeps %v of the thickness, want %v", flex, pivot, n["thickness_ratio"], want)
			}
		}
	}
}

func TestAStraightStripKeepsEverything(t *testing.T) {
	n := run(t, map[string]float64{"flex": 0, "passes": 30}).Result.Numbers
	for id, want := range map[string]float64{"thickness_ratio": 1, "area_ratio": 1, "inside_length_ratio": 1, "outside_length_ratio": 1, "overlap": 0} {
		if !(math.Abs(n[id]-want) < 1e-12) {
			t.Errorf("%s = %v, want %v", id, n[id], want)
		}
	}
}

// derived: with a hard edge the two inside surfaces run on to their corner and past it, so the inside crosses itself when
// there is flesh inside the pivot.
func TestAHardEdgeFoldsThroughItselfWhereFleshLiesInside(t *testing.T) {
	for _, c := range []struct {
		pivot, flex float64
		want        float64
	}{{0.5, 90, 1}, {0, 60, 1}, {1, 90, 0}, {0.5, 0, 0}, {0.5, -90, 0}} {
		if got := run(t, map[string]float64{"pivot": c.pivot, "flex": c.flex, "blend": 0}).Result.Numbers["overlap"]; got != c.want {
			t.Errorf("pivot %v, flex %v: overlap %v, want %v", c.pivot, c.flex, got, c.want)
		}
	}
}

// derived: with a hard edge both halves stay whole, so each surface is its rest and the chord between its two corners, and the
// outline is two rectangles and, at the pivot, a triangle ½·r²·sin θ a side, the outer one added and the inner one taken away.
func TestAHardEdgeKeepsBothHalvesWholeAndAddsTheChordBetweenTheirCorners(t *testing.T) {
	const depth, side = 8.0, 16.0
	for _, pivot := range []float64{-0.5, 0, 0.3, 0.5, 1, 1.5} {
		for _, flex := range []float64{-150, -90, 0, 20, 90, 163, 180} {
			n := run(t, map[string]float64{"depth": depth, "length": side, "pivot": pivot, "flex": flex, "blend": 0}).Result.Numbers
			half, whole := math.Sin(flex*math.Pi/360), math.Sin(flex*math.Pi/180)
			outer, inner := pivot*depth, (1-pivot)*depth
			for id, want := range map[string]float64{
				"inside_length_ratio":  1 + math.Abs(2*inner*half)/(2*side),
				"outside_length_ratio": 1 + math.Abs(2*outer*half)/(2*side),
				"area_ratio":           1 + (outer*outer-inner*inner)*whole/2/(2*side*depth),
			} {
				if !(math.Abs(n[id]-want) < 1e-12) { // sums of some 400 terms of order 1
					t.Errorf("pivot %v, flex %v: %s = %v, want %v", pivot, flex, id, n[id], want)
				}
			}
		}
	}
}

// The help of the inside surface says that a deep fold may come out above 1: of these the one with most flesh inside does.
func TestADeepFoldMayBeLongerThanRest(t *testing.T) {
	if deep := run(t, map[string]float64{"depth": 9, "pivot": 0.1, "flex": 120, "length": 22, "blend": 9}).Result.Numbers; !(deep["inside_length_ratio"] > 1.05 && deep["overlap"] == 1) {
		t.Errorf("the deep fold: %v", deep)
	}
	for _, o := range spec.Outputs {
		if o.ID == "inside_length_ratio" && !strings.Contains(o.Help, "above 1") {
			t.Errorf("its help does not say so: %s", o.Help)
		}
	}
}

// derived: bending the other way about the mirrored pivot is the same picture upside down.
func TestTheOtherWayRoundIsTheMirrorImage(t *testing.T) {
	a := run(t, map[string]float64{"flex": 70, "pivot": 0.3, "passes": 5}).Result.Numbers
	b := run(t, map[string]float64{"flex": -70, "pivot": 0.7, "passes": 5}).Result.Numbers
	for _, pair := range [][2]string{{"inside_length_ratio", "outside_length_ratio"}, {"outside_length_ratio", "inside_length_ratio"}, {"area_ratio", "area_ratio"}, {"thickness_ratio", "thickness_ratio"}} {
		if !(math.Abs(a[pair[0]]-b[pair[1]]) < 1e-12) {
			t.Errorf("%s %v, mirrored %s %v", pair[0], a[pair[0]], pair[1], b[pair[1]])
		}
	}
}

func TestABlendWiderThanTheStripIsRefused(t *testing.T) {
	v := catalog.NewValues()
	v.Numbers["length"], v.Numbers["blend"] = 3, 7
	if _, err := catalog.Run(Calculator{}, v); err == nil || err.Error() != "blend: 7 cm: must be at most twice the length of a side, which is 6 cm" {
		t.Errorf("%v", err)
	}
}

// crossing is the fold as one sees it: two pieces of the inside surface, not neighbours, that have a point in common. It
// is the witness of Strip.fold where the sides are long enough to meet.
func crossing(line []plane.Vec) bool {
	for i := 1; i < len(line); i++ {
		for j := i + 2; j < len(line); j++ {
			a, ab := line[i-1], line[i].Sub(line[i-1])
			c, cd := line[j-1], line[j].Sub(line[j-1])
			across := ab.Cross(cd)
			t, u := c.Sub(a).Cross(cd)/across, c.Sub(a).Cross(ab)/across
			if math.Abs(across) > 1e-9*ab.Len()*cd.Len() && t >= 0 && t <= 1 && u >= 0 && u <= 1 {
				return true
			}
		}
	}
	return false
}

// Derived: where both sides reach past h·tan(θ/2), the surface meets itself just when a side has passed the bisector. Blends
// near the threshold are left out: there the loop is smaller than the intervals that the witness looks at.
func TestAFoldIsSeenAsACrossingWhereTheSidesAreLongEnoughToMeet(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	folds := 0
	for range 1000 {
		s := Strip{Depth: 1 + r.Float64(), Pivot: 1.2*r.Float64() - 0.1, Flex: 5*r.Float64() - 2.5, Passes: r.IntN(20), Strength: r.Float64()}
		squash := 2 * (1 - s.Pivot) * s.Depth * math.Tan(s.Flex/2)
		s.Length = 1 + math.Abs(squash)
		if s.Blend = 2 * r.Float64() * s.Length; math.Abs(s.Blend-squash) < 0.2*math.Abs(squash) {
			continue
		}
		_, inner := s.Surfaces()
		if got, want := s.fold(inner) > 0, crossing(inner); got != want {
			t.Fatalf("%+v, squash %v: folds %v, crosses itself %v", s, squash, got, want)
		}
		if s.fold(inner) > 0 {
			folds++
		}
	}
	if folds < 50 {
		t.Errorf("only %d of the strips fold", folds)
	}
}

// Derived: the insides pass each other when the blend is narrower than 2h·tan(θ/2), however short the sides are; at a bend
// of 180° the second segment lies in the first one's flesh, up to a pivot on the inside surface, which only touches.
func TestShortSidesThatHavePassedEachOtherCountAsAFold(t *testing.T) {
	for _, c := range []struct {
		depth, pivot, flex, length, blend, want float64
	}{
		{9, 0.5, 150, 10, 4, 1},
		{1, 0.5, 30, 16, 0, 1}, // less than an interval of the surface folds
		{1, 0.5, 30, 16, 0.26, 1},
		{1, 0.5, 30, 16, 0.28, 0},
		{8, 0.5, 2, 16, 0, 1},
		{0.001, 0.5, 90, 10000, 0, 1},
		{8, 1, 90, 16, 0, 0},
		{8, 0.5, 0, 16, 0, 0},
		{1, 0.5, -30, 16, 0, 0},
		{9, 0.5, 150, 20, 4, 1},
		{9, 0.5, 150, 3, 4, 1},
		{8, 0.5, 180, 16, 6, 1},
		{8, 0.5, 180, 16, 0, 1},
		{8, 0, 180, 1, 2, 1},
		{8, 1, 180, 16, 6, 0},
		{8, 1.2, 180, 16, 6, 0},
		{8, 0.5, -180, 16, 6, 0},
		{8, 0.5, 90, 16, 8.1, 0},
		{8, 0.5, 90, 5, 7.9, 1},
	} {
		a := run(t, map[string]float64{"depth": c.depth, "pivot": c.pivot, "flex": c.flex, "length": c.length, "blend": c.blend})
		if got := a.Result.Numbers["overlap"]; got != c.want {
			t.Errorf("%+v: overlap %v", c, got)
		}
		warned := len(a.Result.Warnings) > 0 && a.Result.Warnings[0].Code == "overlap"
		if warned != (c.want == 1) {
			t.Errorf("%+v: warnings %v", c, a.Result.Warnings)
		}
	}
}

// Sides too short for the bend: what overlaps is more than what is left. The area of the outline without a blend, by hand: 2·L·d + ½·d²·(p² − (1−p)²)·sin θ.
func TestAnOverlapCountsNegative(t *testing.T) {
	for _, c := range []struct{ length, flex, want float64 }{{1, 90, -1}, {2, 90, 0}, {4, 90, 0.5}, {4, 30, 0.75}} {
		a := run(t, map[string]float64{"depth": 8, "length": c.length, "pivot": 0, "flex": c.flex, "blend": 0})
		if got := a.Result.Numbers["area_ratio"]; math.Abs(got-c.want) > 0.02 { // the strip's points lie a few tenths of a millimetre apart
			t.Errorf("sides of %v cm, bent by %v°: area %v of the rest's, want %v", c.length, c.flex, got, c.want)
		}
		if none := strings.Contains(a.Say(), "none of its area"); none != (a.Result.Numbers["area_ratio"] <= 0) {
			t.Errorf("an area of %v is told as %q", a.Result.Numbers["area_ratio"], a.Say())
		}
	}
}

// Shares that the page prints to three places are those of the surface itself and not of the points that stand for it: a thousand
// times as many, the ends of the ramp among them, give the same to a millionth.
func TestTheSharesAreThoseOfTheSurface(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 3))
	for i := range 400 {
		s := Strip{Depth: 1 + 10*r.Float64(), Pivot: r.Float64(), Flex: 4*r.Float64() - 2, Length: 10}
		s.Blend = []float64{0.9, 19.9, 20}[i%3]
		if i > 9 {
			s.Blend = 1 + 19*r.Float64()
		}
		_, inner := s.Surfaces()
		pivot := plane.Vec{Y: s.Depth/2 - s.Pivot*s.Depth}
		turn := plane.TurnAbout(pivot, -s.Flex)
		const parts = 100_000
		at := func(x float64) plane.Vec {
			rest := plane.Vec{X: x, Y: -s.Depth / 2}
			return rest.Lerp(turn.Apply(rest), s.weight(x))
		}
		want, last := 2*(s.Length-s.Blend/2), at(-s.Blend/2) // outside of the ramp nothing changes
		for k := range parts {
			next := at(s.Blend * (float64(k+1)/parts - 0.5))
			want, last = want+next.Sub(last).Len(), next
		}
		if off := (s.length(inner) - want) / (2 * s.Length); !(math.Abs(off) <= 1e-6) {
			t.Errorf("%+v: the inside's share is off by %.1e", s, off)
		}
	}
}

// A strip far thinner or shorter than what is drawn would get the rounding of its area; it is refused by the name of its field.
func TestAStripWithoutExtentIsRefusedByName(t *testing.T) {
	for _, id := range []string{"depth", "length"} {
		for _, size := range []float64{5e-324, 1e-310, 1e-200, 1e-14} {
			v := catalog.NewValues()
			v.Numbers[id], v.Numbers["blend"] = size, 0
			_, err := catalog.Run(Calculator{}, v)
			if err == nil || !strings.HasPrefix(err.Error(), id+": ") || !strings.Contains(err.Error(), "must be from") {
				t.Errorf("%s of %v: %v", id, size, err)
			}
		}
		n := run(t, map[string]float64{id: least, "blend": 0, "flex": 60, "pivot": 1}).Result.Numbers
		if want := math.Cos(math.Pi / 6); !(math.Abs(n["thickness_ratio"]-want) < 1e-9) {
			t.Errorf("%s of %v: keeps %v of the thickness, want %v", id, least, n["thickness_ratio"], want)
		}
	}
}
