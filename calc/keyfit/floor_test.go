package keyfit

import (
	"math"
	"math/rand/v2"
	"testing"

	"centrode/calc/rigid"
	"centrode/tests/scatter"
)

// TestExactKeysStateTheirRounding: keys that an offset explains to the last digit leave nothing, or by luck less than their last
// digits are worth. The stated deviation is then what those can have moved the offset by, however few the keys are, however ill
// they tie it, and however often the same one is repeated.
func TestExactKeysStateTheirRounding(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 16))
	order, _ := rigid.ParseOrder("xyz")
	for _, count := range []int{2, 3, 6, 20} {
		for _, copies := range []int{1, 100} {
			for exponent := range 13 {
				small := math.Pow(10, -float64(exponent))
				for what, c := range map[string]struct{ turn, spread, length float64 }{
					"tiny turns": {small, 1, 3}, "axes nearly parallel": {1, small, 3}, "far away": {1, 1, math.Min(1/small, 3e5)},
				} {
					for range 40 {
						offset, shared := scatter.Vec(r, 1).Unit().Scale(c.length), scatter.Vec(r, 1).Unit()
						var keys []Key
						for range count {
							turn, _ := rigid.Turn(shared.Add(scatter.Vec(r, c.spread)), c.turn*(0.3+1.2*r.Float64()))
							turn = order.Rot(order.Angles(turn))
							key := Key{turn, offset.Sub(turn.Apply(offset)), 1 + r.Float64()}
							for range copies {
								keys = append(keys, key)
							}
						}
						fit := Fit(keys)
						off := fit.Offset.Sub(offset)
						if fit.Rank == 0 {
							continue
						}
						if fit.Rank == 2 { // the given point lies by the true line, or the given line by the true point
							off = rigid.Vec{X: math.Min(off.Cross(shared).Len(), off.Cross(fit.Axis).Len())}
						}
						if !(fit.Sigma > 0) || !(off.Len() <= fit.Sigma+4e-15*c.length) { // and the last digits of the offset itself
							t.Fatalf("%s by 1e-%d, %d keys %d times: off by %g, stated %g", what, exponent, count, copies, off.Len(), fit.Sigma)
						}
					}
				}
			}
		}
	}
}

// TestWholeTurnsCostNoDigits: a hundred turns more or less are the same rotation, to the digits in which the angle is written.
func TestWholeTurnsCostNoDigits(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 17))
	for range 200 {
		x := math.Round(360*r.Float64()*1024) / 1024 // exact with whole turns added
		n := run(t, []Key{{rigid.Identity(), rigid.Vec{}, 1}}, "xyz").Values.Tables["keys"]
		n.Numbers["rx"][0], n.Numbers["ry"][0], n.Numbers["rz"][0] = x-36000+360, x, x/2
		far := Read(n, rigid.Order{0, 1, 2})[0].R
		n.Numbers["rx"][0] = x
		near := Read(n, rigid.Order{0, 1, 2})[0].R
		for i := range near {
			for j := range near[i] {
				if !(math.Abs(far[i][j]-near[i][j]) <= 2e-15) {
					t.Fatalf("turned by %v° and a hundred turns back: %v, without them %v", x, far, near)
				}
			}
		}
	}
}
