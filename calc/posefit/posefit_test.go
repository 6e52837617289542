package posefit

import (
	"errors"
	"math"
	"testing"

	"centrode/calc/catalog"
)

func TestTheExampleFindsThePivotItWasMadeFrom(t *testing.T) {
	a, err := catalog.Run(Calculator{}, catalog.NewValues())
	if err != nil {
		t.Fatal(err)
	}
	n := a.Result.Numbers
	off := math.Sqrt(math.Pow(n["pivot_x"]-1, 2) + math.Pow(n["pivot_y"]+0.5, 2) + math.Pow(n["pivot_z"], 2))
	if !(off < 3*n["sigma_major"]) || a.Result.Texts["determined"] != "point" {
		t.Errorf("pivot (%v, %v, %v) is %v from (1, -0.5, 0), sigma %v, %v", n["pivot_x"], n["pivot_y"], n["pivot_z"], off, n["sigma_major"], a.Result.Texts)
	}
	if !(n["free_rms"] > 0.005 && n["free_rms"] < 0.05 && n["residual_rms"] >= n["free_rms"]) {
		t.Errorf("residual %v, noise floor %v, made with 0.02", n["residual_rms"], n["free_rms"])
	}
	if text := a.Say(); text == "" {
		t.Error("no sentence")
	}
}

func TestLandmarksThatCannotShowATurnAreRefused(t *testing.T) {
	for text, want := range map[string]string{
		"1,0,0,0;1,1,0,0;1,0,1,0;1,0,0,1":                                                              "landmarks: must contain the rest pose, numbered 0",
		"0,0,0,0;0,1,0,0;0,0,1,0;0,0,0,1":                                                              "landmarks: must contain at least one pose besides the rest pose 0",
		"0,0,0,0;0,1,0,0;0,0,1,0;1,0,0,0;1,1,0,0":                                                      "landmarks: must list the same landmarks in every pose: pose 1 has 2, the rest pose 3",
		"0,0,0,0;0,1,0,0;0,2,0,0;1,0,0,0;1,0,1,0;1,0,2,0":                                              "landmarks: must list at least 3 landmarks that do not lie on one line in pose 1 (2 in a plane for a hinge)",
		"0,0,0,0;0,1,0,0;0,2,1,0;1,0,0,0,0;1,0,1,0,0;1,0,2,0,0":                                        "landmarks: must give some landmark of pose 1 a weight above 0",
		"0,0,0,0;0,1,0,0;0,0,1,0;1,0,0,0;1,1,0,0;1,0,1,0;2,0,0,0,1e-200;2,1,0,0,1e-200;2,0,0,1,1e-200": "landmarks.weight: must be at least 1e-100 of the greatest weight for some landmark of pose 2",
		"0,1,1,1;0,1,1,1;0,1,1,1;1,0,0,0;1,0,1,0;1,0,2,0":                                              "landmarks: must not put all landmarks in one place, or so near it that they move a million times their own extent: no turn can be read from them",
	} {
		v := catalog.NewValues()
		if err := catalog.Set(Calculator{}.Spec(), &v, "landmarks", text); err != nil {
			t.Fatal(err)
		}
		_, err := catalog.Run(Calculator{}, v)
		var refusal *catalog.InputError
		if !errors.As(err, &refusal) || err.Error() != want {
			t.Errorf("%s:\n got %v\nwant %s", text, err, want)
		}
	}
}

// Weights count only against each other: in whatever unit they are, the answer has the same digits.
func TestWeightsCountOnlyAgainstEachOther(t *testing.T) {
	var want catalog.Result
	for i, unit := range []float64{1, 0x1p19, 0x1p-100, 0x1p-600, 0x1p-1000, 0x1p-1070} {
		v, rows := catalog.NewValues(), example()
		rows.Numbers["weight"] = make([]float64, rows.Len)
		for k := range rows.Len {
			rows.Numbers["weight"][k] = unit * []float64{1, 0.5, 0.25}[k%3]
		}
		v.Tables["landmarks"] = rows
		a, err := catalog.Run(Calculator{}, v)
		if err != nil {
			t.Fatalf("weights of about %g: %v", unit, err)
		}
		if i == 0 {
			want = a.Result
		}
		for id, x := range want.Numbers {
			if got := a.Result.Numbers[id]; got != x {
				t.Errorf("weights of about %g: %s is %v, want %v", unit, id, got, x)
			}
		}
	}
}
