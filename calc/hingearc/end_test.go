package hingearc

import (
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
