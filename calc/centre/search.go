package centre

import (
	"math"

	"centrode/calc/rigid"
)

// place is where a search stands: a pivot and, for a hinge, the direction of its line.
type place struct{ pivot, axis rigid.Vec }

// search minimises what the best rotations about a place leave: of a ball by moving the pivot along the directions, of a
// hinge by moving and tilting its line.
type search struct {
	*problem
	hinge      bool
	directions []rigid.Vec
	least      float64 // the objective at the best place so far
	exact      bool    // Newton's system instead of Gauss and Newton's
}

// minimise takes damped Gauss–Newton steps from a place until they are lost in rounding. Where the objective is flat to
// rounding, which it is while the steps still have half their digits, the gradient alone is followed as long as the steps
// shrink. Where they shrink slowly, because much is left over, a ball's steps are Newton's. stalled is true when the steps
// never became small. Allocates nothing.
func (s *search) minimise(at place) (best place, stalled bool) {
	damping, last, flat := 0.0, math.Inf(1), math.Inf(1)
	s.exact, s.least = false, s.value(at, s.now)
	for range s.steps() {
		system := s.system(at)
		x, ok := system.Solve(damping)
		if !ok {
			if s.exact {
				s.exact, last = false, math.Inf(1)
				continue
			}
			if damping = math.Max(1e-9, 10*damping); damping > 1e9 {
				return at, true
			}
			continue
		}
		next, change := s.step(at, x)
		scale := s.reach + at.pivot.Len()
		if change <= 1e-16*scale {
			return at, false
		}
		v, rounding := s.value(next, s.next), s.rounding(scale)
		if next.pivot.Len() > s.bound {
			v = math.Inf(1)
		}
		switch {
		case v < s.least-rounding:
			damping = relax(damping)
		case v <= s.least+rounding && change >= 0.9*flat:
			return at, change > 1e-7*scale
		case v <= s.least+rounding:
			damping, flat = 0, change
		case s.exact:
			s.exact, last = false, math.Inf(1)
			continue
		default:
			if damping = math.Max(1e-6, 10*damping); damping > 1e9 {
				return at, change > 1e-7*scale
			}
			continue
		}
		s.exact = !s.hinge && (s.exact || change > 0.3*last)
		at, s.least, last = next, v, change
		s.now, s.next = s.next, s.now
	}
	return at, last > 1e-7*(s.reach+at.pivot.Len())
}

// sampled is how many poses a search among many starts looks at, and how many it takes to be cheap.
const sampled = 256

// steps is how many a search may take: fewer where each asks very many poses, since it then starts from where a sample ended.
func (s *search) steps() int { return max(12, min(300, 300*8*sampled/len(s.pairs))) }

// sample returns the problem with some of its poses, evenly taken, and the fit so far of these; nil where there are few. Trying
// many starts, and long ways from them, on all poses would cost minutes, and a sample ends as near the least.
func (pr *problem) sample(fit *Fit) (*problem, Fit) {
	n := len(pr.pairs)
	if n <= 2*sampled {
		return nil, Fit{}
	}
	few, part := *pr, *fit
	few.poses, few.pairs = make([]Pose, sampled), make([]rigid.Pair, sampled)
	few.now, few.next = make([]rigid.Rot, sampled), make([]rigid.Rot, sampled)
	part.Free, part.FreeSquares = make([]rigid.Motion, sampled), make([]float64, sampled)
	few.weight = 0
	for i := range sampled {
		k := i * n / sampled
		few.poses[i], few.pairs[i], part.Free[i], part.FreeSquares[i] = pr.poses[k], pr.pairs[k], fit.Free[k], fit.FreeSquares[k]
		few.weight += few.pairs[i].W
	}
	few.count = pr.count * sampled / n
	return &few, part
}

// relax lowers the damping after a good step, down to none.
func relax(damping float64) float64 {
	if damping < 1e-11 {
		return 0
	}
	return damping / 10
}

// rounding bounds the error of the objective: with an error δ of each distance, 2δ·√(W·Σ w d²) + W·δ².
func (s *search) rounding(scale float64) float64 {
	delta := 1e-15 * scale
	return 1e-14*s.least + 2*delta*math.Sqrt(s.weight*s.least) + s.weight*delta*delta
}

// value is the objective at a place; turns receives the best rotations there.
func (s *search) value(at place, turns []rigid.Rot) float64 {
	total := 0.0
	for i := range s.pairs {
		if s.hinge {
			_, best := s.pairs[i].AboutAxis(at.pivot, at.axis)
			turns[i] = best.R
		} else {
			turns[i] = s.about(i, at.pivot)
		}
		total += rigid.Residual(rigid.TurnAbout(at.pivot, turns[i]), s.rest, s.poses[i].Points, s.poses[i].Weights)
	}
	return total
}

// system is the system of the next step at the place where the search stands.
func (s *search) system(at place) rigid.Dense {
	if s.hinge {
		return s.hingeSystem(at, s.now)
	}
	return s.reduced(at.pivot, s.directions, s.now, s.exact)
}

// step moves a place by the unknowns of the system and says how far that is.
func (s *search) step(at place, x [4]float64) (next place, change float64) {
	if s.hinge {
		next = s.hingeStep(at, x)
	} else {
		next.pivot = at.pivot.Add(combine(x, s.directions))
	}
	return next, next.pivot.Sub(at.pivot).Len() + next.axis.Sub(at.axis).Len()*s.size
}
