package hingearc

import (
	"math"

	"centrode/calc/plane"
)

// slack is how far, relative to the lengths involved, a tip may miss the surface and still count as touching it: a
// thousand times the rounding of the distance, and a millionth of a millionth of the limb.
const slack = 1e-12

// Contact returns the first angle (radians from rest, going From → To) at which the tip is within gap of the parent
// segment, and false when that never happens. At exactly From when they touch at the start, and at exactly To when they first
// touch at the end.
//
// The points at distance gap from a segment bound a stadium: two lines at ±gap beside it and a cap of radius gap about
// each end. The tip's circle can only enter through one of these four, so at most eight angles are tried, each in
// closed form; the first one whose distance is at most gap is the answer. A grazing touch counts, up to a
// rounding slack of 1e-12 of the lengths. TestContactAgreesWithDenseSampling compares it with brute force.
func (s Sweep) Contact(parent plane.Segment, gap float64) (angle float64, touches bool) {
	near := plane.Segment{A: parent.A.Sub(s.Pivot), B: parent.B.Sub(s.Pivot)} // seen from the pivot
	r := s.Radius()
	allowed := gap + slack*(gap+r+near.A.Len()+near.B.Len())
	if near.Distance(s.armAt(s.From)) <= allowed {
		return s.From, true
	}
	first := math.Inf(1)
	rest := s.arm().Angle()
	for _, direction := range crossings(near, r, gap) {
		ahead := s.ahead(direction - rest)
		if ahead < first && ahead <= math.Abs(s.Turn()) && near.Distance(plane.Polar(r, direction)) <= allowed {
			first = ahead
		}
	}
	switch {
	case math.Abs(s.Turn())-first > slack:
		return s.From + s.sense()*first, true
	case near.Distance(s.armAt(s.To)) <= allowed: // a crossing there may lie before or behind the end by rounding
		return s.To, true
	case !math.IsInf(first, 1):
		return s.From + s.sense()*first, true
	}
	return 0, false
}

// crossings returns the directions (radians) in which the circle of radius r about the origin meets the two side lines
// or the two end circles of the stadium of half-width gap about the segment. Some may lie off the stadium.
func crossings(segment plane.Segment, r, gap float64) []float64 {
	found := make([]float64, 0, 8)
	about := func(axis, sine, cosine float64) { // the squares of the sine and the cosine of half the turn from the axis
		if !(sine >= -slack && cosine >= -slack) { // also where a circle without radius meets nothing
			return
		}
		turn := 2 * math.Atan2(math.Sqrt(math.Max(0, sine)), math.Sqrt(math.Max(0, cosine)))
		found = append(found, axis+turn, axis-turn)
	}
	if normal := segment.B.Sub(segment.A).Unit().Perp(); normal != (plane.Vec{}) {
		level := normal.Dot(segment.A)
		for _, side := range [...]float64{level + gap, level - gap} {
			about(normal.Angle(), (r-side)/(2*r), (r+side)/(2*r))
		}
	}
	for _, end := range [...]plane.Vec{segment.A, segment.B} {
		// With half the turn, flesh that is thin beside the limb keeps its digits: the cosine of the whole, (r² + e² − gap²)/2re,
		// is 1 but for its last ones.
		if e := end.Len(); e > 0 {
			about(end.Angle(), (gap-e+r)*(gap+e-r)/(4*r*e), (e+r-gap)*(e+r+gap)/(4*r*e))
		}
	}
	return found
}
