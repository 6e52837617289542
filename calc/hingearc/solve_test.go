package hingearc

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"centrode/calc/catalog"
	"centrode/calc/plane"
)

// run answers the given fields, the rest at their defaults.
func run(t testing.TB, given map[string]float64) catalog.Answer {
	t.Helper()
	return runWith(t, given, nil)
}

func runWith(t testing.TB, given map[string]float64, choices map[string]string) catalog.Answer {
	t.Helper()
	v := catalog.NewValues()
	for id, n := range given {
		v.Numbers[id] = n
	}
	for id, c := range choices {
		v.Choices[id] = c
	}
	a, err := catalog.Run(Calculator{}, v)
	if err != nil {
		t.Fatalf("Run(%v, %v): %v", given, choices, err)
	}
	return a
}

func codes(a catalog.Answer) map[string]int {
	found := map[string]int{}
	for _, w := range a.Result.Warnings {
		found[w.Code]++
	}
	return found
}

func TestOneArcAgreesWithItsFormulas(t *testing.T) {
	for _, c := range []struct {
		name   string
		given  map[string]float64 // cm, degrees; tip on +x of a pivot at the origin
		output string
		want   float64
		tol    float64
		source string
	}{
		{"a 3-4-5 limb bent square reaches 5", map[string]float64{"root_x": -3, "tip_x": 4, "to_angle": 90}, "current_reach_to", 5, 1e-15, "derived: 3-4-5 triangle; one rounding of the root"},
		{"a folded limb reaches the difference of its segments", map[string]float64{"root_x": -3, "tip_x": 4, "to_angle": 180}, "current_reach_to", 1, 1e-15, "derived: 4 − 3"},
		{"a straight limb reaches the sum", map[string]float64{"root_x": -3, "tip_x": 4, "from_angle": -90}, "current_reach_max", 7, 0, "derived: 3 + 4, put in exactly"},
		{"the fold inside the sweep is found", map[string]float64{"root_x": -3, "tip_x": 4, "from_angle": 100, "to_angle": 270}, "current_reach_min", 1, 0, "derived: |4 − 3|, put in exactly"},
		{"a fold outside the sweep is not", map[string]float64{"root_x": -3, "tip_x": 4, "from_angle": 0, "to_angle": 90}, "current_reach_min", 5, 1e-15, "derived: the end at 90° decides"},
		{"a clockwise sweep finds the fold too", map[string]float64{"root_x": -3, "tip_x": 4, "from_angle": -100, "to_angle": -270}, "current_reach_min", 1, 0, "derived: |4 − 3|"},
		{"a second turn changes no extreme", map[string]float64{"root_x": -3, "tip_x": 4, "from_angle": -360, "to_angle": 360}, "current_reach_min", 1, 0, "derived: |4 − 3|"},
		{"arc of a half turn", map[string]float64{"tip_x": 2, "to_angle": 180}, "current_arc_length", 2 * math.Pi, 1e-15, "derived: π r"},
		{"turns past the first are counted in the arc", map[string]float64{"tip_x": 2, "to_angle": 720}, "current_arc_length", 8 * math.Pi, 4e-15, "derived: 4π r"},
		{"the chord of a full turn is nothing", map[string]float64{"tip_x": 2, "to_angle": 360}, "current_chord", 0, 5e-16, "derived: the path ends where it began; sin π rounds to 1.2e-16"},
		{"the sagitta of a full turn is the diameter", map[string]float64{"tip_x": 2, "to_angle": 360}, "current_sagitta", 4, 0, "derived: the middle of the path is opposite its start"},
		{"the sagitta of a half turn is the radius", map[string]float64{"tip_x": 2, "to_angle": 180}, "current_sagitta", 2, 1e-15, "derived: r (1 − cos 90°)"},
		{"the sagitta of two full turns is nothing", map[string]float64{"tip_x": 2, "to_angle": 720}, "current_sagitta", 0, 1e-15, "derived: middle and ends of the path coincide"},
		{"a small sagitta keeps its digits", map[string]float64{"tip_x": 1, "to_angle": 1e-6}, "current_sagitta", 3.8077177473338e-17, 1e-29, "derived: r θ²/8 with θ = 1e-6 degrees, next term 1e-17 of it"},
		{"the shift is the chord of the pivot's move", map[string]float64{"candidate_x": 0, "candidate_y": 1.5, "to_angle": 60}, "shift_length", 1.5, 1e-15, "derived: equilateral triangle, 2·1.5·sin 30°"},
		{"a half turn shifts the tip by twice the pivot's move, x", map[string]float64{"candidate_x": 1, "candidate_y": 0.5, "to_angle": 180}, "shift_x", 2, 1e-15, "derived: (I − R) d = 2 d"},
		{"a half turn shifts the tip by twice the pivot's move, y", map[string]float64{"candidate_x": 1, "candidate_y": 0.5, "to_angle": 180}, "shift_y", 1, 1e-15, "derived: (I − R) d = 2 d"},
	} {
		t.Run(c.name, func(t *testing.T) {
			got, ok := run(t, c.given).Result.Numbers[c.output]
			if off := math.Abs(got - c.want); !ok || !(off <= c.tol) {
				t.Errorf("%s of %v = %v (present: %v), want %v, off by %.2g, allowed %.2g\n\t%s", c.output, c.given, got, ok, c.want, off, c.tol, c.source)
			}
		})
	}
}

func TestContactWithFleshIsWhereTheTriangleSays(t *testing.T) {
	for _, c := range []struct {
		name   string
		given  map[string]float64
		want   float64 // degrees
		source string
	}{
		{"a long parent is met on its side", map[string]float64{"root_x": -20, "tip_x": 10, "parent_radius": 3, "child_radius": 2, "to_angle": 180}, 150, "derived: sin of the gap to the folded line = 5/10"},
		{"the same, clockwise", map[string]float64{"root_x": -20, "tip_x": 10, "parent_radius": 3, "child_radius": 2, "to_angle": -180}, -150, "derived: mirror of the row above"},
		{"the same, after a whole turn", map[string]float64{"root_x": -20, "tip_x": 10, "parent_radius": 3, "child_radius": 2, "from_angle": 270, "to_angle": 720}, 510, "derived: 150 + 360"},
		{"a short parent is met on its far cap", map[string]float64{"root_x": -6, "tip_x": 10, "parent_radius": 5, "child_radius": 0, "to_angle": 180}, 180 - math.Acos((100+36-25)/120.0)*180/math.Pi, "derived: law of cosines with sides 10, 6 and 5"},
		{"without flesh they meet folded flat", map[string]float64{"root_x": -20, "tip_x": 10, "parent_radius": 0, "child_radius": 0, "to_angle": 200}, 180, "derived: the tip crosses the parent's line"},
		{"a tip that just grazes the far cap touches", map[string]float64{"root_x": -6, "tip_x": 10, "parent_radius": 4, "child_radius": 0, "to_angle": 200}, 180, "derived: 10 − 6 = 4"},
		{"contact at the very start", map[string]float64{"root_x": -20, "tip_x": 10, "parent_radius": 3, "child_radius": 2, "from_angle": 160, "to_angle": 0}, 160, "derived: 160 is past 150"},
		{"a sweep that ends at the touch touches", map[string]float64{"root_x": -20, "tip_x": 10, "parent_radius": 3, "child_radius": 2, "from_angle": 0, "to_angle": 150.0000000001}, 150, "derived: closed interval"},
	} {
		t.Run(c.name, func(t *testing.T) {
			got, ok := run(t, c.given).Result.Numbers["current_contact_angle"]
			const tol = 1e-6 // degrees: a grazing touch is known to the root of the rounding, 1e-8 rad; the others to 1e-12
			if off := math.Abs(got - c.want); !ok || !(off <= tol) {
				t.Errorf("contact of %v = %v (present: %v), want %v\n\t%s", c.given, got, ok, c.want, c.source)
			}
		})
	}
}

func TestNoContactIsNullWithAWarning(t *testing.T) {
	for name, given := range map[string]map[string]float64{
		"the sweep ends before it":          {"root_x": -20, "tip_x": 10, "parent_radius": 3, "child_radius": 2, "to_angle": 149},
		"the tip passes beyond the far end": {"root_x": -6, "tip_x": 10, "parent_radius": 3.999, "child_radius": 0, "to_angle": 360},
	} {
		t.Run(name, func(t *testing.T) {
			a := run(t, given)
			if a.Result.Has("current_contact_angle") {
				t.Errorf("contact = %v, want none", a.Result.Numbers["current_contact_angle"])
			}
			if codes(a)["no-contact"] == 0 {
				t.Errorf("no warning says why there is no contact: %v", a.Result.Warnings)
			}
		})
	}
}

// sampledContact walks the sweep in steps of at most 0.02° and refines the first touch by bisection: the witness that
// knows no closed form.
func sampledContact(s Sweep, parent plane.Segment, gap float64) (float64, bool) {
	steps := 1 + int(math.Abs(s.Turn())/(0.02*degree))
	far := func(k float64) bool { return parent.Distance(s.At(s.From+s.Turn()*k/float64(steps))) > gap }
	if !far(0) {
		return s.From, true
	}
	for k := 1; k <= steps; k++ {
		if far(float64(k)) {
			continue
		}
		lo, hi := float64(k-1), float64(k)
		for range 60 {
			if mid := (lo + hi) / 2; far(mid) {
				lo = mid
			} else {
				hi = mid
			}
		}
		return s.From + s.Turn()*hi/float64(steps), true
	}
	return 0, false
}

func TestContactAgreesWithDenseSampling(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 1))
	at := func(size float64) plane.Vec {
		return plane.Vec{X: size * (rng.Float64()*2 - 1), Y: size * (rng.Float64()*2 - 1)}
	}
	touched, missed := 0, 0
	for i := range 600 {
		s := Sweep{Pivot: at(10), Tip: at(10), From: (rng.Float64() - 0.5) * 4 * math.Pi, To: (rng.Float64() - 0.5) * 4 * math.Pi}
		parent, gap := plane.Segment{A: at(10), B: s.Pivot}, rng.Float64()*4
		if i%2 == 0 {
			parent.B = at(10) // the parent keeps its end while the hinge moves: the general case
		}
		want, wantOK := sampledContact(s, parent, gap)
		got, ok := s.Contact(parent, gap)
		if ok {
			touched++
		} else {
			missed++
		}
		switch off := parent.Distance(s.At(got)) - gap; {
		case ok && !wantOK: // sampling may step over a short touch; then the closed form must really touch
			if !(off <= 1e-9) {
				t.Fatalf("seed 1,1 case %d: contact %v is %.2g too far away", i, got, off)
			}
		case !ok && wantOK:
			t.Fatalf("seed 1,1 case %d: sampling touches at %v, the closed form never\n%+v %+v %v", i, want, s, parent, gap)
		case ok && (got-want)*s.sense() > 1e-9: // never later than the sampled first touch
			t.Fatalf("seed 1,1 case %d: contact %v, sampled %v", i, got, want)
		case ok && got != s.From && !(math.Abs(off) <= 1e-9): // and on the boundary
			t.Fatalf("seed 1,1 case %d: contact %v is %.2g off the boundary", i, got, off)
		}
	}
	if touched < 150 || missed < 150 {
		t.Errorf("the cases are one-sided: %d touch, %d do not", touched, missed)
	}
}

// Flesh a hundred thousand times thinner than the limb: a tip that passes beyond the root is met by the cap about it alone.
func TestThinFleshIsTouchedToo(t *testing.T) {
	for k := range 200 {
		gap := 1e-4 * (1 + float64(k)/100) // cm
		s := Sweep{Tip: plane.Vec{X: 16}, To: 3.2}
		parent := plane.Segment{A: plane.Vec{X: -16 + gap/2}, B: plane.Vec{}}
		angle, touches := s.Contact(parent, gap)
		if miss := math.Abs(parent.Distance(s.At(angle)) - gap); !touches || !(miss <= 1e-13) || !(angle < math.Pi) {
			t.Errorf("flesh of %g cm: touches %v, at %v° where the tip misses it by %.1e cm", gap, touches, angle/degree, miss)
		}
	}
}

// A pivot at the parent's own end makes the touching directions one interval about the folded line, so the contact has
// a two-line formula; it is another way to the same answer.
func TestContactAgreesWithTheFormulaForAnEndPivot(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 1))
	for i := range 2000 {
		e, r, gap := 1+rng.Float64()*9, 1+rng.Float64()*9, rng.Float64()*4
		s := Sweep{Tip: plane.Vec{X: r}, To: math.Pi}
		got, ok := s.Contact(plane.Segment{A: plane.Vec{X: -e}}, gap)
		want, wantOK := 0.0, true
		switch {
		case r <= gap:
			want = 0
		case r-e > gap:
			wantOK = false
		case math.Sqrt(r*r-gap*gap) <= e:
			want = math.Pi - math.Asin(gap/r)
		default:
			want = math.Pi - math.Acos((r*r+e*e-gap*gap)/(2*r*e))
		}
		if ok != wantOK || !(math.Abs(got-want) <= 1e-9) {
			t.Fatalf("seed 1,1 case %d: e %v r %v gap %v: contact %v (%v), want %v (%v)", i, e, r, gap, got, ok, want, wantOK)
		}
	}
}

func TestReachIsTheExtremeOfADenseSampling(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 1))
	at := func() plane.Vec { return plane.Vec{X: 10 * (rng.Float64()*2 - 1), Y: 10 * (rng.Float64()*2 - 1)} }
	for i := range 300 {
		root := at()
		s := Sweep{Pivot: at(), Tip: at(), From: (rng.Float64() - 0.5) * 8 * math.Pi, To: (rng.Float64() - 0.5) * 8 * math.Pi}
		const steps = 4000
		lo, hi := math.Inf(1), 0.0
		for k := range steps + 1 {
			d := s.At(s.From + s.Turn()*float64(k)/steps).Sub(root).Len()
			lo, hi = math.Min(lo, d), math.Max(hi, d)
		}
		got := s.Reach(root)
		// Half a step of at most 8π/4000 from an extreme, the distance is off by at most r·e/d·(step/2)²/2, under 0.02 unless d is near 0.
		if !(got.Min <= lo+1e-9 && got.Max >= hi-1e-9 && lo-got.Min < 0.05 && got.Max-hi < 0.05) {
			t.Fatalf("seed 1,1 case %d: reach %v to %v, sampled %v to %v", i, got.Min, got.Max, lo, hi)
		}
	}
}

func TestCoincidentPointsAreAnsweredWithAWarning(t *testing.T) {
	for _, c := range []struct {
		name  string
		given map[string]float64
		code  string
		count int
	}{
		{"tip on the current pivot", map[string]float64{"tip_x": 0}, "tip-on-pivot", 1},
		{"tip on both pivots", map[string]float64{"tip_x": 0, "candidate_y": 0}, "tip-on-pivot", 2},
		{"root on the current pivot", map[string]float64{"root_x": 0}, "parent-without-length", 1},
		{"everything in one place", map[string]float64{"root_x": 0, "tip_x": 0, "candidate_y": 0, "parent_radius": 0, "child_radius": 0}, "contact-at-start", 2},
		{"no sweep", map[string]float64{"from_angle": 30, "to_angle": 30}, "no-sweep", 1},
		{"two turns", map[string]float64{"from_angle": -360, "to_angle": 360}, "past-full-turn", 1},
		{"an ordinary sweep", map[string]float64{}, "past-full-turn", 0},
	} {
		t.Run(c.name, func(t *testing.T) {
			a := run(t, c.given) // Run refuses NaN and infinities by itself
			if got := codes(a)[c.code]; got != c.count {
				t.Errorf("%d warnings %q, want %d: %v", got, c.code, c.count, a.Result.Warnings)
			}
			checkFigure(t, a)
		})
	}
}

func TestTheParentMayKeepItsEnd(t *testing.T) {
	given := map[string]float64{"root_x": -20, "tip_x": 10, "candidate_x": -4, "candidate_y": 0, "parent_radius": 3, "child_radius": 2, "from_angle": 120, "to_angle": 0}
	own := runWith(t, given, nil)
	shared := runWith(t, given, map[string]string{"parent_end": "current"})
	if got := own.Result.Has("candidate_contact_angle"); got {
		t.Errorf("with the parent ending at the candidate pivot the tip touches at %v; it swings away from it", own.Result.Numbers["candidate_contact_angle"])
	}
	// derived: about (−4, 0) with radius 14 the tip is over x = 3 at cos φ = 1/2, and meets the cap of radius 5 about the origin
	// where |14 e^{iφ} − 4|² = 25: cos φ = (196 + 16 − 25)/112, above 1, so it never does.
	if got := shared.Result.Has("candidate_contact_angle"); got {
		t.Errorf("with the parent ending at the current pivot the tip touches at %v; its circle passes 5 cm clear", shared.Result.Numbers["candidate_contact_angle"])
	}
	given["tip_x"] = 4 // radius 8 about (−4, 0): the cap is met where |8 e^{iφ} − 4|² = 25: cos φ = (64 + 16 − 25)/64
	shared = runWith(t, given, map[string]string{"parent_end": "current"})
	want := math.Acos(55.0/64) * 180 / math.Pi
	if got := shared.Result.Numbers["candidate_contact_angle"]; !(math.Abs(got-want) <= 1e-9) {
		t.Errorf("contact at %v, want %v (derived: law of cosines)", got, want)
	}
	if own = runWith(t, given, nil); own.Result.Has("candidate_contact_angle") {
		t.Errorf("with its own end the parent is met at %v, want never", own.Result.Numbers["candidate_contact_angle"])
	}
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
	v.Numbers["candidate_y"] = 0.8
	answer, err := catalog.Run(Calculator{}, v)
	if err != nil {
		panic(err)
	}
	fmt.Println(strings.ReplaceAll(answer.Say(), "\u00a0", " "))
	// Output: With the candidate pivot the tip ends 1.44 cm farther from the root (11.53 cm instead of 10.09 cm), 1.55 cm from where it ends now, and touches the parent at 148.8° instead of 143.6°.
}
