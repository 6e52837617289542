package posefit

import (
	"math"
	"math/rand/v2"
	"testing"

	"centrode/calc/catalog"
	"centrode/calc/rigid"
	"centrode/tests/scatter"
)

// cloud is landmarks by pose, the rest pose first.
type cloud [][]rigid.Vec

// scene makes a cloud turned about a known line or point: angles about axes of its own each, or about one.
func scene(r *rand.Rand, kind string, landmarks, poses int, noise, least, most float64) (c cloud, pivot, axis rigid.Vec) {
	pivot, axis = scatter.Vec(r, 5), scatter.Vec(r, 1).Unit()
	rest := make([]rigid.Vec, landmarks)
	middle := scatter.Vec(r, 4)
	for k := range rest {
		rest[k] = pivot.Add(middle).Add(scatter.Vec(r, 4))
	}
	c = cloud{rest}
	for range poses {
		about := axis
		if kind == "ball" {
			about = scatter.Vec(r, 1)
		}
		turn, _ := rigid.Turn(about, least+(most-least)*r.Float64())
		c = append(c, c.moved(rigid.TurnAbout(pivot, turn))[0])
		for k := range rest {
			c[len(c)-1][k] = c[len(c)-1][k].Add(scatter.Vec(r, noise))
		}
	}
	return c, pivot, axis
}

// moved is the cloud after a motion of everything.
func (c cloud) moved(m rigid.Motion) cloud { return c.each(m.Apply) }

func (c cloud) each(f func(rigid.Vec) rigid.Vec) cloud {
	out := make(cloud, len(c))
	for i, pose := range c {
		for _, p := range pose {
			out[i] = append(out[i], f(p))
		}
	}
	return out
}

func (c cloud) table() catalog.Rows {
	t := catalog.Rows{Numbers: map[string][]float64{}}
	for i, pose := range c {
		for _, p := range pose {
			for id, x := range map[string]float64{"pose": float64(i), "x": p.X, "y": p.Y, "z": p.Z} {
				t.Numbers[id] = append(t.Numbers[id], x)
			}
			t.Len++
		}
	}
	return t
}

// answer is what the tests look at.
type answer struct {
	determined                           string
	pivot, axis                          rigid.Vec
	residual, free, major, across, slide float64
	hasPivot, hasAxis                    bool
	angles                               []float64
}

func (c cloud) fit(t *testing.T, kind string) answer {
	t.Helper()
	v := catalog.NewValues()
	v.Choices["kind"], v.Tables["landmarks"] = kind, c.table()
	a, err := catalog.Run(Calculator{}, v)
	if err != nil {
		t.Fatal(err)
	}
	return seen(a)
}

func seen(a catalog.Answer) answer {
	n := a.Result.Numbers
	out := answer{determined: a.Result.Texts["determined"], pivot: rigid.Vec{X: n["pivot_x"], Y: n["pivot_y"], Z: n["pivot_z"]},
		axis: rigid.Vec{X: n["axis_x"], Y: n["axis_y"], Z: n["axis_z"]}, residual: n["residual_rms"], free: n["free_rms"],
		major: n["sigma_major"], across: n["sigma_across"], slide: n["slide"], angles: a.Result.Tables["poses"].Numbers["angle"]}
	out.hasPivot, out.hasAxis = a.Result.Has("pivot_x"), a.Result.Has("axis_x")
	return out
}

// same compares an answer with another that was moved by m (a rotation or a mirror) and made larger by scale.
func (a answer) same(t *testing.T, what string, b answer, m func(rigid.Vec) rigid.Vec, direction func(rigid.Vec) rigid.Vec, scale, tolerance float64) {
	t.Helper()
	if a.determined != b.determined || len(a.angles) != len(b.angles) {
		t.Fatalf("%s: determined %s with %d angles, then %s with %d", what, a.determined, len(a.angles), b.determined, len(b.angles))
	}
	worst := math.Abs(scale*a.residual-b.residual) + math.Abs(scale*a.free-b.free) + math.Abs(scale*a.major-b.major) + math.Abs(scale*a.across-b.across)
	if a.hasPivot {
		worst += m(a.pivot).Sub(b.pivot).Len()
	}
	if off := worst / scale; !(off < tolerance) {
		t.Fatalf("%s: pivot, residuals or sigmas are off by %.1e, allowed %.1e", what, off, tolerance)
	}
	for i := range a.angles {
		if off := math.Abs(a.angles[i] - b.angles[i]); !(off < 1e-8) {
			t.Fatalf("%s: angle %d is off by %.1e", what, i, off)
		}
	}
	if off := direction(a.axis).Sub(b.axis).Len(); a.hasAxis && !(off < 1e-8) {
		t.Fatalf("%s: the axis is off by %.1e", what, off)
	}
}

func itself(v rigid.Vec) rigid.Vec { return v }

func TestTheFitMovesAndGrowsWithItsLandmarks(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	for _, kind := range []string{"ball", "hinge"} {
		for range 150 {
			c, _, _ := scene(r, kind, 4+r.IntN(6), 1+r.IntN(6), 0.05, 0.4, 1.8)
			plain := c.fit(t, kind)
			turn, _ := rigid.Turn(scatter.Vec(r, 1), 3*r.Float64())
			motion := rigid.Motion{R: turn, T: scatter.Vec(r, 30)}
			plain.same(t, kind+" moved", c.moved(motion).fit(t, kind), motion.Apply, turn.Apply, 1, 1e-9)
			factor := math.Exp(14*r.Float64() - 7)
			grown := func(v rigid.Vec) rigid.Vec { return v.Scale(factor) }
			plain.same(t, kind+" in another unit", c.each(grown).fit(t, kind), grown, itself, factor, 1e-9)
			mirror := func(v rigid.Vec) rigid.Vec { return rigid.Vec{X: -v.X, Y: v.Y, Z: v.Z} }
			// An axis is a turn, so its mirror image points the other way besides.
			axial := func(v rigid.Vec) rigid.Vec { return rigid.Vec{X: v.X, Y: -v.Y, Z: -v.Z} }
			plain.same(t, kind+" in a mirror", c.each(mirror).fit(t, kind), mirror, axial, 1, 1e-9)
			order := r.Perm(len(c[0]))
			shuffled := make(cloud, len(c))
			for i, pose := range c {
				for _, k := range order {
					shuffled[i] = append(shuffled[i], pose[k])
				}
			}
			plain.same(t, kind+" in another order", shuffled.fit(t, kind), itself, itself, 1, 1e-9)
		}
	}
}

func TestANoiselessPivotComesBackFromAnywhere(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	for _, kind := range []string{"ball", "hinge"} {
		for range 300 {
			c, pivot, axis := scene(r, kind, 3+r.IntN(10), 2+r.IntN(8), 0, 0.3, 1.5)
			a := c.fit(t, kind)
			off := a.pivot.Sub(pivot)
			if kind == "hinge" {
				off = off.Cross(axis)
			}
			if !(off.Len() < 1e-10) || !(a.residual < 1e-12) {
				t.Fatalf("%s: off by %.1e, residual %.1e; allowed 1e-10 and 1e-12", kind, off.Len(), a.residual)
			}
		}
	}
}

// A character a kilometre away loses the digits that its own coordinates have lost, 1.5e-11 cm, and no more; one of a
// millimetre or of a hundred metres is fitted like any other.
func TestPlaceAndSizeDoNotMatter(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 3))
	for _, kind := range []string{"ball", "hinge"} {
		for _, noise := range []float64{0, 0.02} {
			for range 60 {
				c, _, _ := scene(r, kind, 5+r.IntN(5), 2+r.IntN(5), noise, 0.4, 1.5)
				plain := c.fit(t, kind)
				shift := scatter.Vec(r, 1).Unit().Scale(1e5) // 1 km
				away := func(v rigid.Vec) rigid.Vec { return v.Add(shift) }
				plain.same(t, kind+" a kilometre away", c.each(away).fit(t, kind), away, itself, 1, 2e-9)
				for _, factor := range []float64{0.1 / 8, 1e4 / 8} { // about 1 mm and 100 m across
					scaled := func(v rigid.Vec) rigid.Vec { return v.Scale(factor) }
					plain.same(t, kind+" scaled", c.each(scaled).fit(t, kind), scaled, itself, factor, 1e-9)
				}
			}
		}
	}
}

// A turn of θ magnifies the rounding of the data, 4e-15 cm here, by 1/θ in the pivot.
func TestTinyTurnsStillShowTheirPivot(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 4))
	for _, angle := range []float64{1e-2, 1e-4, 1e-6} {
		for range 60 {
			for _, kind := range []string{"ball", "hinge"} {
				c, pivot, axis := scene(r, kind, 8, 5, 0, angle, 2*angle)
				a := c.fit(t, kind)
				off := a.pivot.Sub(pivot)
				if a.determined == "line" {
					off = off.Cross(axis)
				}
				if !a.hasPivot || !(off.Len() < 1e-12/angle) {
					t.Fatalf("%s turning by %v rad: %s, off by %.1e, allowed %.1e", kind, angle, a.determined, off.Len(), 1e-12/angle)
				}
			}
		}
		c, _, _ := scene(r, "ball", 8, 5, 100*angle, angle, 2*angle)
		if a := c.fit(t, "ball"); a.determined != "none" || a.hasPivot {
			t.Errorf("turns of %v rad under noise of %v cm determine %s", angle, 100*angle, a.determined)
		}
	}
}

func TestOnePoseIsAScrew(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 5))
	for range 300 {
		c, pivot, axis := scene(r, "hinge", 3+r.IntN(8), 1, 0, 0.1, 3)
		slide := r.NormFloat64()
		for k := range c[1] {
			c[1][k] = c[1][k].Add(axis.Scale(slide))
		}
		for _, kind := range []string{"ball", "hinge"} {
			a := c.fit(t, kind)
			if off := a.pivot.Sub(pivot).Cross(axis).Len() + a.axis.Sub(axis).Len() + math.Abs(a.slide-slide); a.determined != "line" || !(off < 1e-10) {
				t.Fatalf("%s: %s, off by %.1e in line and slide", kind, a.determined, off)
			}
			if !(math.Abs(a.residual-math.Abs(slide)) < 1e-10) || !(a.free < 1e-12) {
				t.Fatalf("%s: a slide of %v leaves %v, noise floor %.1e", kind, slide, a.residual, a.free)
			}
		}
	}
}

// sigma_major is the standard deviation along the direction in which the pivot is known least; over many trials with the
// same landmarks that direction is the same, so the errors along it must stay below it in 68.3 % of them.
func TestSigmaMajorCoversTheTruthAtItsRate(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 6))
	for _, kind := range []string{"ball", "hinge"} {
		exact, pivot, axis := scene(r, kind, 6, 5, 0, 0.4, 1.5)
		const trials, noise = 2000, 0.03
		offs, sigmas := make([]rigid.Vec, trials), make([]float64, trials)
		var spread rigid.Sym
		for i := range trials {
			a := cloud(append([][]rigid.Vec{exact[0]}, exact[1:].each(func(v rigid.Vec) rigid.Vec { return v.Add(scatter.Vec(r, noise)) })...)).fit(t, kind)
			offs[i], sigmas[i] = a.pivot.Sub(pivot), a.major
			if kind == "hinge" {
				offs[i] = offs[i].Sub(axis.Scale(axis.Dot(offs[i])))
				sigmas[i] = a.across
			}
			spread = spread.AddOuter(1.0/trials, offs[i])
		}
		values, vectors := spread.Eigen()
		covered, mean := 0, 0.0
		for i, off := range offs {
			if math.Abs(off.Dot(vectors[0])) <= sigmas[i] {
				covered++
			}
			mean += sigmas[i] / trials
		}
		rate := float64(covered) / trials
		t.Logf("%s: %.1f %% covered; scatter %.5f cm, sigma %.5f on the mean", kind, 100*rate, math.Sqrt(values[0]), mean)
		if !(rate > 0.65 && rate < 0.71) {
			t.Errorf("%s: one sigma covers the truth in %.1f %% of trials, want 68 ± 3", kind, 100*rate)
		}
	}
}
