// Package plane is the planar geometry that the calculators share: vectors, rigid motions, segments.
//
// Angles are radians, counter-clockwise positive. Any one unit of length. Lengths use √(x²+y²) and not math.Hypot,
// whose last bit differs between processors; inputs are bounded by the catalogue, so nothing overflows.
package plane

import "math"

// Vec is a point or a displacement in the plane.
type Vec struct{ X, Y float64 }

// Add returns a + b.
func (a Vec) Add(b Vec) Vec { return Vec{a.X + b.X, a.Y + b.Y} }

// Sub returns a − b.
func (a Vec) Sub(b Vec) Vec { return Vec{a.X - b.X, a.Y - b.Y} }

// Scale returns s·a.
func (a Vec) Scale(s float64) Vec { return Vec{s * a.X, s * a.Y} }

// Dot returns the scalar product a·b.
func (a Vec) Dot(b Vec) float64 { return a.X*b.X + a.Y*b.Y }

// Cross returns the z component of a × b: positive when b lies counter-clockwise of a.
func (a Vec) Cross(b Vec) float64 { return a.X*b.Y - a.Y*b.X }

// Len returns |a|.
func (a Vec) Len() float64 { return math.Sqrt(a.X*a.X + a.Y*a.Y) }

// Perp returns a turned a quarter turn counter-clockwise.
func (a Vec) Perp() Vec { return Vec{-a.Y, a.X} }

// Angle returns the direction of a in radians, in (−π, π]; 0 for the zero vector.
func (a Vec) Angle() float64 { return math.Atan2(a.Y, a.X) }

// Unit returns a/|a|, and the zero vector for the zero vector.
func (a Vec) Unit() Vec {
	if n := a.Len(); n > 0 {
		return a.Scale(1 / n)
	}
	return Vec{}
}

// Lerp returns the point a fraction t of the way from a to b.
func (a Vec) Lerp(b Vec, t float64) Vec { return a.Add(b.Sub(a).Scale(t)) }

// Polar returns the point at the distance and the direction (radians) from the origin.
func Polar(distance, angle float64) Vec {
	sin, cos := math.Sincos(angle)
	return Vec{distance * cos, distance * sin}
}

// Motion is a planar rigid motion x' = R(angle)·x + T, stored by its cosine and sine.
type Motion struct {
	Cos, Sin float64
	T        Vec
}

// Still returns the motion that moves nothing.
func Still() Motion { return Motion{Cos: 1} }

// TurnAbout returns the rotation by angle (radians) that leaves pivot fixed.
func TurnAbout(pivot Vec, angle float64) Motion {
	sin, cos := math.Sincos(angle)
	m := Motion{Cos: cos, Sin: sin}
	m.T = pivot.Sub(m.Turn(pivot))
	return m
}

// Turn returns the rotation part applied to a displacement.
func (m Motion) Turn(v Vec) Vec { return Vec{m.Cos*v.X - m.Sin*v.Y, m.Sin*v.X + m.Cos*v.Y} }

// Apply moves a point.
func (m Motion) Apply(p Vec) Vec { return m.Turn(p).Add(m.T) }

// Then returns the motion that first does inner and then m: the product m·inner.
func (m Motion) Then(inner Motion) Motion {
	return Motion{
		Cos: m.Cos*inner.Cos - m.Sin*inner.Sin,
		Sin: m.Sin*inner.Cos + m.Cos*inner.Sin,
		T:   m.Apply(inner.T),
	}
}

// Segment is the straight line from A to B.
type Segment struct{ A, B Vec }

// Nearest returns the point of the segment closest to p and its parameter t in [0, 1] (A at 0, B at 1). A segment
// without length answers its A.
func (s Segment) Nearest(p Vec) (Vec, float64) {
	d := s.B.Sub(s.A)
	n := d.Dot(d)
	if n == 0 {
		return s.A, 0
	}
	t := math.Max(0, math.Min(1, p.Sub(s.A).Dot(d)/n))
	return s.A.Lerp(s.B, t), t
}

// Distance returns the distance from p to the segment.
func (s Segment) Distance(p Vec) float64 {
	nearest, _ := s.Nearest(p)
	return p.Sub(nearest).Len()
}
