package rigid

// Mul returns the product r·s: first s, then r.
func (r Rot) Mul(s Rot) Rot {
	var p Rot
	for i := range 3 {
		for j := range 3 {
			p[i][j] = r[i][0]*s[0][j] + r[i][1]*s[1][j] + r[i][2]*s[2][j]
		}
	}
	return p
}

// Transpose returns rᵀ, which for a rotation is its inverse.
func (r Rot) Transpose() Rot {
	return Rot{{r[0][0], r[1][0], r[2][0]}, {r[0][1], r[1][1], r[2][1]}, {r[0][2], r[1][2], r[2][2]}}
}

// Back returns rᵀ·v: where a rotation came from.
func (r Rot) Back(v Vec) Vec { return Vec{r.Column(0).Dot(v), r.Column(1).Dot(v), r.Column(2).Dot(v)} }

// Column returns column j, the image of the j-th axis.
func (r Rot) Column(j int) Vec { return Vec{r[0][j], r[1][j], r[2][j]} }

// FromColumns returns the matrix with the given columns.
func FromColumns(x, y, z Vec) Rot { return Rot{{x.X, y.X, z.X}, {x.Y, y.Y, z.Y}, {x.Z, y.Z, z.Z}} }

// Motion is a rigid motion x' = R·x + T.
type Motion struct {
	R Rot
	T Vec
}

// Apply moves a point.
func (m Motion) Apply(p Vec) Vec { return m.R.Apply(p).Add(m.T) }

// Then returns the motion that first does inner and then m.
func (m Motion) Then(inner Motion) Motion { return Motion{m.R.Mul(inner.R), m.Apply(inner.T)} }

// Inverse returns the motion that undoes m.
func (m Motion) Inverse() Motion {
	back := m.R.Transpose()
	return Motion{back, back.Apply(m.T).Scale(-1)}
}

// TurnAbout returns the motion that rotates by r and leaves pivot fixed.
func TurnAbout(pivot Vec, r Rot) Motion { return Motion{r, pivot.Sub(r.Apply(pivot))} }

// ShortestArc returns the rotation of least angle that turns the direction of a into that of b. ok is false when either
// has no length. Opposite directions turn half a turn about an axis perpendicular to a, chosen by a's smallest component.
func ShortestArc(a, b Vec) (Rot, bool) {
	u, v := a.Unit(), b.Unit()
	if u == (Vec{}) || v == (Vec{}) {
		return Identity(), false
	}
	// Of nearly opposite directions the half-way vector is what rounding left of their sum. It stands square on their
	// difference, so what lies along that is rounding alone.
	half := u.Add(v)
	if u.Dot(v) < 0 {
		apart := u.Sub(v).Unit()
		half = half.Sub(apart.Scale(apart.Dot(half)))
	}
	if half.Len() < 1e-15 {
		return halfTurn(u), true
	}
	h := half.Unit()
	axis := u.Cross(h)
	q, _ := Quat{axis.X, axis.Y, axis.Z, u.Dot(h)}.Unit()
	return q.Rot(), true
}

// halfTurn turns about some axis across the unit vector u.
func halfTurn(u Vec) Rot {
	a, _ := Basis(u)
	return Quat{a.X, a.Y, a.Z, 0}.Rot()
}

// Turned reports whether two rotations differ by more than rounding alone can do: an element by more than 1e-12.
func Turned(a, b Rot) bool { return Apart(a, b) > 1e-12 }

// Apart is the most that an element of two rotations differs by.
func Apart(a, b Rot) (most float64) {
	for i := range a {
		for j := range a[i] {
			most = max(most, abs(a[i][j]-b[i][j]))
		}
	}
	return most
}

func abs(x float64) float64 {
	if x < 0 {
		return -x
	}
	return x
}
