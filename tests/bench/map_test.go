package bench

import (
	"testing"
	"time"

	"centrode/calc/placementmap"
)

// BenchmarkMap is a map of 200 × 200 cells on 30 landmarks in 20 poses, from values to finished answer.
func BenchmarkMap(b *testing.B) {
	v := newBall(30, 20).values()
	v.Numbers["cells"] = 200
	for _, kind := range []string{"ball", "hinge"} {
		v.Choices["kind"] = kind
		b.Run("kind="+kind, func(b *testing.B) { run(b, placementmap.Calculator{}, v) })
	}
}

func TestTheMapInWASMIsWithinThreeTimesNative(t *testing.T) {
	for _, kind := range []string{"ball", "hinge"} {
		inWASM(t, "BenchmarkMap/kind="+kind, 20, time.Second, 3)
	}
}
