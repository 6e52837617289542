package rigid

import "math"

// Dense is a symmetric positive semidefinite system of at most four unknowns, A·x = b.
type Dense struct {
	N int
	A [4][4]float64
	B [4]float64
}

// Solve returns x by Cholesky's factorisation, adding damping·diagonal to the diagonal first. ok is false when the
// damped matrix is not positive definite to working precision.
func (d *Dense) Solve(damping float64) (x [4]float64, ok bool) {
	var l [4][4]float64
	for i := range d.N {
		for j := 0; j <= i; j++ {
			s := d.A[i][j]
			if i == j {
				s += damping * d.A[i][i]
			}
			for k := range j {
				s -= l[i][k] * l[j][k]
			}
			if i == j {
				if !(s > 1e-15*d.A[i][i]) {
					return x, false
				}
				l[i][i] = math.Sqrt(s)
			} else {
				l[i][j] = s / l[j][j]
			}
		}
	}
	for i := range d.N {
		s := d.B[i]
		for k := range i {
			s -= l[i][k] * x[k]
		}
		x[i] = s / l[i][i]
	}
	for i := d.N - 1; i >= 0; i-- {
		s := x[i]
		for k := i + 1; k < d.N; k++ {
			s -= l[k][i] * x[k]
		}
		x[i] = s / l[i][i]
	}
	return x, true
}

// Inverse returns A⁻¹ column by column; ok as in Solve.
func (d *Dense) Inverse() (inverse [4][4]float64, ok bool) {
	column := *d
	for j := range d.N {
		column.B = [4]float64{}
		column.B[j] = 1
		x, ok := column.Solve(0)
		if !ok {
			return inverse, false
		}
		for i := range d.N {
			inverse[i][j] = x[i]
		}
	}
	return inverse, true
}

// Inverse returns s⁻¹; ok is false when s is singular to working precision. s must be positive semidefinite.
func (s Sym) Inverse() (Sym, bool) {
	d := Dense{N: 3, A: [4][4]float64{{s.XX, s.XY, s.XZ}, {s.XY, s.YY, s.YZ}, {s.XZ, s.YZ, s.ZZ}}}
	m, ok := d.Inverse()
	return Sym{m[0][0], m[0][1], m[0][2], m[1][1], m[1][2], m[2][2]}, ok
}

// Basis returns two unit vectors that make a right-handed frame with the unit vector a: u × v = a.
func Basis(a Vec) (u, v Vec) {
	least := Vec{X: 1}
	if x, y, z := abs(a.X), abs(a.Y), abs(a.Z); y < x && y <= z {
		least = Vec{Y: 1}
	} else if z < x && z < y {
		least = Vec{Z: 1}
	}
	u = least.Cross(a).Unit()
	return u, a.Cross(u)
}
