package rigid

import (
	"math/rand/v2"
	"testing"
)

// What the searches of calc/centre, calc/placementmap, calc/keyfit and calc/propose call at every step.
func TestTheStepsOfTheSearchesAllocateNothing(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 21))
	point := func() Vec { return Vec{r.NormFloat64(), r.NormFloat64(), r.NormFloat64()} }
	rest, posed := make([]Vec, 40), make([]Vec, 40)
	for i := range rest {
		rest[i], posed[i] = point(), point()
	}
	pivot, axis := point(), point().Unit()
	pair := NewPair(rest, posed, nil)
	best := pair.TurnAbout(pivot)
	var sum float64
	for name, step := range map[string]func(){
		"NewPair":      func() { p := NewPair(rest, posed, nil); sum += p.W },
		"Spread":       func() { sum += pair.Spread()[0] },
		"Free":         func() { sum += pair.Free().T.X },
		"FreeAbout":    func() { sum += pair.FreeAbout(axis).T.X },
		"TurnAbout":    func() { sum += pair.TurnAbout(pivot)[0][0] },
		"AboutAxis":    func() { angle, _ := pair.AboutAxis(pivot, axis); sum += angle },
		"LeastSquares": func() { sum += pair.LeastSquares(pivot) },
		"Turning":      func() { t := pair.Turning(axis); sum += t.LeastSquares(pivot) },
		"Residual":     func() { sum += Residual(TurnAbout(pivot, best), rest, posed, nil) },
		"Stiffness":    func() { s, _ := pair.Stiffness(pivot, best).Inverse(); _ = s },
		"Torque":       func() { sum += pair.Torque(pivot, best).X },
		"Quat":         func() { sum += best.Quat().Rot()[0][0] },
		"Dense": func() {
			var d Dense
			x, _ := d.Solve(1)
			sum += x[0]
		},
	} {
		if n := testing.AllocsPerRun(50, step); n != 0 {
			t.Errorf("%s: %v allocations", name, n)
		}
	}
	if sum == 0 {
		t.Error("nothing was computed")
	}
}
