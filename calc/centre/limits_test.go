package centre

import (
	"math"
	"math/rand/v2"
	"testing"

	"centrode/calc/rigid"
	"centrode/tests/scatter"
)

// Two poses that travel the same way and turn against each other: no pivot gives both, and the farther it is the less is left, for about
// a place at infinity a turn is a mere travel. The search ends a hundred times as far as a pivot whose turns go as far as the landmarks
// did. derived: of turns θ in a plane the information is Σ W·4·sin²(θ/2), and the landmarks about the rest centroid have the mean square
// (1 + 2·(1 + far²))/3.
func TestAPivotIsNotSoughtAtInfinity(t *testing.T) {
	for _, angle := range []float64{0.3, 0.1, 0.03} {
		for _, far := range []float64{5, 50} {
			rest := []rigid.Vec{{X: 1}, {X: -1}, {Y: 1}, {Y: -1}}
			var poses []Pose
			for _, side := range []float64{1, -1} {
				turn, _ := rigid.Turn(rigid.Vec{Z: 1}, side*angle)
				var p Pose
				for _, x := range rest {
					p.Points = append(p.Points, turn.Apply(x).Add(rigid.Vec{X: far}))
				}
				poses = append(poses, p)
			}
			hundred := 100 * math.Sqrt((3+2*far*far)/3) / (2 * math.Sin(angle/2))
			if off := Ball(rest, poses).Pivot.Len(); !(off <= hundred*(1+1e-12)) || !(off > hundred/2) {
				t.Errorf("turned by ±%v, %v away: the pivot is %v off; want %v or little less", angle, far, off, hundred)
			}
		}
	}
}

// Landmarks on one line do not tell a turn about it, so of a single pose of them nobody knows how sure its axis is.
func TestOneLineOfLandmarksHasNoSigma(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 40))
	for range 200 {
		u, turned := scatter.Vec(r, 1), scatter.Vec(r, 1)
		turn, _ := rigid.Turn(turned, 1)
		var rest []rigid.Vec
		var p Pose
		for k := range 4 {
			rest = append(rest, u.Scale(float64(k)))
			p.Points = append(p.Points, turn.Apply(rest[k]).Add(scatter.Vec(r, 1e-3)))
		}
		for name, fit := range map[string]Fit{"ball": Ball(rest, []Pose{p}), "hinge": Hinge(rest, []Pose{p})} {
			if fit.Known || fit.Size != 0 {
				t.Fatalf("%s: along %v a sigma of %v is known", name, u, fit.Size)
			}
		}
	}
}

// Landmarks are in one plane when they are to the digits in which they are given: nine or ten of their extent, and of a character far
// away, whose coordinates are rounded by more than that, all that are left. derived: the thickness by hand, the rounding of a coordinate
// 1.1e-16 of it.
func TestAPlaneIsOneToTheDigitsGiven(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 41))
	for _, c := range []struct {
		far, thick float64
		want       bool
	}{{0, 0, true}, {0, 5e-10, true}, {0, 3e-9, false}, {0, 1e-6, false}, {1e3, 0, true}, {1e8, 0, true}, {1e8, 1e-5, false}, {1e10, 0, true}} {
		for range 100 {
			tilt, _ := rigid.Turn(scatter.Vec(r, 1), 3*r.Float64())
			at := scatter.Vec(r, 1).Unit().Scale(c.far)
			turn, _ := rigid.Turn(rigid.Vec{Z: 1}, 0.5)
			var rest []rigid.Vec
			var p Pose
			for _, x := range []rigid.Vec{{X: 1, Z: c.thick}, {X: -1, Z: c.thick}, {Y: 1, Z: -c.thick}, {Y: -1, Z: -c.thick}} {
				rest = append(rest, at.Add(tilt.Apply(x)))
				p.Points = append(p.Points, at.Add(tilt.Apply(turn.Apply(x))))
			}
			if _, ok := Plane(rest, []Pose{p}); ok != c.want {
				t.Fatalf("%g away and %g thick: one plane %v", c.far, c.thick, ok)
			}
		}
	}
}

// Of very many poses a search has few steps, and one that has used them all has stalled only if they never became small: here the last
// are a part of 1e-13.
func TestVeryManyPosesAreNotSaidToStall(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 30))
	rest, poses, pivot, _ := scene(r, 4, 50_000, 1, false)
	fit := Ball(rest, poses)
	if off := fit.Pivot.Sub(pivot).Len(); fit.Stalled || fit.Determined != Point || !(off < 0.1) {
		t.Errorf("stalled %v, determined %v, the pivot %v off", fit.Stalled, fit.Determined, off)
	}
}

// Landmarks that are off by as much as they lie apart: the steps of Gauss and Newton, which leave out what is left over, would shrink by
// so little each that some search came to no end. Whatever place it starts from, it comes to one.
func TestTheRoughestDataComeToAnEnd(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 30))
	directions := []rigid.Vec{{X: 1}, {Y: 1}, {Z: 1}}
	for i := range 1500 {
		rest, poses, _, _ := scene(r, 6, 5, 3, false)
		pr := newProblem(rest, poses)
		pr.turning(pr.freeFit().Free)
		s := search{problem: pr, directions: directions}
		if _, stalled := s.minimise(place{pivot: scatter.Vec(r, 1)}); stalled {
			t.Errorf("scene %d: the search stalls", i)
		}
	}
}
