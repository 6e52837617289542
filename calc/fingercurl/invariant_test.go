package fingercurl

import (
	"math"
	"math/rand/v2"
	"testing"

	"centrode/calc/catalog"
	"centrode/calc/plane"
	"centrode/tests/hard/bound"
)

func TestAnotherUnitOfLengthChangesNothingElse(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 1))
	for range 2000 {
		f := randomFinger(rng)
		for _, s := range []float64{0.125, 3, 0.01} {
			g := scaled(f, s)
			tol := 1e-11 * g.size()
			a, b := f.Pose(), g.Pose()
			near(t, "pulp_gap", b.PulpGap(), s*a.PulpGap(), tol, "derived: similar figures")
			tan := math.Tan(f.Flex[1] / 2)
			near(t, "squash", g.Squash(1, tan), s*f.Squash(1, tan), 1e-12*math.Abs(s*f.Squash(1, tan)), "derived: similar figures")
			rodA, heldA := LargestRod(a.Surface)
			rodB, heldB := LargestRod(b.Surface)
			near(t, "curl_radius", rodB.Radius, s*rodA.Radius, tol, "derived: similar figures")
			depthA, okA := f.DepthToTouch()
			depthB, okB := g.DepthToTouch()
			near(t, "depth_to_touch", depthB, depthA, 1e-9, "derived: a fraction has no unit")
			if heldA != heldB || okA != okB || t.Failed() {
				t.Fatalf("seed 1,1: scale %v: held %v and %v, touch %v and %v for %+v", s, heldA, heldB, okA, okB, f)
			}
		}
	}
}

func TestTheRodDoesNotDependOnWhereTheHandLies(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 1))
	for range 2000 {
		f := randomFinger(rng)
		surfaces := f.Pose().Surface
		want, held := LargestRod(surfaces)
		m := plane.TurnAbout(plane.Vec{X: 3, Y: -2}, 6*rng.Float64())
		for k, s := range surfaces {
			surfaces[k] = Surface{plane.Segment{A: m.Apply(s.A), B: m.Apply(s.B)}, m.Turn(s.Facing)}
		}
		got, stillHeld := LargestRod(surfaces)
		if off := got.Centre.Sub(m.Apply(want.Centre)).Len(); stillHeld != held || !(math.Abs(got.Radius-want.Radius) <= 1e-11*f.size()) || held && !(off <= 1e-6*f.size()) {
			t.Fatalf("seed 1,1: %+v (held %v), want %+v (held %v) for %+v", got, stillHeld, want, held, f)
		}
	}
}

func TestThePulpRunsStraightAsTheCommonDepthGrows(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 1))
	for range 5000 {
		f := randomFinger(rng)
		start, step := f.PulpPath()
		p := rng.Float64()
		f.Pivot = [3]float64{p, p, p}
		if off := f.Pose().Pulp.Sub(start.Add(step.Scale(p))).Len(); !(off <= 1e-14*f.size()) {
			t.Fatalf("seed 1,1: off the line by %.1e for %+v", off, f)
		}
	}
}

func TestTheTouchingDepthTouchesAndIsTheLargest(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 1))
	touching := 0
	for range 5000 {
		f := randomFinger(rng)
		depth, ok := f.DepthToTouch()
		// Every depth is tried on a fine ladder: the distance to the palm's surface, sign aside, is convex along a straight
		// path, so a touch between two rungs shows as a least distance no larger than a rung's step.
		_, step := f.PulpPath()
		const rungs = 400
		for n := range rungs + 1 {
			p := float64(n) / rungs
			f.Pivot = [3]float64{p, p, p}
			pose := f.Pose()
			away := pose.Surface[0].Distance(pose.Pulp)
			if !(away >= 0) {
				t.Fatalf("distance %v", away)
			}
			if floor := math.Abs(step.Y) * (p - depth); ok && p > depth && !(away >= floor*(1-1e-9)-1e-12*f.size()) {
				t.Fatalf("seed 1,1: at depth %v, beyond %v, the pulp is only %v from the palm: %+v", p, depth, away, f)
			}
			if !ok && away < 1e-6*f.size() {
				t.Fatalf("seed 1,1: no depth is said to touch, but at %v the pulp is %v away: %+v", p, away, f)
			}
		}
		if !ok {
			mustNotCross(t, f)
			continue
		}
		touching++
		f.Pivot = [3]float64{depth, depth, depth}
		if gap := f.Pose().PulpGap(); !(math.Abs(gap) <= 1e-12*f.size()) {
			t.Fatalf("seed 1,1: at the touching depth %v the gap is %v: %+v", depth, gap, f)
		}
	}
	if touching < 250 {
		t.Errorf("only %d of 5000 fingers can touch: the check is lopsided", touching)
	}
	t.Logf("%d of 5000 fingers can touch", touching)
}

// mustNotCross looks for a place where the pulp, as the depth grows, passes through the palm's surface: by golden-section
// search for the least distance, which is convex in the depth.
func mustNotCross(t *testing.T, f Finger) {
	t.Helper()
	away := func(p float64) float64 {
		f.Pivot = [3]float64{p, p, p}
		pose := f.Pose()
		return pose.Surface[0].Distance(pose.Pulp)
	}
	lo, hi := 0.0, 1.0
	for range 100 {
		a, b := lo+0.382*(hi-lo), lo+0.618*(hi-lo)
		if away(a) < away(b) {
			hi = b
		} else {
			lo = a
		}
	}
	if d := away((lo + hi) / 2); !(d > 1e-9*f.size()) {
		t.Fatalf("seed 1,1: no depth is said to touch, but at %v the pulp is %v away: %+v", lo, d, f)
	}
}

func TestAPulpThatSlidesAlongThePalmTakesTheLargestDepth(t *testing.T) {
	for _, c := range []struct {
		name                string
		start, step, lo, hi float64
		want                float64
		ok                  bool
	}{
		{"stays inside", -3, 1, -6, 0, 1, true},
		{"leaves at the knuckle", -1, 4, -6, 0, 0.25, true},
		{"leaves at the wrist", -5, -2, -6, 0, 0.5, true},
		{"enters", 2, -4, -6, 0, 1, true},
		{"passes right through", 1, -14, -6, 0, 0.5, true},
		{"never there", 1, 4, -6, 0, 0, false},
		{"not yet there", 3, -2, -6, 0, 0, false},
		{"does not move, inside", -2, 0, -6, 0, 1, true},
		{"does not move, outside", 2, 0, -6, 0, 0, false},
	} {
		got, ok := largestWithin(c.start, c.step, c.lo, c.hi)
		if ok != c.ok || ok && !(math.Abs(got-c.want) <= 1e-15) {
			t.Errorf("%s: %v, %v, want %v, %v\n\tderived by hand", c.name, got, ok, c.want, c.ok)
		}
	}
}

func TestTheOutputsOfRandomValuesAgreeWithEachOther(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 1))
	for range 3000 {
		given := randomGiven(rng)
		r := run(t, given)
		n := r.Numbers
		near(t, "total_flex", n["total_flex"], given["mcp_flex"]+given["pip_flex"]+given["dip_flex"], 1e-12, "definition")
		foot := math.Sqrt((n["pulp_x"]-n["foot_x"])*(n["pulp_x"]-n["foot_x"]) + (n["pulp_y"]-n["foot_y"])*(n["pulp_y"]-n["foot_y"]))
		near(t, "distance pulp to foot", foot, math.Abs(n["pulp_gap"]), 1e-10, "definition")
		near(t, "pulp after all turns", n["mcp_pulp_x"], n["pulp_x"], 1e-10, "the steps end at the answer")
		contacts := r.Tables["contacts"]
		for i := range contacts.Len {
			dx, dy := contacts.Numbers["x"][i]-n["curl_x"], contacts.Numbers["y"][i]-n["curl_y"]
			near(t, "distance of a contact from the centre", math.Sqrt(dx*dx+dy*dy), n["curl_radius"], 1e-7, "definition")
		}
		if t.Failed() {
			t.Fatalf("seed 1,1: %v", given)
		}
	}
}

func TestBackwardFlexionHoldsNothing(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 1))
	for range 500 {
		given := randomGiven(rng)
		for _, j := range joints {
			given[j.flex] = -45 * rng.Float64()
			given[j.pivot], given[j.shift] = 1, 0 // one unbroken palm-side surface, bent backward
			given[j.depth] = 1
		}
		given["tip_depth"] = 1
		if r := run(t, given); r.Has("curl_radius") {
			t.Fatalf("seed 1,1: holds %v, bent backward: %v\n\tderived: every contact lies on one side", r.Numbers["curl_radius"], given)
		}
	}
}

// FuzzSolve accepts a finite answer or a refusal that names a field, and nothing else.
func FuzzSolve(f *testing.F) {
	f.Add(6.81, 3.98, 2.24, 1.97, 2.2, 1.85, 1.65, 1.45, 0.5, 0.5, 0.5, 0.0, 0.0, 0.0, 90.0, 105.0, 70.0)
	f.Add(4.0, 4.0, 4.0, 4.0, 1.0, 1.0, 1.0, 1.0, 1.0, 1.0, 1.0, 0.0, 0.0, 0.0, 90.0, 90.0, 90.0)
	f.Add(1e-300, 1e-320, 100.0, 5e-324, 30.0, 1e-200, 1.0, 1.0, -0.5, 1.5, 0.0, 10.0, -10.0, 0.0, 180.0, 180.0, 180.0)
	f.Add(5.0, 4.0, 2.0, 1.0, 5e-324, 5e-324, 5e-324, 5e-324, 1.0, 1.0, 1.0, 0.0, 0.0, 0.0, 90.0, 90.0, 90.0) // whose reciprocals are no numbers
	f.Add(6.0, 4.0, 2.0, 4.0, 1.0, 1.0, 1.0, 1.0, 1.0, 1.5, 1.0, 0.0, 0.0, 0.0, 180.0, 90.0, 90.0)
	f.Fuzz(func(t *testing.T, a, b, c, d, e, g, h, i, j, k, l, m, n, o, p, q, s float64) {
		defer bound.Watch(t, 0)()
		numbers := map[string]float64{"palm_length": a, "proximal": b, "middle": c, "distal": d,
			"mcp_depth": e, "pip_depth": g, "dip_depth": h, "tip_depth": i, "mcp_pivot": j, "pip_pivot": k, "dip_pivot": l,
			"mcp_shift": m, "pip_shift": n, "dip_shift": o, "mcp_flex": p, "pip_flex": q, "dip_flex": s}
		answer, err := catalog.Run(Calculator{}, catalog.Values{Numbers: numbers})
		if err != nil {
			refused, ok := err.(*catalog.InputError)
			if !ok {
				t.Fatalf("refused with %v", err)
			}
			if _, known := (Calculator{}).Spec().Field(refused.Field); !known {
				t.Fatalf("refused naming no field: %v", err)
			}
			return
		}
		mustBeFinite(t, answer)
	})
}

// mustBeFinite fails on any number that is not finite, in the result or in the figure, and on an empty sentence.
func mustBeFinite(t *testing.T, answer catalog.Answer) {
	t.Helper()
	for id, v := range answer.Result.Numbers {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			t.Fatalf("%s = %v", id, v)
		}
	}
	if answer.Say() == "" {
		t.Fatal("says nothing")
	}
	for _, p := range pointsOf(answer.Calculator.Figure(answer.Values, answer.Result)) {
		if s := p.X + p.Y; math.IsNaN(s) || math.IsInf(s, 0) {
			t.Fatalf("the figure has the point %v", p)
		}
	}
}

func TestRandomValuesGiveFiniteAnswers(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 1))
	for range 3000 {
		answer, err := catalog.Run(Calculator{}, catalog.Values{Numbers: randomGiven(rng)})
		if err != nil {
			t.Fatal(err)
		}
		mustBeFinite(t, answer)
	}
}
