package placementmap

import (
	"math"
	"strconv"
	"strings"
	"testing"

	"centrode/calc/catalog"
	"centrode/calc/figure"
)

func attr(t *testing.T, n figure.Node, name string) float64 {
	t.Helper()
	x, err := strconv.ParseFloat(n.Attr(name), 64)
	if err != nil {
		t.Fatalf("%s of %q: %v", name, n.Text, err)
	}
	return x
}

// The numbers of an edge stand before their own ticks, outside the map, however many digits they have and however narrow
// the sheet is. derived: a number on the left ends at the height of its value, one below is centred under it; those of the
// lower left corner may make room for each other.
func TestTheNumbersOfTheEdgesStandAtTheirTicks(t *testing.T) {
	for _, area := range [][4]float64{{-4, 6, -6, 6}, {-1.21, -1.19, 0.79, 0.81}, {-1.21, -1.172, -100.82, -100.79}, {0, 0.3, 0, 0.3}} {
		v := catalog.NewValues()
		v.Numbers["min_u"], v.Numbers["max_u"], v.Numbers["min_v"], v.Numbers["max_v"] = area[0], area[1], area[2], area[3]
		v.Numbers["cells"] = 8
		a, err := catalog.Run(Calculator{}, v)
		if err != nil {
			t.Fatal(err)
		}
		f := Calculator{}.Figure(a.Values, a.Result)
		for _, width := range []float64{320, 0, 720} {
			left, below := 0, 0
			figure.Each(figure.Layout(f, figure.Options{Width: width}), func(n figure.Node) {
				value, err := strconv.ParseFloat(strings.Replace(n.Text, "−", "-", 1), 64)
				if n.Tag != "text" || err != nil || n.Attr("class") == "contour" {
					return
				}
				at := figure.Locate(f, figure.Options{Width: width}, attr(t, n, "x"), attr(t, n, "y"))
				near := 0.03 * longer(region(v))
				switch {
				case n.Attr("text-anchor") == "end" && at.X < area[0] && math.Abs(at.Y-value) < near:
					left++
				case n.Attr("text-anchor") == "middle" && at.Y < area[2] && math.Abs(at.X-value) < near:
					below++
				default:
					t.Errorf("the map of %v, %v px wide: %s stands at %v", area, width, n.Text, at)
				}
			})
			if left < 3 || below < 2 {
				t.Errorf("the map of %v, %v px wide has %d numbers on the left and %d below", area, width, left, below)
			}
		}
	}
}
