package figure

import (
	"math/rand/v2"
	"testing"

	"centrode/calc/plane"
)

// While a reader drags a joint, the number of the span goes beside its line or comes back to it now and then, and does not
// flicker: where the two are near each other in worth, the choice must not hang on a pixel.
func TestANumberDoesNotFlickerWhileAJointIsDragged(t *testing.T) {
	const steps = 160
	rng := rand.New(rand.NewPCG(3, 9))
	swaps := 0
	for range 40 {
		end, knee, way := vec(3+6*rng.Float64(), 3+6*rng.Float64()), vec(3+4*rng.Float64(), 2+4*rng.Float64()), vec(rng.Float64()-0.5, rng.Float64()-0.5)
		on := false
		for k := range steps {
			bone := Polyline{Role: Bone, Points: []plane.Vec{vec(1, 1), knee.Add(way.Scale(4 * float64(k) / steps)), end}}
			n := Layout(Figure{View: Rect{Max: vec(10, 10)}, Marks: []Mark{bone, Dimension{A: vec(1, 1), B: end, Text: "81.0 cm"}}}, Options{Width: 320})
			now := len(gaps(n)) == 1
			if k > 0 && now != on {
				swaps++
			}
			on = now
		}
	}
	if swaps == 0 || swaps > 30 {
		t.Errorf("in 40 drags the number leaves its line or comes back %d times", swaps)
	}
}
