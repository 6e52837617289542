package hingearc

import (
	"math"

	"centrode/calc/plane"
)

// Sweep is the travel of a tip about one hinge. Angles in radians from rest, counter-clockwise positive; To may be
// less than From, and the two may be more than a full turn apart. Any one unit of length.
type Sweep struct {
	Pivot, Tip plane.Vec // at rest
	From, To   float64
}

// arm is the tip at rest, seen from the pivot.
func (s Sweep) arm() plane.Vec { return s.Tip.Sub(s.Pivot) }

// armAt is the tip at the angle, seen from the pivot; exactly the rest position at 0.
func (s Sweep) armAt(angle float64) plane.Vec {
	return plane.TurnAbout(plane.Vec{}, angle).Turn(s.arm())
}

// At returns where the tip is at the angle (radians from rest).
func (s Sweep) At(angle float64) plane.Vec { return s.Pivot.Add(s.armAt(angle)) }

// Turn returns To − From in radians; negative for a clockwise sweep.
func (s Sweep) Turn() float64 { return s.To - s.From }

// Radius returns the distance from pivot to tip.
func (s Sweep) Radius() float64 { return s.arm().Len() }

// Length returns the length of the whole path, r·|θ|; turns past the first are counted.
func (s Sweep) Length() float64 { return s.Radius() * math.Abs(s.Turn()) }

// Chord returns the straight distance from start to end, 2·r·|sin(θ/2)|, for any θ: 0 after a full turn.
// Source: weisstein_circularsegment.
func (s Sweep) Chord() float64 { return 2 * s.Radius() * math.Abs(math.Sin(s.Turn()/2)) }

// Sagitta returns the distance from the middle of the path to the middle of the chord, r·(1 − cos(θ/2)), for any θ:
// more than r above a half turn, 2r at a full turn, and less again after it (0 at two full turns). It is evaluated as
// 2·r·sin²(θ/4), which keeps its digits for small θ. Source: weisstein_circularsegment.
func (s Sweep) Sagitta() float64 {
	quarter := math.Sin(s.Turn() / 4)
	return 2 * s.Radius() * quarter * quarter
}

// Reach is the distance from the root to the tip: at both ends of a sweep, and its extremes over all of it.
type Reach struct{ From, To, Min, Max float64 }

// Reach returns how far the tip is from root. With e = |pivot − root| and ψ the turn away from straight,
// d² = e² + r² + 2·e·r·cos ψ, so an extreme inside the sweep is e + r where the limb is straight and |e − r| where it
// is folded; the ends give the rest. Exact: nothing is sampled. Source: craig2005 (law of cosines).
func (s Sweep) Reach(root plane.Vec) Reach {
	parent := s.Pivot.Sub(root)
	from, to := parent.Add(s.armAt(s.From)).Len(), parent.Add(s.armAt(s.To)).Len()
	reach := Reach{From: from, To: to, Min: math.Min(from, to), Max: math.Max(from, to)}
	e, r := parent.Len(), s.Radius()
	if e == 0 || r == 0 {
		return reach // the distance never changes
	}
	straight := s.Straight(root)
	if s.passes(straight) {
		reach.Max = math.Max(reach.Max, e+r)
	}
	if s.passes(straight + math.Pi) {
		reach.Min = math.Min(reach.Min, math.Abs(e-r))
	}
	return reach
}

// Straight returns the angle from rest, in (−π, π], at which root, pivot and tip lie on one line in this order; 0 when
// the parent or the arm has no length.
func (s Sweep) Straight(root plane.Vec) float64 {
	parent, arm := s.Pivot.Sub(root), s.arm()
	return math.Atan2(arm.Cross(parent), arm.Dot(parent))
}

// passes reports whether the sweep goes through the direction (radians from rest, any number of turns off).
func (s Sweep) passes(direction float64) bool { return s.ahead(direction) <= math.Abs(s.Turn()) }

// ahead returns how far the sweep must go from From until it points in the direction: radians in [0, 2π).
func (s Sweep) ahead(direction float64) float64 {
	const full = 2 * math.Pi
	gap := math.Mod((direction-s.From)*s.sense(), full)
	if gap < 0 {
		gap += full
	}
	if gap >= full { // −1e-17 + 2π rounds to 2π
		gap = 0
	}
	return gap
}

// sense is −1 for a clockwise sweep, else 1.
func (s Sweep) sense() float64 {
	if s.To < s.From {
		return -1
	}
	return 1
}
