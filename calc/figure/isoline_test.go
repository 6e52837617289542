package figure

import (
	"testing"

	"centrode/calc/plane"
)

func TestEveryPartOfALineBeginsWithItsFirstPoint(t *testing.T) {
	at := func(x float64) plane.Vec { return plane.Vec{X: x} }
	gap := Rect{plane.Vec{X: 10, Y: -1}, plane.Vec{X: 12, Y: 1}}
	for _, c := range []struct {
		name  string
		chain []plane.Vec
		want  string
	}{
		{"outside the gap", []plane.Vec{at(0), at(2), at(4)}, "M0 0L2 0L4 0"},
		{"through the gap", []plane.Vec{at(8), at(14), at(16)}, "M8 0L10 0M12 0L14 0L16 0"},
		{"from inside the gap", []plane.Vec{at(11), at(14)}, "M12 0L14 0"},
		{"inside the gap", []plane.Vec{at(10.5), at(11)}, ""},
		{"two points that coincide at the start", []plane.Vec{at(0), at(0), at(2)}, "M0 0L2 0"},
		{"two points that coincide later", []plane.Vec{at(0), at(2), at(2), at(4)}, "M0 0L2 0L4 0"},
		{"one point twice", []plane.Vec{at(0), at(0)}, ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			var got trace
			got.open(c.chain, gap)
			if string(got) != c.want {
				t.Errorf("drawn as %q, want %q", got, c.want)
			}
		})
	}
}
