package pivotoffset

import (
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"centrode/calc/catalog"
	"centrode/calc/figure"
	"centrode/calc/plane"
	"centrode/calc/rigid"
	"centrode/tests/hard/bound"
)

func run(t testing.TB, given map[string]float64) catalog.Answer {
	t.Helper()
	v := catalog.NewValues()
	for id, n := range given {
		v.Numbers[id] = n
	}
	a, err := catalog.Run(Calculator{}, v)
	if err != nil {
		t.Fatalf("Run(%v): %v", given, err)
	}
	return a
}

func put3(given map[string]float64, name string, v rigid.Vec) {
	given[name+"_x"], given[name+"_y"], given[name+"_z"] = v.X, v.Y, v.Z
}

func get3(n map[string]float64, name string) rigid.Vec {
	return rigid.Vec{X: n[name+"_x"], Y: n[name+"_y"], Z: n[name+"_z"]}
}

func vec(rng *rand.Rand) rigid.Vec {
	return rigid.Vec{X: rng.Float64()*20 - 10, Y: rng.Float64()*20 - 10, Z: rng.Float64()*20 - 10}
}

func sample(rng *rand.Rand) map[string]float64 {
	given := map[string]float64{"angle": rng.Float64()*1440 - 720}
	for _, name := range []string{"offset", "axis", "point"} {
		put3(given, name, vec(rng))
	}
	return given
}

func TestOwedOfKnownTurns(t *testing.T) {
	for _, c := range []struct {
		name   string
		offset rigid.Vec // cm
		axis   rigid.Vec
		deg    float64
		want   rigid.Vec // cm
		tol    float64   // cm
		source string
	}{
		{"a half turn doubles the offset", rigid.Vec{X: 1}, rigid.Vec{Z: 1}, 180, rigid.Vec{X: 2}, 3e-16, "derived: R = −1 in the plane; sin π rounds to 1.2e-16"},
		{"an offset along the axis owes nothing", rigid.Vec{Z: 3}, rigid.Vec{Z: 1}, 77, rigid.Vec{}, 0, "derived: R·a = a, exact in this form"},
		{"a quarter turn", rigid.Vec{X: 1}, rigid.Vec{Z: 5}, 90, rigid.Vec{X: 1, Y: -1}, 3e-16, "derived: (1, 0) − (0, 1)"},
		{"a sixth of a turn owes the offset's length", rigid.Vec{Y: 2}, rigid.Vec{X: 1}, 60, rigid.Vec{Y: 1, Z: -math.Sqrt(3)}, 5e-16, "derived: equilateral triangle"},
		{"a tiny turn keeps its digits", rigid.Vec{X: 1}, rigid.Vec{Z: 1}, 1e-7, rigid.Vec{X: 1.5230870989335e-18, Y: -1.7453292519943295e-09}, 1e-24, "derived: θ²/2 and θ for θ = 1e-7 degrees"},
		{"no turn owes nothing", rigid.Vec{X: 1, Y: 2, Z: 3}, rigid.Vec{X: 1, Y: 1, Z: 1}, 0, rigid.Vec{}, 0, "derived"},
	} {
		t.Run(c.name, func(t *testing.T) {
			got := Owed(c.offset, c.axis, c.deg*math.Pi/180)
			if off := got.Sub(c.want).Len(); !(off <= c.tol) { // written so that NaN fails
				t.Errorf("Owed(%v, %v, %v°) = %v, want %v, off by %.1e, allowed %.1e\n\t%s", c.offset, c.axis, c.deg, got, c.want, off, c.tol, c.source)
			}
		})
	}
}

func TestTheIdentitiesOfAMovedPivotHold(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 1))
	for i := range 2000 {
		given := sample(rng)
		n := run(t, given).Result.Numbers
		owed := get3(n, "owed")
		chord := 2 * n["lever"] * math.Abs(math.Sin(given["angle"]*math.Pi/360))
		if !(math.Abs(n["owed_length"]-chord) <= 1e-12) {
			t.Fatalf("seed 1,1 case %d: owed length %v, chord of the lever %v", i, n["owed_length"], chord)
		}
		if shown := 2 * n["lever"] * n["half_sine"]; !(math.Abs(n["owed_length"]-shown) <= 1e-12) {
			t.Fatalf("seed 1,1 case %d: owed length %v, the derivation shows %v", i, n["owed_length"], shown)
		}
		if off := get3(n, "candidate").Sub(get3(n, "current")).Sub(owed).Len(); !(off <= 1e-12) {
			t.Fatalf("seed 1,1 case %d: candidate − current is off the owed translation by %.1e", i, off)
		}
		if off := owed.Dot(get3(given, "axis")); !(math.Abs(off) <= 1e-10) {
			t.Fatalf("seed 1,1 case %d: the owed translation leans along the axis by %.1e", i, off)
		}
		slid := map[string]float64{}
		for id, v := range given {
			slid[id] = v
		}
		put3(slid, "offset", get3(given, "offset").Add(get3(given, "axis").Scale(rng.Float64()*4-2)))
		if off := get3(run(t, slid).Result.Numbers, "owed").Sub(owed).Len(); !(off <= 1e-12) {
			t.Fatalf("seed 1,1 case %d: a slide along the axis changes what is owed by %.1e", i, off)
		}
	}
}

func TestTurningEverythingTurnsTheAnswer(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 1))
	for i := range 1000 {
		given := sample(rng)
		q, _ := rigid.Turn(vec(rng), rng.Float64()*6)
		turned := map[string]float64{"angle": given["angle"]}
		for _, name := range []string{"offset", "axis", "point"} {
			put3(turned, name, q.Apply(get3(given, name)))
		}
		a, b := run(t, given).Result.Numbers, run(t, turned).Result.Numbers
		for _, name := range []string{"owed", "current", "candidate"} {
			if off := get3(b, name).Sub(q.Apply(get3(a, name))).Len(); !(off <= 1e-12) {
				t.Fatalf("seed 1,1 case %d: %s is off by %.1e", i, name, off)
			}
		}
		if !(math.Abs(a["lever"]-b["lever"]) <= 1e-12) {
			t.Fatalf("seed 1,1 case %d: lever %v, then %v", i, a["lever"], b["lever"])
		}
	}
}

func TestAMirrorTurnsTheAngleRound(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 1))
	flip := func(v rigid.Vec) rigid.Vec { return rigid.Vec{X: -v.X, Y: v.Y, Z: v.Z} }
	for i := range 1000 {
		given := sample(rng)
		mirrored := map[string]float64{"angle": -given["angle"]}
		for _, name := range []string{"offset", "axis", "point"} {
			put3(mirrored, name, flip(get3(given, name)))
		}
		a, b := run(t, given).Result.Numbers, run(t, mirrored).Result.Numbers
		for _, name := range []string{"owed", "current", "candidate"} {
			if off := get3(b, name).Sub(flip(get3(a, name))).Len(); !(off <= 1e-12) {
				t.Fatalf("seed 1,1 case %d: %s is off by %.1e", i, name, off)
			}
		}
	}
}

func TestAnotherUnitOfLengthScalesTheAnswer(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 1))
	for i := range 1000 {
		given, k := sample(rng), math.Exp(rng.Float64()*10-5)
		scaled := sample(rng)
		scaled["angle"] = given["angle"]
		put3(scaled, "offset", get3(given, "offset").Scale(k))
		put3(scaled, "point", get3(given, "point").Scale(k))
		put3(scaled, "axis", get3(given, "axis").Scale(7)) // only its direction counts
		a, b := run(t, given), run(t, scaled)
		for _, o := range a.Spec.Outputs {
			if was, is := a.Result.Numbers[o.ID], b.Result.Numbers[o.ID]; !(math.Abs(is-k*was) <= 1e-12*k*30) {
				t.Fatalf("seed 1,1 case %d: %s = %v, want %v times %v", i, o.ID, is, k, was)
			}
		}
	}
}

func TestTheReverseTurnGivesBackThePoint(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 1))
	for i := range 1000 {
		given := sample(rng)
		there := run(t, given).Result.Numbers
		back := map[string]float64{"angle": -given["angle"]}
		put3(back, "offset", get3(given, "offset"))
		put3(back, "axis", get3(given, "axis"))
		put3(back, "point", get3(there, "candidate"))
		if off := get3(run(t, back).Result.Numbers, "candidate").Sub(get3(given, "point")).Len(); !(off <= 1e-12) {
			t.Fatalf("seed 1,1 case %d: there and back misses by %.1e", i, off)
		}
	}
}

func TestAZeroAxisIsRefused(t *testing.T) {
	v := catalog.NewValues()
	v.Numbers["axis_z"] = 0
	_, err := catalog.Run(Calculator{}, v)
	var refusal *catalog.InputError
	if !errors.As(err, &refusal) {
		t.Fatalf("got %v, want an *InputError", err)
	}
	const want = "axis_x: 0, 0, 0: axis_x, axis_y and axis_z must not all be 0; for a hinge about z use 0, 0, 1"
	if err.Error() != want {
		t.Errorf("got  %s\nwant %s", err, want)
	}
}

func TestNoTurnIsExplained(t *testing.T) {
	a := run(t, map[string]float64{"angle": 0})
	if len(a.Result.Warnings) != 1 || a.Result.Warnings[0].Code != "no-rotation" || a.Result.Numbers["owed_length"] != 0 {
		t.Errorf("warnings %v, owed %v", a.Result.Warnings, a.Result.Numbers["owed_length"])
	}
}

func TestTheSentenceSaysWhatMustBeKeyed(t *testing.T) {
	for _, c := range []struct {
		name  string
		given map[string]float64
		want  string
	}{
		{"an ordinary move", map[string]float64{"offset_x": 1, "offset_y": 0, "angle": 60}, "After turning by 60° the animator must still key 1.00 cm of translation, because the pivot lies 1.00 cm off the axis line."},
		{"a fraction of a degree", map[string]float64{"offset_x": 100, "offset_y": 0, "angle": 0.5}, "After turning by 0.5° the animator must still key 0.87 cm of translation, because the pivot lies 100.00 cm off the axis line."},
		{"a slide along the axis", map[string]float64{"offset_x": 0, "offset_y": 0, "offset_z": 4}, "Rotation alone is enough: the moved pivot owes less than 0.005 cm of translation."},
		{"no move", map[string]float64{"offset_x": 0, "offset_y": 0}, "Rotation alone is enough: the moved pivot owes less than 0.005 cm of translation."},
		{"no turn", map[string]float64{"offset_x": 1, "offset_y": 0, "angle": 0}, "This turn of 0° owes less than 0.005 cm of translation, but the pivot lies 1.00 cm off the axis line: other turns owe up to 2.00 cm."},
		{"a whole turn", map[string]float64{"offset_x": 1, "offset_y": 0, "angle": 360}, "This turn of 360° owes less than 0.005 cm of translation, but the pivot lies 1.00 cm off the axis line: other turns owe up to 2.00 cm."},
	} {
		t.Run(c.name, func(t *testing.T) {
			if got := strings.ReplaceAll(run(t, c.given).Say(), "\u00a0", " "); got != c.want {
				t.Errorf("\n got %s\nwant %s", got, c.want)
			}
		})
	}
}

func TestTheFigureShowsBothPlacements(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 1))
	for i := range 200 {
		a := run(t, sample(rng))
		f := Calculator{}.Figure(a.Values, a.Result)
		if len(f.Handles) != 2 || f.Title == "" || f.Desc == "" {
			t.Fatalf("seed 1,1 case %d: figure %+v", i, f)
		}
		for _, h := range f.Handles {
			for _, axis := range h.Axes {
				if got, want := axis.Base+axis.PerUnit*h.At.Sub(axis.Origin).Dot(axis.Dir), a.Values.Numbers[axis.Field]; got != want {
					t.Errorf("seed 1,1 case %d: handle %q says %s = %v, the field holds %v", i, h.Name, axis.Field, got, want)
				}
			}
		}
	}
}

// A view that follows its own content would carry a handle away from the pointer: the pointer stays on one spot of the
// sheet, the view grows, and the spot means a farther place.
func TestAHeldPointerDoesNotRunAway(t *testing.T) {
	given := map[string]float64{"point_x": 6}
	view := func() figure.Rect { a := run(t, given); return Calculator{}.Figure(a.Values, a.Result).View }
	at := func(fraction float64) plane.Vec { v := view(); return v.Min.Lerp(v.Max, fraction) }
	for range 100 {
		given["point_x"] = at(0.93).X
	}
	if got := given["point_x"]; !(got < 12) {
		t.Errorf("the point ran away to %v cm under a pointer that did not move", got)
	}
}

func FuzzSolve(f *testing.F) {
	f.Add(1.0, 0.5, 0.0, 0.0, 0.0, 1.0, 60.0, 6.0, 0.0, 0.0)
	f.Add(0.6, -0.35, 0.2, 1.0, 1.0, 4.0, 110.0, 6.0, 0.5, -1.0)
	f.Add(0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0)
	f.Add(1e6, -1e6, 1e6, 5e-324, 0.0, 1e6, 36000.0, 1e6, 1e6, -1e6)
	f.Fuzz(func(t *testing.T, ox, oy, oz, ax, ay, az, angle, px, py, pz float64) {
		defer bound.Watch(t, 0)()
		v := catalog.NewValues()
		for i, id := range []string{"offset_x", "offset_y", "offset_z", "axis_x", "axis_y", "axis_z", "angle", "point_x", "point_y", "point_z"} {
			v.Numbers[id] = []float64{ox, oy, oz, ax, ay, az, angle, px, py, pz}[i]
		}
		a, err := catalog.Run(Calculator{}, v)
		if err != nil {
			var refusal *catalog.InputError
			if !errors.As(err, &refusal) || refusal.Field == "" {
				t.Fatalf("refused without naming a field: %v", err)
			}
			return
		}
		n := a.Result.Numbers
		size := 1 + rigid.Vec{X: ox, Y: oy, Z: oz}.Len() + rigid.Vec{X: px, Y: py, Z: pz}.Len()
		if off := get3(n, "candidate").Sub(get3(n, "current")).Sub(get3(n, "owed")).Len(); !(off <= 1e-13*size) {
			t.Fatalf("candidate − current misses the owed translation by %.1e", off)
		}
		Calculator{}.Figure(a.Values, a.Result)
	})
}

func BenchmarkSolve(b *testing.B) {
	v, err := catalog.Prepare(Calculator{}.Spec(), catalog.NewValues())
	if err != nil {
		b.Fatal(err)
	}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := (Calculator{}).Solve(v); err != nil {
			b.Fatal(err)
		}
	}
}

func ExampleCalculator_Say() {
	v := catalog.NewValues()
	v.Numbers["angle"] = 90
	answer, err := catalog.Run(Calculator{}, v)
	if err != nil {
		panic(err)
	}
	fmt.Println(strings.ReplaceAll(answer.Say(), "\u00a0", " "))
	// Output: After turning by 90° the animator must still key 1.58 cm of translation, because the pivot lies 1.12 cm off the axis line.
}
