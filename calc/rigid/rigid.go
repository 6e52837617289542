// Package rigid is the spatial geometry that the calculators share: vectors, rotations, rigid motions.
//
// Right-handed frames, column vectors, x' = R·x + t, angles in radians. Any one unit of length.
package rigid

import "math"

// Vec is a point or a displacement in space.
type Vec struct{ X, Y, Z float64 }

// Add returns a + b.
func (a Vec) Add(b Vec) Vec { return Vec{a.X + b.X, a.Y + b.Y, a.Z + b.Z} }

// Sub returns a − b.
func (a Vec) Sub(b Vec) Vec { return Vec{a.X - b.X, a.Y - b.Y, a.Z - b.Z} }

// Scale returns s·a.
func (a Vec) Scale(s float64) Vec { return Vec{s * a.X, s * a.Y, s * a.Z} }

// Dot returns the scalar product a·b.
func (a Vec) Dot(b Vec) float64 { return a.X*b.X + a.Y*b.Y + a.Z*b.Z }

// Cross returns the vector product a × b.
func (a Vec) Cross(b Vec) Vec {
	return Vec{a.Y*b.Z - a.Z*b.Y, a.Z*b.X - a.X*b.Z, a.X*b.Y - a.Y*b.X}
}

// Len returns |a|, without overflow or underflow for any finite components.
func (a Vec) Len() float64 {
	scale := a.largest()
	if scale == 0 {
		return 0
	}
	x, y, z := a.X/scale, a.Y/scale, a.Z/scale
	return scale * math.Sqrt(x*x+y*y+z*z)
}

// largest is the largest component of a without its sign.
func (a Vec) largest() float64 {
	return math.Max(math.Abs(a.X), math.Max(math.Abs(a.Y), math.Abs(a.Z)))
}

// Unit returns a/|a|, and the zero vector for the zero vector. The length is taken after scaling, so that the result has
// length 1 even when a's own length is too small to be represented well.
func (a Vec) Unit() Vec {
	scale := a.largest()
	if scale == 0 {
		return Vec{}
	}
	b := Vec{a.X / scale, a.Y / scale, a.Z / scale}
	n := math.Sqrt(b.Dot(b))
	return Vec{b.X / n, b.Y / n, b.Z / n}
}

// Rot is a rotation matrix, row by row; it acts on column vectors.
type Rot [3][3]float64

// Identity returns the rotation that turns nothing.
func Identity() Rot { return Rot{{1, 0, 0}, {0, 1, 0}, {0, 0, 1}} }

// Turn returns the rotation by angle about axis: R = I + sin θ·K + (1 − cos θ)·K², where K·v = (axis/|axis|) × v.
//
//	axis   any finite nonzero length, unitless; only its direction counts
//	angle  radians, right-hand rule, any finite value
//
// ok is false for a zero axis, and the rotation is then the identity. O(1), allocates nothing. 1 − cos θ is taken as
// 2·sin²(θ/2), which keeps its digits for small angles. Source: rodrigues1840.
func Turn(axis Vec, angle float64) (r Rot, ok bool) {
	u := axis.Unit()
	if u == (Vec{}) {
		return Identity(), false
	}
	sin, half := math.Sin(angle), math.Sin(angle/2)
	versine := 2 * half * half
	cos := 1 - versine
	return Rot{
		{cos + versine*u.X*u.X, versine*u.X*u.Y - sin*u.Z, versine*u.X*u.Z + sin*u.Y},
		{versine*u.X*u.Y + sin*u.Z, cos + versine*u.Y*u.Y, versine*u.Y*u.Z - sin*u.X},
		{versine*u.X*u.Z - sin*u.Y, versine*u.Y*u.Z + sin*u.X, cos + versine*u.Z*u.Z},
	}, true
}

// Apply returns R·v.
func (r Rot) Apply(v Vec) Vec {
	return Vec{
		r[0][0]*v.X + r[0][1]*v.Y + r[0][2]*v.Z,
		r[1][0]*v.X + r[1][1]*v.Y + r[1][2]*v.Z,
		r[2][0]*v.X + r[2][1]*v.Y + r[2][2]*v.Z,
	}
}
