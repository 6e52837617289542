package rigid

import "math"

// Turning is a pose that may turn about one direction alone. What is left about any pivot is then a problem of the plane across that
// direction, with what lies along it the same for all, so that it costs a map of thousands of pivots little.
type Turning struct {
	pair           *Pair
	axis, u, v     Vec // orthonormal, right-handed
	restU, restV   float64
	posedU, posedV float64
	across, swirl  float64 // of the landmarks about their means: see Cross.about
	always         float64 // the squares along the axis, and in the plane those of the landmarks about their means
}

// Turning returns the pose as it turns about the unit axis. The pair is kept and must not change.
func (p *Pair) Turning(axis Vec) Turning {
	u, v := Basis(axis)
	t := Turning{pair: p, axis: axis, u: u, v: v,
		restU: p.RestMean.Dot(u), restV: p.RestMean.Dot(v), posedU: p.PosedMean.Dot(u), posedV: p.PosedMean.Dot(v)}
	var along float64
	along, t.across, t.swirl = p.cross.about(axis)
	rise := p.PosedMean.Sub(p.RestMean).Dot(axis)
	t.always = p.restSquares + p.posedSquares - 2*along + p.W*rise*rise
	return t
}

// LeastSquares is Pair.LeastSquares for the best rotation about the line through pivot along the axis, to the same digits.
// Allocates nothing.
func (t *Turning) LeastSquares(pivot Vec) float64 {
	x, y := pivot.Dot(t.u), pivot.Dot(t.v)
	aU, aV, bU, bV := t.restU-x, t.restV-y, t.posedU-x, t.posedV-y
	w := t.pair.W
	own, means := t.pair.restSquares+t.pair.posedSquares, w*(aU*aU+aV*aV+bU*bU+bV*bV)
	if means <= far*own {
		across, swirl := t.across+w*(aU*bU+aV*bV), t.swirl+w*(aU*bV-aV*bU)
		if squares := t.always + means - 2*math.Sqrt(across*across+swirl*swirl); squares > 0 && !(squares*own < thin*means*means) {
			return squares
		}
	}
	_, best := t.pair.AboutAxis(pivot, t.axis)
	return t.pair.left(pivot, best.R)
}
