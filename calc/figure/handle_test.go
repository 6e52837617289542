package figure

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"centrode/calc/plane"
)

// handleAt places a point by the definition of its axes in the package's contract: the inverse of Drag.
func handleAt(axes []Axis, values []float64) plane.Vec {
	if axes[0].Turn {
		a := axes[0]
		return a.Origin.Add(plane.Polar(3, a.Dir.Angle()+(values[0]-a.Base)/a.PerUnit*math.Pi/180))
	}
	at := axes[0].Origin
	for i, a := range axes {
		at = at.Add(a.Dir.Scale((values[i] - a.Base) / a.PerUnit))
	}
	return at
}

func TestDraggingToAHandlesPlaceGivesItsValues(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	between := func(low, high float64) float64 { return low + (high-low)*r.Float64() }
	for run := range 2000 {
		turn := plane.Polar(1, between(-3, 3))
		origin := vec(between(-9, 9), between(-9, 9))
		axes := []Axis{
			{Field: "u", Origin: origin, Dir: turn, Base: between(-2, 2), PerUnit: between(0.2, 3)},
			{Field: "v", Origin: origin, Dir: turn.Perp(), Base: between(-2, 2), PerUnit: -between(0.2, 3)},
		}
		values := []float64{between(-30, 30), between(-30, 30)}
		if run%2 == 1 {
			axes = []Axis{{Field: "angle", Origin: origin, Dir: turn, Base: between(-90, 90), PerUnit: -1, Turn: true}}
			values = []float64{axes[0].Base + between(-179, 179)}
		}
		for i, got := range Drag(Handle{Axes: axes}, handleAt(axes, values)) {
			if got.Field != axes[i].Field || !(math.Abs(got.Value-values[i]) <= 1e-10) {
				t.Errorf("run %d: %s = %v, want %v", run, got.Field, got.Value, values[i])
			}
		}
	}
}

func TestAnAngleIsNotDeterminedAtItsOwnCentre(t *testing.T) {
	h := Handle{Axes: []Axis{{Field: "flex", Origin: vec(1, 2), Dir: vec(1, 0), PerUnit: 1, Turn: true}}}
	if got := Drag(h, vec(1, 2)); len(got) != 0 {
		t.Errorf("got %v", got)
	}
	if got := Drag(h, vec(math.NaN(), 2)); len(got) != 0 {
		t.Errorf("a point that is no number gives %v", got)
	}
	if got := Drag(h, vec(0, 2)); len(got) != 1 || got[0].Value != 180 {
		t.Errorf("straight behind gives %v, want 180", got)
	}
}

func TestKeysMoveAHandleTheWayTheyPoint(t *testing.T) {
	linear := func(dir plane.Vec, perUnit float64) Axis { return Axis{Field: "f", Dir: dir, PerUnit: perUnit} }
	angle := Axis{Field: "f", Dir: vec(1, 0), PerUnit: -1, Turn: true}
	second := Axis{Field: "g", Dir: vec(0, 1), PerUnit: -2}
	at := func(field string) (float64, float64) {
		return map[string]float64{"f": 1, "g": 0.3}[field], 0.1
	}
	for _, c := range []struct {
		name   string
		axes   []Axis
		dx, dy float64
		want   []Setting
	}{
		{"right along x", []Axis{linear(vec(1, 0), 1), second}, 1, 0, []Setting{{"f", 1.1}}},
		{"left by ten steps", []Axis{linear(vec(1, 0), 1), second}, -10, 0, []Setting{{"f", 0}}},
		{"up against a field that grows downward", []Axis{linear(vec(1, 0), 1), second}, 0, 1, []Setting{{"g", 0.2}}},
		{"both at once", []Axis{linear(vec(1, 0), 1), second}, 1, -1, []Setting{{"f", 1.1}, {"g", 0.4}}},
		{"one axis follows up", []Axis{linear(vec(1, 0), 1)}, 0, 1, []Setting{{"f", 1.1}}},
		{"one axis to the left, right key", []Axis{linear(vec(-1, 0), 1)}, 1, 0, []Setting{{"f", 0.9}}},
		{"an angle grows to the right", []Axis{angle}, 1, 0, []Setting{{"f", 1.1}}},
		{"no key", []Axis{angle}, 0, 0, nil},
	} {
		t.Run(c.name, func(t *testing.T) {
			if got := Nudge(Handle{Axes: c.axes}, c.dx, c.dy, at); !slices.Equal(got, c.want) {
				t.Errorf("got %v, want %v", got, c.want)
			}
		})
	}
}
