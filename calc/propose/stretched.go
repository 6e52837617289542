package propose

import (
	"math"

	"centrode/calc/centre"
	"centrode/calc/posefit"
	"centrode/calc/rigid"
)

// leaves tells what turning alone leaves with the pivot at a place of the world: RMS quickly, Exact landmark by landmark.
type leaves interface {
	RMS(pivot rigid.Vec) float64
	Exact(pivot rigid.Vec) float64
}

// stretched is a placementmap.Field of a frame that does not scale evenly: turns are those that fit best in the frame, and what they leave
// is measured in the world.
type stretched struct {
	frame  *frame
	metric rigid.Rot // of the world, as the frame has it: LᵀL
	poses  posefit.Poses
	axis   rigid.Vec // in the frame: unit for a hinge, zero for a ball
	each   []moments // one a pose
	weight float64
}

// moments are Σ w·a·bᵀ of rest and posed landmarks about their means, beside those that a rotation is found from.
type moments struct {
	pair               rigid.Pair
	rest, cross, posed rigid.Rot
}

func newStretched(f *frame, poses posefit.Poses, axis rigid.Vec) *stretched {
	if normal, flat := centre.Plane(poses.Rest, poses.Targets); flat && axis == (rigid.Vec{}) {
		axis = normal
	}
	s := &stretched{frame: f, metric: f.out.L.Transpose().Mul(f.out.L), poses: poses, axis: axis}
	for _, pose := range poses.Targets {
		m := moments{pair: rigid.NewPair(poses.Rest, pose.Points, pose.Weights)}
		for i, x := range poses.Rest {
			a, b := x.Sub(m.pair.RestMean), pose.Points[i].Sub(m.pair.PosedMean)
			for _, sum := range [3]struct {
				to   *rigid.Rot
				u, v rigid.Vec
			}{{&m.rest, a, a}, {&m.cross, a, b}, {&m.posed, b, b}} {
				(*rigid.Cross)(sum.to).Add(pose.Weights[i], sum.u, sum.v)
			}
		}
		s.each, s.weight = append(s.each, m), s.weight+m.pair.W
	}
	return s
}

// turn is the rotation of a pose about a pivot, both in the frame.
func (s *stretched) turn(m *moments, pivot rigid.Vec) rigid.Rot {
	if s.axis == (rigid.Vec{}) {
		return m.pair.TurnAbout(pivot)
	}
	_, best := m.pair.AboutAxis(pivot, s.axis)
	return best.R
}

// RMS implements leaves: the trace of metric·(R·rest·Rᵀ − R·cross − (R·cross)ᵀ + posed), and what the means miss.
func (s *stretched) RMS(pivot rigid.Vec) float64 {
	pivot = s.frame.back.Apply(pivot)
	squares := 0.0
	for k := range s.each {
		m := &s.each[k]
		r := s.turn(m, pivot)
		miss, turned, cross := m.pair.Miss(pivot, r), r.Mul(m.rest).Mul(r.Transpose()), r.Mul(m.cross)
		own := 0.0
		for i := range 3 {
			for j := range 3 {
				own += s.metric[i][j] * (turned[i][j] - cross[i][j] - cross[j][i] + m.posed[i][j])
			}
		}
		squares += math.Max(0, own) + m.pair.W*miss.Dot(s.metric.Apply(miss))
	}
	return math.Sqrt(squares / s.weight)
}

// Exact implements leaves.
func (s *stretched) Exact(pivot rigid.Vec) float64 {
	pivot = s.frame.back.Apply(pivot)
	squares := 0.0
	for k := range s.each {
		squares += s.frame.left(rigid.TurnAbout(pivot, s.turn(&s.each[k], pivot)), s.poses.Rest, s.poses.Targets[k])
	}
	return math.Sqrt(squares / s.weight)
}
