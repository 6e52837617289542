package bendsection

import (
	"math"
	"testing"

	"centrode/calc/catalog"
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
// there is flesh inside the pivot, and keeps its length but for the last interval on either side of the joint.
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
