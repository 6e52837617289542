package rigid

import (
	"slices"
	"testing"
)

func TestLevelKeepsTheRatiosOfWeights(t *testing.T) {
	for _, c := range [][2][]float64{
		{{0, 0}, {0, 0}},
		{{1, 0.5, 0}, {1, 0.5, 0}},
		{{1e6, 3}, {1e6 / 524288, 3.0 / 524288}},
		{{5e-324, 1.5e-323}, {0.5, 1.5}},
	} {
		got := slices.Clone(c[0])
		Level(got[:1], got[1:])
		if !slices.Equal(got, c[1]) {
			t.Errorf("%v come to %v, want %v", c[0], got, c[1])
		}
	}
}
