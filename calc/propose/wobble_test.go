package propose

import (
	"math"
	"math/rand/v2"
	"testing"

	"centrode/calc/affine"
	"centrode/calc/centre"
	"centrode/calc/posefit"
	"centrode/calc/rigid"
	"centrode/tests/scatter"
)

// within is a frame whose lengths are those of the world stretched by these factors, along axes that are turned.
func within(t *testing.T, factors rigid.Vec) frame {
	t.Helper()
	turn, _ := rigid.Turn(rigid.Vec{X: 1, Y: 2, Z: -1}, 0.7)
	out := affine.Map{L: turn.Mul(rigid.Rot{{factors.X, 0, 0}, {0, factors.Y, 0}, {0, 0, factors.Z}}), T: rigid.Vec{X: 3, Y: -2, Z: 1}}
	back, ok := out.Inverse()
	if !ok {
		t.Fatalf("%v flattens space", factors)
	}
	return frame{true, out, back}
}

// derived: the segment above is fitted again and again to skin with noise, each pose is taken back by what was found, and the pivot is fitted again:
// its scatter is what shake adds, whether the skin is near the pivot, so that moves count, or far from it, so that turns do.
func TestTheSegmentAboveShakesThePivotAsMuchAsIsTold(t *testing.T) {
	const noise, times = 0.002, 1000
	for _, c := range []struct {
		name      string
		in, above rigid.Vec
		away      float64 // cm from the middle of the skin above to the pivot, in its frame
	}{
		{"even, near", same, same, 0}, {"even, far", same, same, 12},
		{"below two to one, near", rigid.Vec{X: 1, Y: 2, Z: 1}, same, 0}, {"below two to one, far", rigid.Vec{X: 1, Y: 2, Z: 1}, same, 12},
		{"both below two to one, near", rigid.Vec{X: 1, Y: 2, Z: 1}, rigid.Vec{X: 1, Y: 2, Z: 1}, 0}, {"both, far", rigid.Vec{X: 1, Y: 2, Z: 1}, rigid.Vec{X: 1, Y: 2, Z: 1}, 12},
	} {
		r, name := rand.New(rand.NewPCG(25, 1)), c.name
		p := Proposal{in: within(t, c.in), Determined: centre.Point, Pivot: rigid.Vec{X: 2, Y: 1, Z: -3}}
		carrier := within(t, c.above)
		middle := carrier.back.Apply(p.Pivot).Add(rigid.Vec{X: 0.6, Y: 0.6, Z: 0.5}.Scale(c.away))
		pivot := p.in.back.Apply(p.Pivot)
		var poses posefit.Poses
		for range 8 {
			poses.Rest = append(poses.Rest, pivot.Add(scatter.Vec(r, 5)))
		}
		skin, weights := make([]rigid.Vec, 12), make([]float64, 12)
		for k := range skin {
			skin[k], weights[k] = middle.Add(scatter.Vec(r, 3)), 1
		}
		for i := range 4 {
			turn, _ := rigid.Turn(scatter.Vec(r, 1), 0.6+0.3*float64(i))
			pose := centre.Pose{Weights: make([]float64, len(poses.Rest))}
			for k, x := range poses.Rest {
				pose.Points, pose.Weights[k] = append(pose.Points, rigid.TurnAbout(pivot, turn).Apply(x)), 1
			}
			poses.IDs, poses.Targets = append(poses.IDs, i+1), append(poses.Targets, pose)
		}
		var spread rigid.Sym
		told := 0.0
		for range times {
			tried := posefit.Poses{Rest: poses.Rest, IDs: poses.IDs}
			p.above, p.Sigma = nil, 0
			for _, pose := range poses.Targets {
				seen := make([]rigid.Vec, len(skin))
				for k, x := range skin {
					seen[k] = x.Add(scatter.Vec(r, noise))
				}
				pair := rigid.NewPair(skin, seen, weights)
				motion := pair.Free()
				rms := math.Sqrt(rigid.Residual(motion, skin, seen, weights) / pair.W)
				p.above = append(p.above, wobbleOf(carrier, skin, seen, weights, rms))
				world := carrier.out.Then(affine.Map{L: motion.R, T: motion.T}).Then(carrier.back)
				back, _ := p.in.back.Then(world).Then(p.in.out).Inverse()
				moved := centre.Pose{Weights: pose.Weights}
				for _, y := range pose.Points {
					moved.Points = append(moved.Points, back.Apply(y))
				}
				tried.Targets = append(tried.Targets, moved)
			}
			p.shake(poses, posefit.Fit(poses, false))
			told += p.Sigma / times
			spread = spread.AddOuter(1./times, p.in.out.Apply(posefit.Fit(tried, false).Pivot).Sub(p.Pivot))
		}
		values, _ := spread.Eigen()
		is := math.Sqrt(values[0])
		t.Logf("%s: pivots deviate by %.5f cm, told are %.5f", name, is, told)
		if !(told > 0.9*is && told < 1.15*is) {
			t.Errorf("%s: pivots deviate by %v cm, told are %v", name, is, told)
		}
	}
}
