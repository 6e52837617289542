package bendsection

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"centrode/calc/plane"
)

// Derived: the strip mirrors itself about the bisector of the bend, so the weight at the joint is a half before and after
// any smoothing, and half the sum of a vector and the turned vector has the length times cos(θ/2).
func TestSmoothingLeavesTheThicknessAtTheJoint(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	for range 200 {
		s := Strip{Depth: 1 + r.Float64(), Pivot: r.Float64(), Flex: 3 * r.Float64(), Length: 3, Blend: 6 * r.Float64(), Passes: r.IntN(60), Strength: r.Float64()}
		outer, inner := s.Surfaces()
		got, want := outer[perSide].Sub(inner[perSide]).Len()/s.Depth, math.Cos(s.Flex/2)
		if !(math.Abs(got-want) < 1e-12) {
			t.Fatalf("%+v keeps %v of its thickness, want %v", s, got, want)
		}
	}
}

// The warning of a fold names what opens it. The most passes that the field takes do not open a deep one, and cost area; a fold
// whose blend is a tenth too narrow opens.
func TestSmoothingOpensASmallFoldOnly(t *testing.T) {
	deep := map[string]float64{"depth": 9, "pivot": 0.5, "flex": 120, "length": 22, "blend": 9}
	before := run(t, deep)
	deep["passes"] = 500
	after := run(t, deep)
	if after.Result.Numbers["overlap"] != 1 || !(after.Result.Numbers["area_ratio"] < before.Result.Numbers["area_ratio"]-0.05) {
		t.Errorf("after 500 passes: overlap %v, area %v, before %v", after.Result.Numbers["overlap"], after.Result.Numbers["area_ratio"], before.Result.Numbers["area_ratio"])
	}
	small := map[string]float64{"depth": 9, "pivot": 0.5, "flex": 60, "length": 40, "blend": 0.9 * 9 * math.Tan(math.Pi/6), "passes": 100}
	if got := run(t, small).Result.Numbers["overlap"]; got != 0 {
		t.Errorf("a small fold after 100 passes: overlap %v", got)
	}
	if text := after.Result.Warnings[0].Text; !strings.Contains(text, "a small fold only") {
		t.Errorf("the warning promises more: %s", text)
	}
}

// Derived: within the ramp the inside surface is (k·s, −h·cos − (2 sin/b)·s²) about the bisector, k = cos − 2h·sin/b at half
// the bend, so it crosses itself just when the blend is narrower than the squash 2h·tan(θ/2) of a hard edge (source of the
// squash: reference cases wedge-1 to wedge-3).
func TestTheInsideFoldsWhenTheBlendIsNarrowerThanTheSquash(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	for range 200 {
		s := Strip{Depth: 1 + r.Float64(), Pivot: 0.9 * r.Float64(), Flex: 0.6 + 1.2*r.Float64()}
		squash := 2 * (1 - s.Pivot) * s.Depth * math.Tan(s.Flex/2)
		s.Length = squash
		for _, share := range []float64{0.9, 1.1} {
			s.Blend = share * squash
			_, inner := s.Surfaces()
			if folds := s.fold(inner); (folds > 0) != (share < 1) {
				t.Fatalf("%+v with a squash of %v: folds %v", s, squash, folds)
			}
		}
	}
}

// derived: before smoothing a surface is known everywhere, so its measures are those of ever finer points, here some 200,000, and not of
// the few that are drawn.
func TestAnUnsmoothedBendIsMeasuredBetweenItsPoints(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 7))
	for range 60 {
		depth, side, pivot := 1+19*rng.Float64(), 5+35*rng.Float64(), -0.3+1.6*rng.Float64()
		flex, blend := -170+340*rng.Float64(), 2*side*(0.01+0.99*rng.Float64())
		n := run(t, map[string]float64{"depth": depth, "length": side, "pivot": pivot, "flex": flex, "blend": blend}).Result.Numbers
		outer, inner := finely(pivot*depth, flex, blend, side), finely((pivot-1)*depth, flex, blend, side)
		area, last := inner[len(inner)-1].Cross(outer[len(outer)-1])+outer[0].Cross(inner[0]), len(outer)-1
		out, in := 0.0, 0.0
		for i := range last {
			area += inner[i].Cross(inner[i+1]) - outer[i].Cross(outer[i+1])
			out, in = out+outer[i+1].Sub(outer[i]).Len(), in+inner[i+1].Sub(inner[i]).Len()
		}
		for id, want := range map[string]float64{"area_ratio": area / (4 * side * depth), "outside_length_ratio": out / (2 * side), "inside_length_ratio": in / (2 * side)} {
			if !(math.Abs(n[id]-want) < 1e-6) { // Simpson's rule where a surface all but turns on the spot
				t.Errorf("depth %v, side %v, pivot %v, flex %v, blend %v: %s = %v, want %v", depth, side, pivot, flex, blend, id, n[id], want)
			}
		}
	}
}

// finely is the surface at a height above the pivot, densely on its ramp.
func finely(y, flex, blend, side float64) []plane.Vec {
	const steps = 200_000
	line := []plane.Vec{{X: -side, Y: y}}
	turned := func(p plane.Vec) plane.Vec { return plane.TurnAbout(plane.Vec{}, -flex*math.Pi/180).Apply(p) }
	for i := range steps + 1 {
		w := float64(i) / steps
		p := plane.Vec{X: (w - 0.5) * blend, Y: y}
		line = append(line, p.Scale(1-w).Add(turned(p).Scale(w)))
	}
	return append(line, turned(plane.Vec{X: side, Y: y}))
}
