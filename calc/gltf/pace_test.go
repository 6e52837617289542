package gltf_test

import (
	"math"
	"testing"

	"centrode/calc/gltf"
)

// derived: at an even pace the angle of the half turn quaternion about x grows with the time; half of the last digit of its
// float32 is 2⁻²⁵ of it.
func TestASmallTurnKeepsAnEvenPace(t *testing.T) {
	for _, angle := range []float64{1, 0.1, 0.02, 0.014, 0.01, 1e-3, 5e-4, 4e-4, 1e-4, 1e-6} {
		x, w := float32(math.Sin(angle)), float32(math.Cos(angle))
		whole := math.Atan2(float64(x), float64(w))
		track := gltf.Track{Path: "rotation", Width: 4, Times: []float32{0, 1}, Values: []float32{0, 0, 0, 1, x, 0, 0, w}}
		for k := range 101 {
			var q [4]float64
			at := float64(k) / 100
			track.At(at, q[:])
			if off := math.Atan2(q[0], q[3]) - at*whole; !(math.Abs(off) <= whole/(1<<25)) {
				t.Fatalf("turned by %g, after %v of the way: off by %.1e", 2*angle, at, off)
			}
		}
	}
}
