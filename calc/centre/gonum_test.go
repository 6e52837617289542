package centre

import (
	"math"
	"math/rand/v2"
	"testing"

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
