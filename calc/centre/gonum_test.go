package centre

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/optimize"

	"centrode/calc/rigid"
)

// A general minimiser that knows nothing of rotations being eliminated must not find a lower residual, and must find the
// same pivot, from a start that is not ours.
func TestAGeneralMinimiserFindsNoBetterPivot(t *testing.T) {
	r := rand.New(rand.NewPCG(2, 1))
	for range 60 {
		rest, poses, _, _ := scene(r, 6, 5, 0.1, false)
		fit := Ball(rest, poses)
		residual := func(x []float64) float64 {
			pivot, total := rigid.Vec{X: x[0], Y: x[1], Z: x[2]}, 0.0
			for i, pose := range poses {
				turn := rigid.Vec{X: x[3+3*i], Y: x[4+3*i], Z: x[5+3*i]}
				rot, _ := rigid.Turn(turn, turn.Len())
				total += rigid.Residual(rigid.TurnAbout(pivot, rot), rest, pose.Points, nil)
			}
			return total
		}
		start := make([]float64, 3+3*len(poses))
		for i, rot := range fit.Rotations { // the rotations near ours, the pivot a decimetre off
			axis, angle := rot.AxisAngle()
			v := axis.Scale(angle)
			start[3+3*i], start[4+3*i], start[5+3*i] = v.X+0.05*r.NormFloat64(), v.Y+0.05*r.NormFloat64(), v.Z+0.05*r.NormFloat64()
		}
		start[0], start[1], start[2] = fit.Pivot.X+r.NormFloat64(), fit.Pivot.Y+r.NormFloat64(), fit.Pivot.Z+r.NormFloat64()
		gradient := func(grad, x []float64) {
			for i := range x {
				const h = 1e-6
				was := x[i]
				x[i] = was + h
				up := residual(x)
				x[i] = was - h
				down := residual(x)
				x[i] = was
				grad[i] = (up - down) / (2 * h)
			}
		}
		found, err := optimize.Minimize(optimize.Problem{Func: residual, Grad: gradient}, start, &optimize.Settings{GradientThreshold: 1e-8}, &optimize.BFGS{})
		if found == nil {
			t.Fatal(err)
		}
		ours := sum(fit.Squares)
		if found.F < ours*(1-1e-9) {
			t.Fatalf("the general minimiser leaves %.12g, ours %.12g", found.F, ours)
		}
		off := rigid.Vec{X: found.X[0], Y: found.X[1], Z: found.X[2]}.Sub(fit.Pivot).Len()
		if found.F < ours*(1+1e-9) && !(off < 1e-3*math.Max(1, fit.Size)) {
			t.Fatalf("equally good pivots lie %.1e apart", off)
		}
	}
}

// TestAHingesSigmaIsThatOfThePivotAnswered: the covariance by the textbook, (JᵀJ)⁻¹·s² of pivot, axis and every angle by finite
// differences at the pivot and the axis answered, has the same largest sigma across the line.
func TestAHingesSigmaIsThatOfThePivotAnswered(t *testing.T) {
	r := rand.New(rand.NewPCG(4, 1))
	for range 40 {
		const landmarks, poses = 5, 3
		rest, posed, _, _ := scene(r, landmarks, poses, 0.3, true)
		fit := Hinge(rest, posed)
		u, w := rigid.Basis(fit.Axis)
		miss := func(x []float64) (list []float64) {
			pivot, axis := fit.Pivot.Add(u.Scale(x[0])).Add(w.Scale(x[1])), fit.Axis.Add(u.Scale(x[2])).Add(w.Scale(x[3]))
			for i, pose := range posed {
				turn, _ := rigid.Turn(axis, fit.Angles[i]+x[4+i])
				for k, y := range pose.Points {
					d := rigid.TurnAbout(pivot, turn).Apply(rest[k]).Sub(y)
					list = append(list, d.X, d.Y, d.Z)
				}
			}
			return list
		}
		const unknowns, h = 4 + poses, 1e-5
		jacobian := mat.NewDense(3*landmarks*poses, unknowns, nil)
		for k := range unknowns {
			var up, down [unknowns]float64
			up[k], down[k] = h, -h
			a, b := miss(up[:]), miss(down[:])
			for i := range a {
				jacobian.Set(i, k, (a[i]-b[i])/(2*h))
			}
		}
		var normal, inverse mat.Dense
		normal.Mul(jacobian.T(), jacobian)
		if err := inverse.Inverse(&normal); err != nil {
			t.Fatal(err)
		}
		variance := sum(fit.Squares) / (3*landmarks*poses - unknowns)
		a, b, c := inverse.At(0, 0), inverse.At(0, 1), inverse.At(1, 1)
		want := math.Sqrt(variance * ((a+c)/2 + math.Hypot((a-c)/2, b)))
		if off := math.Abs(fit.Size/want - 1); !(off <= 1e-6) {
			t.Errorf("sigma %.9g, want %.9g, off by %.1e of it", fit.Size, want, off)
		}
	}
}
