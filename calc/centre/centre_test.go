package centre

import (
	"math"
	"math/rand/v2"
	"testing"

	"centrode/calc/rigid"
	"centrode/tests/scatter"
)

// scene makes n landmarks turned about a known pivot; hinge keeps one axis.
func scene(r *rand.Rand, n, poses int, noise float64, hinge bool) (rest []rigid.Vec, posed []Pose, pivot, axis rigid.Vec) {
	pivot, axis = scatter.Vec(r, 5), scatter.Vec(r, 1).Unit()
	for range n {
		rest = append(rest, pivot.Add(scatter.Vec(r, 4)))
	}
	for range poses {
		a := axis
		if !hinge {
			a = scatter.Vec(r, 1)
		}
		turn, _ := rigid.Turn(a, 0.3+1.2*r.Float64())
		m := rigid.TurnAbout(pivot, turn)
		var p Pose
		for _, x := range rest {
			p.Points = append(p.Points, m.Apply(x).Add(scatter.Vec(r, noise)))
		}
		posed = append(posed, p)
	}
	return rest, posed, pivot, axis
}

func TestNoiselessPosesGiveBackTheirPivot(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	for range 300 {
		rest, poses, pivot, _ := scene(r, 3+r.IntN(10), 2+r.IntN(8), 0, false)
		fit := Ball(rest, poses)
		if off := fit.Pivot.Sub(pivot).Len(); fit.Determined != Point || !(off < 1e-10) {
			t.Fatalf("ball: %v off by %.1e, allowed 1e-10", fit.Determined, off)
		}
		rest, poses, pivot, axis := scene(r, 3+r.IntN(10), 1+r.IntN(8), 0, true)
		for name, fit := range map[string]Fit{"ball": Ball(rest, poses), "hinge": Hinge(rest, poses)} {
			across := fit.Pivot.Sub(pivot).Cross(axis).Len()
			if fit.Determined != Line || !(across < 1e-10) || !(fit.Axis.Sub(axis).Len() < 1e-10) {
				t.Fatalf("%s on a shared axis: %v, off the line by %.1e, axis %v want %v", name, fit.Determined, across, fit.Axis, axis)
			}
		}
	}
}

// The gradient at the answer is a witness that owes nothing to the solver: central differences of the objective.
func TestNoNearbyPivotIsBetter(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	for range 100 {
		rest, poses, _, _ := scene(r, 6, 5, 0.3, false)
		fit, pr := Ball(rest, poses), newProblem(rest, poses)
		at := fit.Pivot.Sub(pr.centre)
		ball := search{problem: pr}
		here := ball.value(place{pivot: at}, pr.now)
		for range 20 {
			if there := ball.value(place{pivot: at.Add(scatter.Vec(r, 1e-4))}, pr.now); there < here {
				t.Fatalf("a pivot 0.1 µm-scale away leaves %.15g, the fit %.15g", there, here)
			}
		}
		rest, poses, _, _ = scene(r, 6, 5, 0.3, true)
		fit, pr = Hinge(rest, poses), newProblem(rest, poses)
		at = fit.Pivot.Sub(pr.centre)
		line := search{problem: pr, hinge: true}
		here = line.value(place{at, fit.Axis}, pr.now)
		for range 20 {
			if there := line.value(place{at.Add(scatter.Vec(r, 1e-4)), fit.Axis.Add(scatter.Vec(r, 1e-4)).Unit()}, pr.now); there < here {
				t.Fatalf("a line nearby leaves %.15g, the fit %.15g", there, here)
			}
		}
	}
}

// derived: where nothing is left over, the system of a hinge is half of the objective's second derivatives, here by central differences,
// also for a pivot that stands far along its line from the landmarks.
func TestTheSystemOfAHingeIsTheObjectivesCurvature(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 30))
	const h = 1e-3
	for range 50 {
		rest, poses, pivot, axis := scene(r, 6, 4, 0, true)
		pr := newProblem(rest, poses)
		line := search{problem: pr, hinge: true}
		at := place{pivot.Sub(pr.centre).Add(axis.Scale(5)), axis}
		line.value(at, pr.now)
		system, scratch := pr.hingeSystem(at, pr.now), make([]rigid.Rot, len(poses))
		moved := func(i, j int, a, b float64) float64 {
			var x [4]float64
			x[i] += a
			x[j] += b
			return line.value(pr.hingeStep(at, x), scratch)
		}
		largest := 0.0
		for i := range 4 {
			largest = max(largest, system.A[i][i])
		}
		for i := range 4 {
			for j := range 4 {
				want := (moved(i, j, h, h) - moved(i, j, h, -h) - moved(i, j, -h, h) + moved(i, j, -h, -h)) / (8 * h * h)
				if off := math.Abs(system.A[i][j] - want); !(off < 1e-3*largest) {
					t.Fatalf("entry %d, %d is %v, by differences %v", i, j, system.A[i][j], want)
				}
			}
		}
	}
}

func TestSigmaCoversTheTruthAtItsRate(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 3))
	for _, hinge := range []bool{false, true} {
		covered, trials := 0, 0
		for range 2000 {
			rest, poses, pivot, _ := scene(r, 8, 6, 0.05, hinge)
			fit := Ball(rest, poses)
			if hinge {
				fit = Hinge(rest, poses)
			}
			if !fit.Known {
				t.Fatal("no sigma")
			}
			trials++
			if math.Abs(fit.Sigma.Dot(fit.Pivot.Sub(pivot))) <= fit.Size {
				covered++
			}
		}
		if rate := float64(covered) / float64(trials); !(rate > 0.65 && rate < 0.71) {
			t.Errorf("hinge %v: one sigma covers the truth in %.1f %% of trials, want 68 ± 3", hinge, 100*rate)
		}
	}
}

func TestWhatIsNotDeterminedIsSaid(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 4))
	for name, c := range map[string]struct {
		noise  float64
		hinge  bool
		poses  int
		offset float64
		want   Determined
	}{
		"coaxial with noise":       {0.05, true, 12, 0, Line},
		"coaxial a kilometre away": {0, true, 5, 1e5, Line},
		"free with noise":          {0.05, false, 12, 0, Point},
		"free a kilometre away":    {0, false, 5, 1e5, Point},
		"one pose":                 {0.05, false, 1, 0, Line},
	} {
		wrong := 0
		for range 200 {
			rest, poses, _, _ := scene(r, 8, c.poses, c.noise, c.hinge)
			for i := range rest {
				rest[i].X += c.offset
			}
			for _, p := range poses {
				for i := range p.Points {
					p.Points[i].X += c.offset
				}
			}
			if fit := Ball(rest, poses); fit.Determined != c.want || fit.Stalled {
				wrong++
			}
		}
		if wrong > 2 {
			t.Errorf("%s: %d of 200 trials are not told apart", name, wrong)
		}
	}
	rest, poses, _, _ := scene(r, 8, 4, 0, false)
	for i := range poses {
		for k := range rest {
			poses[i].Points[k] = rest[k].Add(scatter.Vec(r, 0.05))
		}
	}
	if fit := Ball(rest, poses); fit.Determined != None {
		t.Errorf("poses that do not turn determine %v", fit.Determined)
	}
}

// The searches allocate nothing, so what a fit allocates does not depend on how many landmarks and poses there are.
func TestAFitAllocatesItsResultAndItsRoomAlone(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 6))
	for _, size := range [][2]int{{4, 2}, {30, 20}, {50, 200}} {
		rest, poses, _, _ := scene(r, size[0], size[1], 0.1, false)
		if n := testing.AllocsPerRun(5, func() { Ball(rest, poses) }); n > 12 {
			t.Errorf("%d landmarks in %d poses: a ball makes %v allocations", size[0], size[1], n)
		}
		rest, poses, _, _ = scene(r, size[0], size[1], 0.1, true)
		if n := testing.AllocsPerRun(5, func() { Hinge(rest, poses) }); n > 12 {
			t.Errorf("%d landmarks in %d poses: a hinge makes %v allocations", size[0], size[1], n)
		}
	}
}

func BenchmarkBall(b *testing.B) {
	r := rand.New(rand.NewPCG(1, 5))
	rest, poses, _, _ := scene(r, 30, 20, 0.1, false)
	b.ReportAllocs()
	for b.Loop() {
		Ball(rest, poses)
	}
}

func BenchmarkHinge(b *testing.B) {
	r := rand.New(rand.NewPCG(1, 5))
	rest, poses, _, _ := scene(r, 30, 20, 0.1, true)
	b.ReportAllocs()
	for b.Loop() {
		Hinge(rest, poses)
	}
}

// The sigma of a single pose against the spread of its own pivot: how far each posed coordinate moves the axis, taken as a difference.
func TestASinglePoseKnowsHowFarItsAxisMayLie(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 9))
	for range 200 {
		rest, poses, _, axis := scene(r, 4+r.IntN(4), 1, 0.002, true)
		points := poses[0].Points
		for k := range points { // a slide, which a single pose may have
			points[k] = points[k].Add(axis.Scale(0.7))
		}
		for name, fitted := range map[string]func([]rigid.Vec, []Pose) Fit{"ball": Ball, "hinge": Hinge} {
			fit := fitted(rest, poses)
			variance := fit.FreeSquares[0] / float64(3*len(rest)-6)
			const step = 1e-5
			var spread rigid.Sym
			for k, at := range points {
				for _, to := range []rigid.Vec{{X: step}, {Y: step}, {Z: step}} {
					points[k] = at.Add(to)
					up := fitted(rest, poses).Pivot
					points[k] = at.Sub(to)
					moved := up.Sub(fitted(rest, poses).Pivot).Scale(1 / (2 * step))
					points[k] = at
					spread = spread.AddOuter(variance, moved.Sub(fit.Axis.Scale(fit.Axis.Dot(moved))))
				}
			}
			values, _ := spread.Eigen()
			if want := math.Sqrt(values[0]); !fit.Known || !(math.Abs(fit.Size-want) < 0.02*want) {
				t.Errorf("%s of %d landmarks, turned by %.2f: sigma %.6f, known %v; its pivot spreads by %.6f", name, len(rest), fit.Angles[0], fit.Size, fit.Known, want)
			}
		}
	}
}
