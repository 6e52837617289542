package rigid

import "math"

// BestTurn returns the rotation of Best at a fifth of its cost, without the gap: the greatest eigenvalue λ of Horn's
// matrix N by Newton's method on its quartic, and the eigenvector as a column of the adjugate of N − λI. Where the next
// eigenvalue is near, that column is short and loses digits, and Best answers instead; the two agree to 1e-11
// (TestTheQuickTurnIsTheBestOne). Allocates nothing. Source: horn1987; the adjugate derived.
func (m *Cross) BestTurn() Rot {
	squares := 0.0
	for i := range 3 {
		squares += m[i][0]*m[i][0] + m[i][1]*m[i][1] + m[i][2]*m[i][2]
	}
	bound := math.Sqrt(3 * squares) // no sum exceeds the three singular values, hence √3 times the root of their squares
	if !(bound > 0) || math.IsInf(bound, 0) {
		return m.Best().R
	}
	k := 1 / bound
	sxx, sxy, sxz := m[0][0]*k, m[0][1]*k, m[0][2]*k
	syx, syy, syz := m[1][0]*k, m[1][1]*k, m[1][2]*k
	szx, szy, szz := m[2][0]*k, m[2][1]*k, m[2][2]*k
	top := m.BestSum(bound) * k
	q, length := fourth{
		a: sxx + syy + szz - top, b: syz - szy, c: szx - sxz, d: sxy - syx,
		e: sxx - syy - szz - top, f: sxy + syx, g: szx + sxz,
		h: -sxx + syy - szz - top, i: syz + szy,
		j: -sxx - syy + szz - top,
	}.adjugateColumn()
	const least = 1e-3 // the minors, of entries up to 1, are then good to 1e-12 of the column
	if unit, ok := q.Unit(); ok && length >= least {
		return unit.Rot()
	}
	return m.Best().R
}

// fourth is a symmetric 4 × 4 matrix with the rows a b c d, b e f g, c f h i, d g i j.
type fourth struct{ a, b, c, d, e, f, g, h, i, j float64 }

// adjugateColumn returns the column of the adjugate with the greatest diagonal entry, in the order w, x, y, z, and that
// entry without its sign. Laplace's expansion by 2 × 2 minors of the upper and of the lower two rows.
func (n fourth) adjugateColumn() (q Quat, length float64) {
	a, b, c, d, e, f, g, h, i, j := n.a, n.b, n.c, n.d, n.e, n.f, n.g, n.h, n.i, n.j
	u01, u02, u03, u12, u13, u23 := a*e-b*b, a*f-b*c, a*g-b*d, b*f-e*c, b*g-e*d, c*g-f*d
	l02, l03, l12, l13, l23 := c*i-d*h, c*j-d*i, f*i-g*h, f*j-g*i, h*j-i*i
	w, x := e*l23-f*l13+g*l12, a*l23-c*l03+d*l02
	y, z := d*u13-g*u03+j*u01, c*u12-f*u02+h*u01
	wx, wy, wz := -b*l23+c*l13-d*l12, g*u23-i*u13+j*u12, -f*u23+h*u13-i*u12
	xy, xz, yz := -d*u23+i*u03-j*u02, c*u23-h*u03+i*u02, -c*u13+f*u03-i*u01
	length = max(math.Abs(w), math.Abs(x), math.Abs(y), math.Abs(z))
	switch length {
	case math.Abs(w):
		q = Quat{W: w, X: wx, Y: wy, Z: wz}
	case math.Abs(x):
		q = Quat{W: wx, X: x, Y: xy, Z: xz}
	case math.Abs(y):
		q = Quat{W: wy, X: xy, Y: y, Z: yz}
	default:
		q = Quat{W: wz, X: xz, Y: yz, Z: z}
	}
	return q, length
}
