package reseat

import (
	"testing"

	"centrode/calc/rigid"
)

// derived: rounding is some 1e-16 of the numbers; a billionth of a centimetre, beside a metre, is a move.
func TestWhatDiffersIsMoreThanRounding(t *testing.T) {
	for _, at := range []float64{0, 1, 100} {
		was := rigid.Motion{R: rigid.Identity(), T: rigid.Vec{X: at}}
		for by, want := range map[float64]bool{0: false, 1e-14: false, 1e-9: true, 1e-3: true} {
			is := rigid.Motion{R: was.R, T: was.T.Add(rigid.Vec{Y: by})}
			if got := Differs(was, is); got != want {
				t.Errorf("%g cm beside %g: %v", by, at, got)
			}
		}
	}
}
