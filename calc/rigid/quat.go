package rigid

import "math"

// Quat is a quaternion x·i + y·j + z·k + w; a rotation is one of unit length, and −q is the same rotation as q.
type Quat struct{ X, Y, Z, W float64 }

// Unit returns q/|q|; ok is false for the zero quaternion, and the identity is returned.
func (q Quat) Unit() (Quat, bool) {
	scale := math.Max(math.Max(math.Abs(q.X), math.Abs(q.Y)), math.Max(math.Abs(q.Z), math.Abs(q.W)))
	if !(scale > 0) || math.IsInf(scale, 0) {
		return Quat{W: 1}, false
	}
	x, y, z, w := q.X/scale, q.Y/scale, q.Z/scale, q.W/scale
	n := math.Sqrt(x*x + y*y + z*z + w*w)
	return Quat{x / n, y / n, z / n, w / n}, true
}

// Rot returns the rotation of a unit quaternion.
func (q Quat) Rot() Rot {
	x, y, z, w := q.X, q.Y, q.Z, q.W
	return Rot{
		{1 - 2*(y*y+z*z), 2 * (x*y - z*w), 2 * (x*z + y*w)},
		{2 * (x*y + z*w), 1 - 2*(x*x+z*z), 2 * (y*z - x*w)},
		{2 * (x*z - y*w), 2 * (y*z + x*w), 1 - 2*(x*x+y*y)},
	}
}

// Quat returns the unit quaternion of the rotation, with w ≥ 0. It divides by the largest of the four components, so
// no rotation loses digits. Source: sheppard1978, from memory for the citation, derived for the formula.
func (r Rot) Quat() Quat {
	xx, yy, zz := r[0][0], r[1][1], r[2][2]
	q := Quat{X: 1 + xx - yy - zz, Y: r[1][0] + r[0][1], Z: r[0][2] + r[2][0], W: r[2][1] - r[1][2]}
	largest := q.X
	if s := 1 - xx + yy - zz; s > largest {
		largest, q = s, Quat{X: r[1][0] + r[0][1], Y: s, Z: r[2][1] + r[1][2], W: r[0][2] - r[2][0]}
	}
	if s := 1 - xx - yy + zz; s > largest {
		largest, q = s, Quat{X: r[0][2] + r[2][0], Y: r[2][1] + r[1][2], Z: s, W: r[1][0] - r[0][1]}
	}
	if s := 1 + xx + yy + zz; s > largest {
		q = Quat{X: r[2][1] - r[1][2], Y: r[0][2] - r[2][0], Z: r[1][0] - r[0][1], W: s}
	}
	q, _ = q.Unit()
	if q.W < 0 {
		q = Quat{-q.X, -q.Y, -q.Z, -q.W}
	}
	return q
}

// AxisAngle returns the unit axis and the angle in [0, π] of the rotation. The identity answers the zero axis. The angle
// comes from both sine and cosine of its half, so it keeps its digits near 0 and near π.
func (r Rot) AxisAngle() (Vec, float64) {
	q := r.Quat()
	v := Vec{q.X, q.Y, q.Z}
	sine := v.Len()
	return v.Unit(), 2 * math.Atan2(sine, q.W)
}
