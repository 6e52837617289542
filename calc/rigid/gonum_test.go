package rigid

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/num/quat"
	"gonum.org/v1/gonum/spatial/r3"
)

// The fixed-size forms of this package against the general routines of gonum, on the same random problems.

func TestEigenAgreesWithTheGeneralRoutine(t *testing.T) {
	r := rand.New(rand.NewPCG(2, 1))
	for range 2000 {
		var s Sym
		for range 1 + r.IntN(5) {
			s = s.AddOuter(0.1+r.Float64(), randomVec(r))
		}
		var general mat.EigenSym
		if !general.Factorize(mat.NewSymDense(3, []float64{s.XX, s.XY, s.XZ, s.XY, s.YY, s.YZ, s.XZ, s.YZ, s.ZZ}), false) {
			t.Fatal("gonum does not factorise")
		}
		rising := general.Values(nil)
		falling, _ := s.Eigen()
		for i := range 3 {
			if off := math.Abs(falling[i] - rising[2-i]); !(off <= 1e-13*(1+rising[2])) {
				t.Fatalf("eigenvalue %d: %v, gonum %v", i, falling[i], rising[2-i])
			}
		}
	}
}

// kabsch is absolute orientation the other way: singular vectors of the cross-covariance with the sign of the determinant
// put right. Source: kabsch1976, umeyama1991.
func kabsch(t *testing.T, m Cross) Rot {
	t.Helper()
	var svd mat.SVD
	if !svd.Factorize(mat.NewDense(3, 3, []float64{m[0][0], m[0][1], m[0][2], m[1][0], m[1][1], m[1][2], m[2][0], m[2][1], m[2][2]}), mat.SVDFull) {
		t.Fatal("gonum does not factorise")
	}
	var u, v, product mat.Dense
	svd.UTo(&u)
	svd.VTo(&v)
	sign := math.Copysign(1, mat.Det(&u)*mat.Det(&v))
	product.Product(&v, mat.NewDiagDense(3, []float64{1, 1, sign}), u.T())
	var r Rot
	for i := range 3 {
		for j := range 3 {
			r[i][j] = product.At(i, j)
		}
	}
	return r
}

func TestBestRotationAgreesWithSingularVectors(t *testing.T) {
	r := rand.New(rand.NewPCG(2, 2))
	compared := 0
	for i := range 3000 {
		var m Cross
		truth := randomRot(r)
		mirror := i%4 == 0 // a mirrored copy: the plain singular vectors would answer with a reflection
		for range 3 + r.IntN(6) {
			a := randomVec(r)
			b := truth.Apply(a)
			if mirror {
				b = truth.Apply(Vec{a.X, a.Y, -a.Z})
			}
			m.Add(0.2+r.Float64(), a, b.Add(randomVec(r).Scale(0.2)))
		}
		best := m.Best()
		if best.Gap < 1e-3 {
			continue // nearly as good another way: neither method is asked to decide
		}
		compared++
		if off := apart(best.R, kabsch(t, m)); !(off < 1e-10) {
			t.Fatalf("case %d (mirror %v, gap %.2g): rotations differ by %.1e, allowed 1e-10", i, mirror, best.Gap, off)
		}
	}
	if compared < 2500 {
		t.Fatalf("only %d of 3000 problems were well posed", compared)
	}
}

func TestTurnAndQuaternionsAgreeWithTheGeneralLibrary(t *testing.T) {
	r := rand.New(rand.NewPCG(2, 3))
	for range 3000 {
		axis, angle, p := randomVec(r), 7*r.NormFloat64(), randomVec(r)
		turn, _ := Turn(axis, angle)
		want := r3.NewRotation(angle, r3.Vec(axis)).Rotate(r3.Vec(p))
		if off := turn.Apply(p).Sub(Vec(want)).Len(); !(off < 1e-14*(1+p.Len())) {
			t.Fatalf("turned point differs from gonum's by %.1e", off)
		}
		a, b := randomRot(r), randomRot(r)
		qa, qb := a.Quat(), b.Quat()
		product := quat.Mul(quat.Number{Real: qa.W, Imag: qa.X, Jmag: qa.Y, Kmag: qa.Z}, quat.Number{Real: qb.W, Imag: qb.X, Jmag: qb.Y, Kmag: qb.Z})
		back := Quat{product.Imag, product.Jmag, product.Kmag, product.Real}.Rot()
		if off := apart(back, a.Mul(b)); !(off < 4e-15) {
			t.Fatalf("product of quaternions differs from product of rotations by %.1e", off)
		}
	}
}

func TestDenseSolvesAsTheGeneralRoutineDoes(t *testing.T) {
	r := rand.New(rand.NewPCG(2, 4))
	for range 2000 {
		n := 1 + r.IntN(4)
		system := Dense{N: n}
		for range n + 2 {
			var row [4]float64
			for i := range n {
				row[i] = r.NormFloat64()
			}
			for i := range n {
				for j := range n {
					system.A[i][j] += row[i] * row[j]
				}
			}
		}
		flat := make([]float64, 0, 16)
		right := make([]float64, n)
		for i := range n {
			system.B[i] = r.NormFloat64()
			right[i] = system.B[i]
			flat = append(flat, system.A[i][:n]...)
		}
		var chol mat.Cholesky
		if !chol.Factorize(mat.NewSymDense(n, flat)) || chol.Cond() > 1e8 {
			continue
		}
		var want mat.VecDense
		if err := chol.SolveVecTo(&want, mat.NewVecDense(n, right)); err != nil {
			continue
		}
		got, ok := system.Solve(0)
		for i := range n {
			if off := math.Abs(got[i] - want.AtVec(i)); !ok || !(off <= 1e-14*chol.Cond()*(1+math.Abs(want.AtVec(i)))) {
				t.Fatalf("unknown %d: %v, gonum %v (condition %.1e)", i, got[i], want.AtVec(i), chol.Cond())
			}
		}
	}
}

// The general 3 × 3 singular values cost several times the fixed-size form; the ratio is the reason for this package.
func BenchmarkAgainstSingularVectors(b *testing.B) {
	r := rand.New(rand.NewPCG(2, 5))
	var m Cross
	for range 30 {
		a := randomVec(r)
		m.Add(1, a, a.Add(randomVec(r).Scale(0.1)))
	}
	b.Run("fixed", func(b *testing.B) {
		for b.Loop() {
			m.Best()
		}
	})
	b.Run("gonum", func(b *testing.B) {
		dense := mat.NewDense(3, 3, []float64{m[0][0], m[0][1], m[0][2], m[1][0], m[1][1], m[1][2], m[2][0], m[2][1], m[2][2]})
		for b.Loop() {
			var svd mat.SVD
			svd.Factorize(dense, mat.SVDFull)
		}
	})
}
