package placementmap

import (
	"math"
	"math/rand/v2"
	"testing"

	"centrode/calc/catalog"
	"centrode/calc/centre"
	"centrode/calc/posefit"
	"centrode/calc/rigid"
	"centrode/tests/scatter"
)

// scene makes poses of landmarks turned about a known pivot, with noise and weights.
func scene(r *rand.Rand, noise float64) (p posefit.Poses, pivot rigid.Vec) {
	pivot = scatter.Vec(r, 5)
	for range 4 + r.IntN(6) {
		p.Rest = append(p.Rest, pivot.Add(scatter.Vec(r, 4)))
	}
	for i := range 1 + r.IntN(5) {
		turn, _ := rigid.Turn(scatter.Vec(r, 1), 0.4+1.5*r.Float64())
		m, pose := rigid.TurnAbout(pivot, turn), centre.Pose{}
		for _, x := range p.Rest {
			pose.Points = append(pose.Points, m.Apply(x).Add(scatter.Vec(r, noise)))
			pose.Weights = append(pose.Weights, 0.5+r.Float64())
		}
		p.Targets, p.IDs = append(p.Targets, pose), append(p.IDs, i+1)
	}
	return p, pivot
}

// moved maps every landmark, in the given order of landmarks.
func moved(p posefit.Poses, order []int, f func(rigid.Vec) rigid.Vec) posefit.Poses {
	out := posefit.Poses{IDs: p.IDs}
	for _, k := range order {
		out.Rest = append(out.Rest, f(p.Rest[k]))
	}
	for _, target := range p.Targets {
		pose := centre.Pose{}
		for _, k := range order {
			pose.Points, pose.Weights = append(pose.Points, f(target.Points[k])), append(pose.Weights, target.Weights[k])
		}
		out.Targets = append(out.Targets, pose)
	}
	return out
}

func TestTheMapMovesAndGrowsWithItsLandmarks(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	for i := range 300 {
		p, _ := scene(r, 0.2)
		axis := rigid.Vec{}
		if i%2 == 0 {
			axis = scatter.Vec(r, 1).Unit()
		}
		turn, _ := rigid.Turn(scatter.Vec(r, 1), 3*r.Float64())
		motion, factor := rigid.Motion{R: turn, T: scatter.Vec(r, 20)}, math.Exp(14*r.Float64()-7)
		straight := make([]int, len(p.Rest))
		for k := range straight {
			straight[k] = k
		}
		for what, c := range map[string]struct {
			point, direction func(rigid.Vec) rigid.Vec
			order            []int
			scale            float64
		}{
			"moved":            {motion.Apply, turn.Apply, straight, 1},
			"in another unit":  {func(v rigid.Vec) rigid.Vec { return v.Scale(factor) }, func(v rigid.Vec) rigid.Vec { return v }, straight, factor},
			"in a mirror":      {func(v rigid.Vec) rigid.Vec { return rigid.Vec{X: -v.X, Y: v.Y, Z: v.Z} }, func(v rigid.Vec) rigid.Vec { return rigid.Vec{X: v.X, Y: -v.Y, Z: -v.Z} }, straight, 1},
			"in another order": {func(v rigid.Vec) rigid.Vec { return v }, func(v rigid.Vec) rigid.Vec { return v }, r.Perm(len(p.Rest)), 1},
		} {
			one, two := NewField(p, axis), NewField(moved(p, c.order, c.point), c.direction(axis))
			for range 20 {
				at := scatter.Vec(r, 10)
				if off := math.Abs(one.RMS(at)*c.scale-two.RMS(c.point(at))) / c.scale; !(off < 1e-9) {
					t.Fatalf("case %d %s: off by %.1e at %v, allowed 1e-9", i, what, off, at)
				}
			}
		}
	}
}

// The pivot of pose-fit is the lowest place there is, and the map tells the same number there.
func TestTheMapAgreesWithTheFitAndIsNowhereLower(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	for i := range 200 {
		p, _ := scene(r, 0.1)
		hinge := i%2 == 0
		fit := posefit.Fit(p, hinge)
		if len(p.Targets) == 1 || !hinge && fit.Determined != centre.Point {
			continue // a single pose is told with its slide, which a map cannot
		}
		total := 0.0
		for _, s := range fit.Squares {
			total += s
		}
		want, field := math.Sqrt(total/fit.Weight), NewField(p, fit.Axis)
		if off := math.Abs(field.RMS(fit.Pivot) - want); !(off < 1e-8) {
			t.Fatalf("case %d: the map says %v at the pivot, the fit %v, off by %.1e", i, field.RMS(fit.Pivot), want, off)
		}
		for range 50 {
			if at := fit.Pivot.Add(scatter.Vec(r, 3)); field.Exact(at) < want-1e-12 {
				t.Fatalf("case %d: %v leaves %v, the fitted pivot %v", i, at, field.Exact(at), want)
			}
		}
	}
}

// The three planes are one map with the letters moved on: (x, y, z) → (y, z, x).
func TestThePlanesAreCyclic(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 3))
	p, _ := scene(r, 0.1)
	order := make([]int, len(p.Rest))
	for k := range order {
		order[k] = k
	}
	grid := Grid{Plane: "xy", Level: 0.7, MinU: -3, MaxU: 4, MinV: -5, MaxV: 2, Cells: 7}
	want := grid.Row(NewField(p, rigid.Vec{}), 3, nil)
	for _, plane := range []string{"yz", "zx"} {
		p = moved(p, order, func(v rigid.Vec) rigid.Vec { return rigid.Vec{X: v.Z, Y: v.X, Z: v.Y} })
		grid.Plane = plane
		for i, got := range grid.Row(NewField(p, rigid.Vec{}), 3, nil) {
			if off := math.Abs(got - want[i]); !(off < 1e-9) {
				t.Errorf("%s: cell %d is off by %.1e", plane, i, off)
			}
		}
	}
}

// derived: n landmarks about their middle, S = Σ|x|², turned by θ about it. About a place at distance D the best turn
// has Σ y·(R x) = √((S cos θ + n D²)² + (S sin θ)²), so n·rms² = 2 S + 2 n D² − 2 √(…).
func TestAShiftedHingeLeavesWhatTheClosedFormSays(t *testing.T) {
	rows := catalog.Rows{Len: 8, Numbers: map[string][]float64{}}
	sin, cos := math.Sincos(70 * math.Pi / 180)
	for i := range 8 {
		x, y := []float64{3, -3, 3, -3}[i%4], []float64{2, 2, -2, -2}[i%4]
		if i >= 4 {
			x, y = cos*x-sin*y, sin*x+cos*y
		}
		for id, n := range map[string]float64{"pose": float64(i / 4), "x": x, "y": y, "z": 0} {
			rows.Numbers[id] = append(rows.Numbers[id], n)
		}
	}
	const n, s = 4.0, 4 * (9 + 4.0)
	for _, kind := range []string{"ball", "hinge"} {
		v := catalog.NewValues()
		v.Choices["kind"], v.Tables["landmarks"] = kind, rows
		v.Numbers["min_u"], v.Numbers["max_u"], v.Numbers["min_v"], v.Numbers["max_v"], v.Numbers["cells"] = -4, 4, -4, 4, 9
		a, err := catalog.Run(Calculator{}, v)
		if err != nil {
			t.Fatal(err)
		}
		cells := a.Result.Tables["cells"].Numbers
		for k, got := range cells["rms"] {
			d := n * (cells["u"][k]*cells["u"][k] + cells["v"][k]*cells["v"][k])
			left := 2*s + 2*d - 2*math.Sqrt((s*cos+d)*(s*cos+d)+s*sin*s*sin)
			// The fast path tells squares to 1e-16 of the data's own, hence 1e-7 where nothing is left.
			if want := math.Sqrt(math.Max(0, left/n)); !(math.Abs(got-want) < 1e-7) {
				t.Errorf("%s at (%v, %v): %v, want %v", kind, cells["u"][k], cells["v"][k], got, want)
			}
		}
		if m := a.Result.Numbers; !(m["best_rms"] < 1e-12) || math.Abs(m["best_u"])+math.Abs(m["best_v"]) > 1e-12 {
			t.Errorf("%s: best %v at (%v, %v), want 0 at the pivot", kind, m["best_rms"], m["best_u"], m["best_v"])
		}
	}
}
