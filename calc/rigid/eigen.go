package rigid

import "math"

// Sym is a symmetric 3 × 3 matrix: its upper triangle xx, xy, xz, yy, yz, zz.
type Sym struct{ XX, XY, XZ, YY, YZ, ZZ float64 }

// AddOuter returns s + w·v·vᵀ.
func (s Sym) AddOuter(w float64, v Vec) Sym {
	return Sym{s.XX + w*v.X*v.X, s.XY + w*v.X*v.Y, s.XZ + w*v.X*v.Z, s.YY + w*v.Y*v.Y, s.YZ + w*v.Y*v.Z, s.ZZ + w*v.Z*v.Z}
}

// Apply returns s·v.
func (s Sym) Apply(v Vec) Vec {
	return Vec{s.XX*v.X + s.XY*v.Y + s.XZ*v.Z, s.XY*v.X + s.YY*v.Y + s.YZ*v.Z, s.XZ*v.X + s.YZ*v.Y + s.ZZ*v.Z}
}

// Eigen returns the eigenvalues in falling order and unit eigenvectors that go with them, right-handed. Cyclic Jacobi
// on a fixed-size array: allocates nothing, absolute error of the values a few ulps of the largest.
func (s Sym) Eigen() ([3]float64, [3]Vec) {
	m := [4][4]float64{{s.XX, s.XY, s.XZ}, {s.XY, s.YY, s.YZ}, {s.XZ, s.YZ, s.ZZ}}
	values, vectors := jacobi(m, 3)
	v0 := Vec{vectors[0][0], vectors[1][0], vectors[2][0]}
	v1 := Vec{vectors[0][1], vectors[1][1], vectors[2][1]}
	return [3]float64{values[0], values[1], values[2]}, [3]Vec{v0, v1, v0.Cross(v1)}
}

// jacobi diagonalises the leading n × n block of a symmetric matrix and sorts by falling eigenvalue. Column j of vectors
// belongs to values[j]. Nine sweeps are more than the quadratic convergence of n ≤ 4 ever needs (TestNineSweepsAreEnough).
func jacobi(m [4][4]float64, n int) (values [4]float64, vectors [4][4]float64) {
	for i := range n {
		vectors[i][i] = 1
	}
	for range 9 {
		off, diagonal := 0.0, 0.0
		for i := range n {
			diagonal += m[i][i] * m[i][i]
			for j := i + 1; j < n; j++ {
				off += m[i][j] * m[i][j]
			}
		}
		if off <= 1e-40*diagonal || off == 0 {
			break
		}
		for p := range n - 1 {
			for q := p + 1; q < n; q++ {
				rotate(&m, &vectors, p, q, n)
			}
		}
	}
	for i := range n {
		values[i] = m[i][i]
	}
	sortFalling(&values, &vectors, n)
	return values, vectors
}

// rotate makes m[p][q] zero by one plane rotation.
func rotate(m, vectors *[4][4]float64, p, q, n int) {
	if m[p][q] == 0 {
		return
	}
	theta := (m[q][q] - m[p][p]) / (2 * m[p][q])
	t := 1 / (math.Abs(theta) + math.Sqrt(theta*theta+1))
	if math.IsInf(theta, 0) {
		t = 0
	}
	if theta < 0 {
		t = -t
	}
	c := 1 / math.Sqrt(t*t+1)
	s := t * c
	tau := s / (1 + c)
	h := t * m[p][q]
	m[p][p] -= h
	m[q][q] += h
	m[p][q], m[q][p] = 0, 0
	for r := range n {
		if r != p && r != q {
			g, k := m[r][p], m[r][q]
			m[r][p] = g - s*(k+tau*g)
			m[r][q] = k + s*(g-tau*k)
			m[p][r], m[q][r] = m[r][p], m[r][q]
		}
		g, k := vectors[r][p], vectors[r][q]
		vectors[r][p] = g - s*(k+tau*g)
		vectors[r][q] = k + s*(g-tau*k)
	}
}

func sortFalling(values *[4]float64, vectors *[4][4]float64, n int) {
	for i := range n - 1 {
		best := i
		for j := i + 1; j < n; j++ {
			if values[j] > values[best] {
				best = j
			}
		}
		if best != i {
			values[i], values[best] = values[best], values[i]
			for r := range n {
				vectors[r][i], vectors[r][best] = vectors[r][best], vectors[r][i]
			}
		}
	}
}
