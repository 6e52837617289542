package figure

import (
	"math"
	"slices"
	"testing"
	"time"
)

// A map whose values differ by rounding alone has no lines, and is drawn at once.
func TestLevelsOfAFlatMapEnd(t *testing.T) {
	for _, least := range []float64{3, 1e10, 1e-3} {
		for ulps := 1; ulps < 12; ulps++ {
			most := least
			for range ulps {
				most = math.Nextafter(most, math.Inf(1))
			}
			done := make(chan []float64, 1)
			go func() { done <- Levels(least, most, least, 10) }()
			select {
			case got := <-done:
				if compact := slices.Compact(slices.Clone(got)); len(compact) != len(got) {
					t.Errorf("from %v to %v a level stands twice: %v", least, most, got)
				}
			case <-time.After(5 * time.Second):
				t.Fatalf("the levels from %v to %v, %d units of the last place apart, have no end", least, most, ulps)
			}
		}
	}
}
