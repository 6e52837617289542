package placementmap

import (
	"math"
	"testing"

	"centrode/calc/catalog"
	"centrode/calc/figure"
)

// Derived: the level of the region's limit is what the best place leaves and the tolerance together, and the fitted pivot
// of the default poses lies within a cell's diagonal and the third coordinate's influence of the best cell.
func TestTheRegionAndTheFittedPivotAreMarked(t *testing.T) {
	a, err := catalog.Run(Calculator{}, catalog.NewValues())
	if err != nil {
		t.Fatal(err)
	}
	limits, pivots := 0, 0
	for _, m := range (Calculator{}).Figure(a.Values, a.Result).Marks {
		switch m := m.(type) {
		case figure.Heat:
			for _, e := range m.Edges {
				limits++
				if want := a.Result.Numbers["best_rms"] + a.Values.Numbers["tolerance"]; e.Level != want {
					t.Errorf("the limit is drawn at %v, want %v", e.Level, want)
				}
			}
		case figure.Marker:
			if m.Name == "The pivot that fits the poses" {
				pivots++
				u, v := a.Result.Numbers["best_u"], a.Result.Numbers["best_v"]
				if !(math.Abs(m.At.X-u) < 0.5 && math.Abs(m.At.Y-v) < 0.5) {
					t.Errorf("the fitted pivot stands at %v, the best cell at %v, %v", m.At, u, v)
				}
			}
		}
	}
	if limits != 1 || pivots != 1 {
		t.Errorf("%d limits and %d fitted pivots are drawn", limits, pivots)
	}
}
