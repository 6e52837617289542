package rigid

import "math"

// Cross is the weighted cross-covariance of two point sets about a centre each: M[i][j] = Σ w·a_i·b_j. It is all that the
// best rotation depends on.
type Cross [3][3]float64

// Add adds one pair: a from the first set, b from the second, both relative to their centres.
func (m *Cross) Add(w float64, a, b Vec) {
	m[0][0] += w * a.X * b.X
	m[0][1] += w * a.X * b.Y
	m[0][2] += w * a.X * b.Z
	m[1][0] += w * a.Y * b.X
	m[1][1] += w * a.Y * b.Y
	m[1][2] += w * a.Y * b.Z
	m[2][0] += w * a.Z * b.X
	m[2][1] += w * a.Z * b.Y
	m[2][2] += w * a.Z * b.Z
}

// Best is the rotation that turns the first set nearest to the second.
type Best struct {
	R Rot
	// Sum is the greatest Σ w·b·(R·a), so that the least weighted squared distance is Σ w|a|² + Σ w|b|² − 2·Sum.
	Sum float64
	// Gap is how much Sum falls, at least, for a half turn away from R, relative to the sets' size; at 0 (all points on
	// one line, or a mirror image that fits two ways) the best rotation is not unique.
	Gap float64
}

// Best returns the proper rotation that maximises Σ w·b·(R·a): the weighted absolute orientation. It is the eigenvector
// of the greatest eigenvalue of a symmetric 4 × 4 matrix, hence never a reflection, and exact for planar sets.
// Allocates nothing. Source: horn1987.
func (m *Cross) Best() Best {
	sxx, sxy, sxz := m[0][0], m[0][1], m[0][2]
	syx, syy, syz := m[1][0], m[1][1], m[1][2]
	szx, szy, szz := m[2][0], m[2][1], m[2][2]
	// Order w, x, y, z.
	n := [4][4]float64{
		{sxx + syy + szz, syz - szy, szx - sxz, sxy - syx},
		{syz - szy, sxx - syy - szz, sxy + syx, szx + sxz},
		{szx - sxz, sxy + syx, -sxx + syy - szz, syz + szy},
		{sxy - syx, szx + sxz, syz + szy, -sxx - syy + szz},
	}
	values, vectors := jacobi(n, 4)
	q := Quat{X: vectors[1][0], Y: vectors[2][0], Z: vectors[3][0], W: vectors[0][0]}
	q, _ = q.Unit()
	size := math.Abs(values[0]) + math.Abs(values[1]) + math.Abs(values[2]) + math.Abs(values[3])
	gap := 0.0
	if size > 0 {
		gap = (values[0] - values[1]) / size
	}
	return Best{R: q.Rot(), Sum: values[0], Gap: gap}
}

// BestAbout returns the rotation about the unit axis alone that maximises Σ w·b·(R·a), and its angle in (−π, π]. At a
// gap of 0 every angle is as good: all points lie on the axis.
func (m *Cross) BestAbout(axis Vec) (angle float64, best Best) {
	along, across, swirl := m.about(axis)
	angle = math.Atan2(swirl, across)
	r, _ := Turn(axis, angle)
	reach := math.Sqrt(swirl*swirl + across*across)
	best = Best{R: r, Sum: along + reach}
	if size := math.Abs(along) + reach; size > 0 {
		best.Gap = reach / size
	}
	return angle, best
}

// Screw is a rigid motion as a turn about a line and a slide along it.
type Screw struct {
	Axis  Vec     // unit
	Point Vec     // the point of the line nearest the origin
	Angle float64 // radians, in [0, π]
	Slide float64 // along Axis
}

// Screw returns the screw of the motion. ok is false when the rotation is too small to have an axis (its angle below
// 1e-12 radians): the motion is then a mere translation. c = (t⊥ + cot(θ/2)·a × t⊥)/2. Source: spoor1980.
func (m Motion) Screw() (Screw, bool) {
	axis, angle := m.R.AxisAngle()
	if angle < 1e-12 {
		return Screw{}, false
	}
	slide := axis.Dot(m.T)
	across := m.T.Sub(axis.Scale(slide))
	cot := math.Cos(angle/2) / math.Sin(angle/2)
	return Screw{axis, across.Add(axis.Cross(across).Scale(cot)).Scale(0.5), angle, slide}, true
}
