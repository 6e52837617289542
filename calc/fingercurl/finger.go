// Package fingercurl computes how tightly a finger of three hinges closes, seen from the side.
//
// Start at Finger.Pose, which flexes a finger; PulpGap, LargestRod and DepthToTouch read the closed hand. Planar: x
// runs along the finger at rest, y to the back of the hand, the palm side is −y. Angles in radians inside (the Spec
// shows degrees), flexion positive toward the palm; any one unit of length. Flesh is rigid: it overlaps at a fold
// instead of bulging. Not covered: fingers that spread sideways, hinges whose centre moves (see posefit), skin that is
// blended at a fold (see bendsection).
package fingercurl

import (
	"math"

	"centrode/calc/plane"
)

// The joints of a finger, from the palm outward: indices of Finger.Pivot, Shift and Flex and of Pose.Pivot.
const (
	knuckle     = iota // MCP
	middleJoint        // PIP
	endJoint           // DIP
)

// Finger is a three-hinge finger at rest and the flexion to apply.
//
// Stations X0 = 0, X1, X2, X3 lie on y = 0, the three Length apart. Joint i has its pivot at
// (X_i + Shift_i, Depth_i/2 − Pivot_i·Depth_i).
type Finger struct {
	Palm   float64    // length of the palm's surface, back from the knuckle
	Length [3]float64 // proximal, middle and distal segment
	Depth  [4]float64 // flesh from back to palm side at the three joints and at the tip
	Pivot  [3]float64 // depth fraction: 0 at the back surface, 1 at the palm-side surface
	Shift  [3]float64 // pivot moved along the finger, toward the tip
	Flex   [3]float64 // radians
}

// Surface is one palm-side surface with the side it faces.
type Surface struct {
	plane.Segment
	Facing plane.Vec // unit normal toward the palm side, out of the flesh
}

// Pose is a flexed finger.
type Pose struct {
	Motion  [4]plane.Motion // T1·…·Tk, what carries segment k; Motion[0] leaves the palm where it is
	Pivot   [3]plane.Vec    // where the pivots are now
	Surface [4]Surface      // palm, proximal, middle, distal
	Tip     plane.Vec
	Pulp    plane.Vec
}

// stations returns where the three joints and the tip lie along the finger at rest.
func (f Finger) stations() [4]float64 {
	x1 := f.Length[0]
	x2 := x1 + f.Length[1]
	return [4]float64{0, x1, x2, x2 + f.Length[2]}
}

// restPivot returns the pivot of joint i at rest.
func (f Finger) restPivot(i int) plane.Vec {
	return plane.Vec{X: f.stations()[i] + f.Shift[i], Y: f.Depth[i]/2 - f.Pivot[i]*f.Depth[i]}
}

// restPulp returns the middle of the fingertip's pad at rest: half the tip's depth short of the tip.
func (f Finger) restPulp() plane.Vec {
	half := f.Depth[3] / 2
	return plane.Vec{X: f.stations()[3] - half, Y: -half}
}

// motions returns T1·…·Tk for k = 0 … 3, each T the turn by −Flex about its pivot at rest.
func (f Finger) motions() [4]plane.Motion {
	m := [4]plane.Motion{plane.Still()}
	for i := range f.Flex {
		m[i+1] = m[i].Then(plane.TurnAbout(f.restPivot(i), -f.Flex[i]))
	}
	return m
}

// Pose flexes the finger. Everything in the answer is finite for a finite finger.
func (f Finger) Pose() Pose {
	p := Pose{Motion: f.motions()}
	x := f.stations()
	for i := range p.Pivot {
		p.Pivot[i] = p.Motion[i].Apply(f.restPivot(i))
	}
	p.Surface[0] = faced(plane.Segment{A: plane.Vec{X: -f.Palm, Y: -f.Depth[0] / 2}, B: plane.Vec{Y: -f.Depth[0] / 2}}, p.Motion[0])
	for k := 1; k < 4; k++ {
		a, b := plane.Vec{X: x[k-1], Y: -f.Depth[k-1] / 2}, plane.Vec{X: x[k], Y: -f.Depth[k] / 2}
		p.Surface[k] = faced(plane.Segment{A: a, B: b}, p.Motion[k])
	}
	p.Tip = p.Motion[3].Apply(plane.Vec{X: x[3]})
	p.Pulp = p.Motion[3].Apply(f.restPulp())
	return p
}

// faced moves a surface at rest and gives it its facing: to the right of A→B, and −y at rest for one so short that it
// has no direction.
func faced(rest plane.Segment, m plane.Motion) Surface {
	facing := rest.B.Sub(rest.A).Unit().Perp().Scale(-1)
	if facing == (plane.Vec{}) {
		facing = plane.Vec{Y: -1}
	}
	return Surface{plane.Segment{A: m.Apply(rest.A), B: m.Apply(rest.B)}, m.Turn(facing)}
}

// PulpGap returns the distance from the pulp to the palm's surface. While the pulp's foot is on that surface the gap
// has a sign: negative when the pulp lies above it, inside the palm. Beyond the surface's ends it is the distance to
// the nearer end. It is 0 exactly when the pulp is on the surface.
func (p Pose) PulpGap() float64 {
	palm := p.Surface[0].Segment
	if p.Pulp.X >= palm.A.X && p.Pulp.X <= palm.B.X {
		return palm.A.Y - p.Pulp.Y
	}
	return palm.Distance(p.Pulp)
}

// Foot returns the point of the palm's surface nearest to the pulp.
func (p Pose) Foot() plane.Vec {
	foot, _ := p.Surface[0].Nearest(p.Pulp)
	return foot
}

// Under returns h = (1 − pivot)·depth of joint i: the flesh between its pivot and the palm-side surface. It is negative
// for a pivot beyond that surface.
func (f Finger) Under(i int) float64 { return (1 - f.Pivot[i]) * f.Depth[i] }

// Squash returns 2·h·tan(flex/2): how much palm-side surface two straight surfaces lose to each other where they cross at
// the fold of joint i. It grows without bound toward a flex of π, where radians no longer tell how much is missing, so
// the half tangent is the caller's. Source: derived, the two edges meet on the bisector.
func (f Finger) Squash(i int, halfTan float64) float64 { return 2 * f.Under(i) * halfTan }

// halfTangent is tan(flex/2) of a flex in degrees, to its last digits however near 180° that is: past a right angle it is
// the cotangent of what is missing, which a subtraction gives exactly.
func halfTangent(degrees float64) float64 {
	if degrees > 90 {
		return 1 / math.Tan((180-degrees)*math.Pi/360)
	}
	return math.Tan(degrees * math.Pi / 360)
}

// Stretch returns pivot·depth·flex: how much longer the back's skin becomes over joint i, an arc about the pivot.
func (f Finger) Stretch(i int) float64 { return f.Pivot[i] * f.Depth[i] * f.Flex[i] }

// PulpPath returns the pulp for a common pivot depth fraction p at all three joints, as start + p·step.
//
// It is affine in p: T·x = R·x + (I − R)·c for each joint, so that
// pulp = R1R2R3·x + R1R2(I − R3)·c3 + R1(I − R2)·c2 + (I − R1)·c1, and every pivot c = (X + shift, depth/2 − p·depth) is
// affine in p while no R depends on it.
func (f Finger) PulpPath() (start, step plane.Vec) {
	f.Pivot = [3]float64{0, 0, 0}
	start = f.motions()[3].Apply(f.restPulp())
	f.Pivot = [3]float64{1, 1, 1}
	return start, f.motions()[3].Apply(f.restPulp()).Sub(start)
}

// DepthToTouch returns the largest depth fraction in [0, 1] that, used at all three pivots, puts the pulp on the palm's
// surface, which is the same as a PulpGap of 0; ok is false when no fraction does. Exact: the pulp's path is a straight
// line in the fraction (PulpPath), so the line y = palm meets it once, or all along.
func (f Finger) DepthToTouch() (fraction float64, ok bool) {
	start, step := f.PulpPath()
	size := f.size()
	short := -f.Depth[0]/2 - start.Y // how far the start is above the palm's line, downward positive
	if math.Abs(step.Y) > 1e-13*size {
		p := short / step.Y
		x := start.X + p*step.X
		return math.Max(0, math.Min(1, p)), p >= -slack && p <= 1+slack && x >= -f.Palm-slack*size && x <= slack*size
	}
	if math.Abs(short) > slack*size {
		return 0, false
	}
	return largestWithin(start.X, step.X, -f.Palm-slack*size, slack*size)
}

// slack is the relative rounding that a closed condition forgives: some thousand units in the last place.
const slack = 1e-12

// largestWithin returns the largest p in [0, 1] for which start + p·step lies in [lo, hi].
func largestWithin(start, step, lo, hi float64) (p float64, ok bool) {
	p = 1
	if end := start + step; step > 0 && end > hi {
		p = (hi - start) / step
	} else if step < 0 && end < lo {
		p = (lo - start) / step
	}
	at := start + p*step
	return p, p >= 0 && at >= lo-slack*(hi-lo) && at <= hi+slack*(hi-lo)
}

// Inside returns which segment's flesh the point lies in, 0 the palm and 1 to 3 the segments in the pose p, or −1 when in
// none. Flesh reaches from the back to the palm-side surface, straight from joint to joint.
func (f Finger) Inside(p Pose, at plane.Vec) int {
	x := f.stations()
	for k, m := range p.Motion {
		rest := m.Undo(at)
		from, to, a, b := -f.Palm, 0.0, f.Depth[0], f.Depth[0]
		if k > 0 {
			from, to, a, b = x[k-1], x[k], f.Depth[k-1], f.Depth[k]
		}
		if t := (rest.X - from) / (to - from); t > 0 && t < 1 && math.Abs(rest.Y) < (a+(b-a)*t)/2 {
			return k
		}
	}
	return -1
}

// size returns a length that no coordinate of the finger, flexed or not, exceeds by much: the scale of its rounding.
func (f Finger) size() float64 {
	sum := f.Palm
	for i := range f.Length {
		sum += f.Length[i] + math.Abs(f.Shift[i]) + f.Depth[i]*(1+math.Abs(f.Pivot[i]))
	}
	return sum + f.Depth[3]
}
