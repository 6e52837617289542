// Package affine holds maps x' = L·x + T whose L is any 3×3 matrix: what places a node of a glTF file in its parent, scale
// and mirror included.
//
// Start at FromTRS and Map.Then. Conventions and units are those of calc/rigid, of which a rigid.Motion is the case where
// L is a rotation.
package affine

import (
	"math"

	"centrode/calc/rigid"
)

// Map is x' = L·x + T. The zero Map sends all of space to one point; Identity changes nothing.
type Map struct {
	L rigid.Rot // row by row; need not be a rotation
	T rigid.Vec
}

// Identity returns the map that moves nothing.
func Identity() Map { return Map{L: rigid.Identity()} }

// FromTRS returns the map that scales, then turns, then shifts: x' = R·(s∘x) + t. r need not have length 1, but must not
// be zero; a zero one counts as no rotation.
func FromTRS(t rigid.Vec, r rigid.Quat, s rigid.Vec) Map {
	unit, _ := r.Unit()
	l := unit.Rot()
	for i := range 3 {
		l[i][0] *= s.X
		l[i][1] *= s.Y
		l[i][2] *= s.Z
	}
	return Map{l, t}
}

// FromColumns returns the map of a 4×4 matrix given column by column, as glTF stores it. Its last row is taken to be 0 0 0 1.
func FromColumns(m [16]float64) Map {
	return Map{
		L: rigid.Rot{{m[0], m[4], m[8]}, {m[1], m[5], m[9]}, {m[2], m[6], m[10]}},
		T: rigid.Vec{X: m[12], Y: m[13], Z: m[14]},
	}
}

// Columns returns the 4×4 matrix of the map, column by column.
func (m Map) Columns() [16]float64 {
	return [16]float64{
		m.L[0][0], m.L[1][0], m.L[2][0], 0,
		m.L[0][1], m.L[1][1], m.L[2][1], 0,
		m.L[0][2], m.L[1][2], m.L[2][2], 0,
		m.T.X, m.T.Y, m.T.Z, 1,
	}
}

// Apply returns L·p + T.
func (m Map) Apply(p rigid.Vec) rigid.Vec { return m.L.Apply(p).Add(m.T) }

// Then returns the map that first does inner and then m.
func (m Map) Then(inner Map) Map { return Map{m.L.Mul(inner.L), m.Apply(inner.T)} }

// Det is the determinant of L: the factor by which the map changes volume, negative for a mirror.
func (m Map) Det() float64 {
	return m.L.Column(0).Dot(m.L.Column(1).Cross(m.L.Column(2)))
}

// Inverse returns the map that undoes m, by the adjugate of L. ok is false, and the identity is returned, when m flattens
// space so far that the inverse is not finite.
func (m Map) Inverse() (inverse Map, ok bool) {
	x, y, z := m.L.Column(0), m.L.Column(1), m.L.Column(2)
	det := m.Det()
	rows := [3]rigid.Vec{y.Cross(z), z.Cross(x), x.Cross(y)}
	for i, r := range rows {
		inverse.L[i] = [3]float64{r.X / det, r.Y / det, r.Z / det}
	}
	inverse.T = inverse.L.Apply(m.T).Scale(-1)
	for _, entry := range inverse.Columns() {
		if math.IsNaN(entry) || math.IsInf(entry, 0) {
			return Identity(), false
		}
	}
	return inverse, true
}

// Most is by how much the map lengthens at most: the root of the largest eigenvalue of L·Lᵀ.
func (m Map) Most() float64 {
	var square rigid.Sym
	for i := range 3 {
		square = square.AddOuter(1, m.L.Column(i))
	}
	values, _ := square.Eigen()
	return math.Sqrt(values[0])
}

// Least is by how much the map lengthens at least; 0 where it flattens space.
func (m Map) Least() float64 {
	largest := 0.0 // taken out first, so that the volume is not too small for a number
	for _, row := range m.L {
		largest = math.Max(largest, math.Max(math.Abs(row[0]), math.Max(math.Abs(row[1]), math.Abs(row[2]))))
	}
	for i := range 3 {
		for j := range 3 {
			m.L[i][j] /= largest
		}
	}
	m.T = rigid.Vec{}
	inverse, ok := m.Inverse()
	if !ok {
		return 0
	}
	return largest / inverse.Most()
}

// sheared is the largest cosine between two columns of L that still counts as a right angle: float32 matrices of files
// keep seven digits, and chains of products a little less.
const sheared = 1e-4

// TRS takes the map apart into shift, rotation and scale, so that FromTRS gives it back. A mirror becomes a negative
// scale along x. ok is false when there is no such form: L is sheared, or flattens a direction; the rotation is then that
// of the columns made square one after the other.
func (m Map) TRS() (t rigid.Vec, r rigid.Quat, s rigid.Vec, ok bool) {
	x, y, z := m.L.Column(0), m.L.Column(1), m.L.Column(2)
	s = rigid.Vec{X: x.Len(), Y: y.Len(), Z: z.Len()}
	x, y, z = x.Unit(), y.Unit(), z.Unit()
	ok = s.X > 0 && s.Y > 0 && s.Z > 0 && math.Abs(x.Dot(y)) < sheared && math.Abs(y.Dot(z)) < sheared && math.Abs(z.Dot(x)) < sheared
	if m.Det() < 0 {
		s.X, x = -s.X, x.Scale(-1)
	}
	y = y.Sub(x.Scale(x.Dot(y))).Unit()
	return m.T, rigid.FromColumns(x, y, x.Cross(y)).Quat(), s, ok
}

// Even reports whether a map scales all directions alike, mirrored or not.
func (m Map) Even() bool {
	_, _, s, ok := m.TRS()
	x := math.Abs(s.X)
	return ok && math.Abs(x-s.Y) <= 1e-4*x && math.Abs(s.Y-s.Z) <= 1e-4*x
}
