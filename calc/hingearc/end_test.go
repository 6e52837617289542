package hingearc

import (
	"math"
	"math/rand/v2"
	"testing"

	"centrode/calc/catalog"
)

// derived: what first touches at an angle touches there, too, when the sweep ends there.
func TestASweepThatEndsWhereItFirstTouchesDoesTouch(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 3))
	asked := 0
	for range 2000 {
		v := catalog.NewValues()
		for id, x := range sample(rng) {
			v.Numbers[id] = x
		}
		for _, name := range []string{"current", "candidate"} {
			field := name + "_contact_angle"
			whole, err := catalog.Run(Calculator{}, v)
			if err != nil {
				t.Fatal(err)
			}
			first, touches := whole.Result.Numbers[field]
			if !touches || first == v.Numbers["from_angle"] {
				continue
			}
			asked++
			short := v.Clone()
			short.Numbers["to_angle"] = first
			answer, err := catalog.Run(Calculator{}, short)
			if err != nil {
				t.Fatal(err)
			}
			if got, ok := answer.Result.Numbers[field]; !ok || got != first {
				t.Fatalf("%s: touches first at %v, and a sweep that ends there at %v, %v\n%v", name, first, got, ok, v.Numbers)
			}
		}
	}
	if asked < 500 {
		t.Fatalf("only %d sweeps touch on their way", asked)
	}
}

// derived: where the tip comes to lie at the end is at the gap from the parent; the answer is the angle that was asked for, and not one of a last
// digit beyond it.
func TestWhatFirstTouchesAtTheEndTouchesExactlyThere(t *testing.T) {
	for _, given := range []map[string]float64{
		{"candidate_x": 0, "candidate_y": 2, "child_radius": 0, "from_angle": -30, "parent_radius": 1, "pivot_x": 1, "pivot_y": -1, "root_x": 0, "root_y": 4, "tip_x": 2, "tip_y": 2, "to_angle": 60},
		{"candidate_x": 1, "candidate_y": -20, "child_radius": 0.5, "from_angle": -30, "parent_radius": 0, "pivot_x": 1, "pivot_y": -1, "root_x": 1, "root_y": 0, "tip_x": 2, "tip_y": -1, "to_angle": 60},
		{"candidate_x": 2, "candidate_y": 0, "child_radius": 0.5, "from_angle": 90, "parent_radius": 2, "pivot_x": 0.5, "pivot_y": 16, "root_x": 0.5, "root_y": 4, "tip_x": 2, "tip_y": 2, "to_angle": 0},
	} {
		v := catalog.NewValues()
		v.Numbers = given
		a, err := catalog.Run(Calculator{}, v)
		if err != nil {
			t.Fatal(err)
		}
		for _, field := range []string{"current_contact_angle", "candidate_contact_angle"} {
			if got, ok := a.Result.Numbers[field]; ok && got != given["to_angle"] && math.Abs(got-given["to_angle"]) < 1e-9 {
				t.Errorf("%s is %.17g where the sweep ends at %v", field, got, given["to_angle"])
			}
		}
	}
}
