package hingearc

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"centrode/calc/catalog"
	"centrode/calc/figure"
	"centrode/calc/plane"
	"centrode/tests/hard/bound"
)

var points = []string{"root", "pivot", "candidate", "tip"}

// sample is a random set of inputs with all points within 10 cm.
func sample(rng *rand.Rand) map[string]float64 {
	given := map[string]float64{
		"from_angle": rng.Float64()*720 - 360, "to_angle": rng.Float64()*720 - 360,
		"parent_radius": rng.Float64() * 3, "child_radius": rng.Float64() * 3,
	}
	for _, p := range points {
		given[p+"_x"], given[p+"_y"] = rng.Float64()*20-10, rng.Float64()*20-10
	}
	return given
}

// moved applies f to every point of the inputs.
func moved(given map[string]float64, f func(plane.Vec) plane.Vec) map[string]float64 {
	out := map[string]float64{}
	for id, v := range given {
		out[id] = v
	}
	for _, p := range points {
		q := f(plane.Vec{X: given[p+"_x"], Y: given[p+"_y"]})
		out[p+"_x"], out[p+"_y"] = q.X, q.Y
	}
	return out
}

// same reports the outputs of b that are not f of those of a.
func same(t *testing.T, i int, a, b catalog.Answer, f func(id string, v float64) float64) {
	t.Helper()
	for _, o := range a.Spec.Outputs {
		if o.Pair == "tip_x" || o.Pair == "tip_y" || strings.HasPrefix(o.ID, "shift_") && o.ID != "shift_length" {
			continue // points, not measures; checked apart
		}
		was, had := a.Result.Numbers[o.ID]
		is, has := b.Result.Numbers[o.ID]
		if had != has {
			t.Fatalf("seed 1,1 case %d: %s: present %v, then %v\n%v", i, o.ID, had, has, a.Values.Numbers)
		}
		if want := f(o.ID, was); had && !(math.Abs(is-want) <= 1e-6*math.Max(1, math.Abs(want))) { // 1e-6: a near-grazing contact angle
			t.Fatalf("seed 1,1 case %d: %s = %v, want %v\n%v", i, o.ID, is, want, a.Values.Numbers)
		}
	}
}

func isAngle(id string) bool { return strings.HasSuffix(id, "_angle") }

func TestARigidMotionOfAllPointsChangesNoMeasure(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 1))
	for i := range 500 {
		given := sample(rng)
		turn := plane.TurnAbout(plane.Vec{X: rng.Float64(), Y: rng.Float64()}, rng.Float64()*6)
		a, b := run(t, given), run(t, moved(given, turn.Apply))
		same(t, i, a, b, func(_ string, v float64) float64 { return v })
		want := turn.Turn(plane.Vec{X: a.Result.Numbers["shift_x"], Y: a.Result.Numbers["shift_y"]})
		got := plane.Vec{X: b.Result.Numbers["shift_x"], Y: b.Result.Numbers["shift_y"]}
		if !(got.Sub(want).Len() <= 1e-12) {
			t.Fatalf("seed 1,1 case %d: the shift does not turn with the points: %v, want %v", i, got, want)
		}
	}
}

func TestAMirrorTurnsTheAnglesRound(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 1))
	for i := range 500 {
		given := sample(rng)
		mirrored := moved(given, func(p plane.Vec) plane.Vec { return plane.Vec{X: p.X, Y: -p.Y} })
		mirrored["from_angle"], mirrored["to_angle"] = -given["from_angle"], -given["to_angle"]
		a, b := run(t, given), run(t, mirrored)
		same(t, i, a, b, func(id string, v float64) float64 {
			if isAngle(id) {
				return -v
			}
			return v
		})
	}
}

func TestAnotherUnitOfLengthScalesLengthsAndKeepsAngles(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 1))
	for i := range 500 {
		given, k := sample(rng), math.Exp(rng.Float64()*12-6)
		scaled := moved(given, func(p plane.Vec) plane.Vec { return p.Scale(k) })
		scaled["parent_radius"], scaled["child_radius"] = k*given["parent_radius"], k*given["child_radius"]
		same(t, i, run(t, given), run(t, scaled), func(id string, v float64) float64 {
			if isAngle(id) {
				return v
			}
			return k * v
		})
	}
}

func TestASweepBackwardsHasTheSameExtremesAndSwappedEnds(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 1))
	for i := range 500 {
		given := sample(rng)
		back := moved(given, func(p plane.Vec) plane.Vec { return p })
		back["from_angle"], back["to_angle"] = given["to_angle"], given["from_angle"]
		a, b := run(t, given).Result.Numbers, run(t, back).Result.Numbers
		for _, pair := range [][2]string{{"reach_from", "reach_to"}, {"reach_min", "reach_min"}, {"reach_max", "reach_max"},
			{"arc_length", "arc_length"}, {"chord", "chord"}, {"sagitta", "sagitta"}} {
			for _, side := range []string{"current_", "candidate_"} {
				if was, is := a[side+pair[0]], b[side+pair[1]]; !(math.Abs(was-is) <= 1e-9) {
					t.Fatalf("seed 1,1 case %d: %s%s = %v, backwards %v", i, side, pair[0], was, is)
				}
			}
		}
	}
}

func TestTheIdentitiesOfAnArcHold(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 1))
	for i := range 500 {
		a := run(t, sample(rng))
		n := a.Result.Numbers
		in := read(a.Values)
		off := func(name string, got, want float64) {
			if !(math.Abs(got-want) <= 1e-9) {
				t.Fatalf("seed 1,1 case %d: %s: %v and %v\n%v", i, name, got, want, a.Values.Numbers)
			}
		}
		for _, p := range in.placements() {
			o := p.name + "_"
			s := p.sweep
			off("chord is the distance of the ends", n[o+"chord"], s.At(s.To).Sub(s.At(s.From)).Len())
			off("sagitta joins the middles of path and chord", n[o+"sagitta"], s.At((s.From+s.To)/2).Sub(s.At(s.From).Lerp(s.At(s.To), 0.5)).Len())
			if !(n[o+"reach_min"] <= n[o+"reach_to"] && n[o+"reach_to"] <= n[o+"reach_max"] && n[o+"chord"] <= n[o+"arc_length"]+1e-12) {
				t.Fatalf("seed 1,1 case %d: order of measures is broken: %v", i, n)
			}
			if straight := s.At(s.Straight(in.root)); n[o+"parent"] > 1e-6 {
				off("straight is the farthest", straight.Sub(in.root).Len(), n[o+"parent"]+n[o+"radius"])
			}
		}
		off("shift is candidate tip minus current tip, x", n["shift_x"], n["candidate_tip_x"]-n["current_tip_x"])
		off("shift is candidate tip minus current tip, y", n["shift_y"], n["candidate_tip_y"]-n["current_tip_y"])
		off("the derivation shows the shift", n["shift_length"], 2*n["pivot_shift"]*n["half_sine"])
		off("the derivation shows the turn", n["sweep"], in.to-in.from)
		off("the derivation shows the distance of contact", n["touch"], in.parentRadius+in.childRadius)
		off("shift length is the length of the shift", n["shift_length"], math.Sqrt(n["shift_x"]*n["shift_x"]+n["shift_y"]*n["shift_y"]))
	}
}

// checkFigure requires finite marks, a view that holds every handle, and handles whose axes answer the field's own value.
func checkFigure(t *testing.T, a catalog.Answer) {
	t.Helper()
	f := Calculator{}.Figure(a.Values, a.Result)
	if f.Title == "" || f.Desc == "" {
		t.Errorf("a figure needs a title and a description: %q, %q", f.Title, f.Desc)
	}
	if !(f.View.Max.X > f.View.Min.X && f.View.Max.Y > f.View.Min.Y) {
		t.Errorf("the view has no area: %v", f.View)
	}
	for _, m := range f.Marks {
		if d, ok := m.(figure.Dimension); ok && !(d.A.Sub(d.B).Len() > 0) {
			t.Errorf("dimension %q has no length", d.Name)
		}
	}
	for _, h := range f.Handles {
		if !(h.At.X >= f.View.Min.X && h.At.X <= f.View.Max.X && h.At.Y >= f.View.Min.Y && h.At.Y <= f.View.Max.Y) {
			t.Errorf("handle %q at %v is outside the view %v", h.Name, h.At, f.View)
		}
		for _, axis := range h.Axes {
			if got, want := axisValue(axis, h.At), a.Values.Numbers[axis.Field]; !(math.Abs(got-want) <= 1e-9*math.Max(1, math.Abs(want))) {
				t.Errorf("handle %q says %s = %v, the field holds %v", h.Name, axis.Field, got, want)
			}
		}
	}
}

// axisValue is the definition of figure.Axis, written out.
func axisValue(a figure.Axis, p plane.Vec) float64 {
	from := p.Sub(a.Origin)
	if a.Turn {
		if from.Len() < 1e-12 {
			return a.Base
		}
		return a.Base + a.PerUnit*math.Atan2(a.Dir.Cross(from), a.Dir.Dot(from))*180/math.Pi
	}
	return a.Base + a.PerUnit*from.Dot(a.Dir)
}

func TestEveryHandleStandsWhereItsFieldsSay(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 1))
	for range 200 {
		checkFigure(t, run(t, sample(rng)))
	}
	for _, deg := range []float64{-720, -540.5, -180.5, -179.5, 0, 180, 180.5, 540, 720} { // about the seams of a turn
		checkFigure(t, run(t, map[string]float64{"candidate_y": 0, "to_angle": deg}))
	}
}

func TestTheViewKeepsStillWhileAnAngleOrThePivotIsDragged(t *testing.T) {
	view := func(given map[string]float64) figure.Rect {
		a := run(t, given)
		return Calculator{}.Figure(a.Values, a.Result).View
	}
	rest := view(nil)
	for deg := 136.0; deg <= 180; deg++ { // the eighth of a turn that the sweep ends in
		if got := view(map[string]float64{"to_angle": deg}); got != rest {
			t.Fatalf("the view moves from %v to %v when the sweep ends at %v°", rest, got, deg)
		}
	}
	changes, previous := 0, view(map[string]float64{"to_angle": -180})
	for deg := -180.0; deg <= 180; deg++ {
		if got := view(map[string]float64{"to_angle": deg}); got != previous {
			changes++
			previous = got
		}
	}
	if changes > 8 {
		t.Errorf("the view moved %d times in a whole turn, allowed 8, once an eighth", changes)
	}
	moves := 0
	last := rest
	for y := 1.5; y > -2.5; y -= 0.05 { // a drag of 4 cm in 80 steps
		if got := view(map[string]float64{"candidate_y": y}); got != last {
			moves++
			last = got
		}
	}
	if moves > 4 { // edges lie 2 cm apart here, and the upper and the lower one follow the drag
		t.Errorf("the view moved %d times in a drag of 80 steps, allowed 4", moves)
	}
}

// The numbers 10.09, 7.49, 12.81, 143.6 and 134.1 were also found by a script that steps the turn by 0.01° (derived).
func TestTheSentenceComparesBothPlacements(t *testing.T) {
	for _, c := range []struct {
		name  string
		given map[string]float64
		want  string
	}{
		{"nearer, with contact", nil,
			"With the candidate pivot the tip ends 2.59 cm nearer the root (7.49 cm instead of 10.09 cm), 2.90 cm from where it ends now, and touches the parent at 134.1° instead of 143.6°."},
		{"farther, contact lost", map[string]float64{"candidate_y": 1.5},
			"With the candidate pivot the tip ends 2.72 cm farther from the root (12.81 cm instead of 10.09 cm), 2.90 cm from where it ends now, and no longer touches the parent."},
		{"no move", map[string]float64{"candidate_y": 0},
			"The candidate pivot is the current one: the tip ends 10.09 cm from the root after travelling 41.89 cm."},
	} {
		t.Run(c.name, func(t *testing.T) {
			if got := strings.ReplaceAll(run(t, c.given).Say(), "\u00a0", " "); got != c.want {
				t.Errorf("Say:\n got %s\nwant %s", got, c.want)
			}
		})
	}
}

func FuzzSolve(f *testing.F) {
	f.Add(-20.0, 0.0, 0.0, 0.0, 0.0, 1.5, 16.0, 0.0, 0.0, 150.0, 5.0, 4.5)
	f.Add(0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0)
	f.Add(-1e6, 1e6, 1e6, -1e6, 1e-300, 5e-324, 1e6, 1e6, -720.0, 720.0, 1e6, 1e6)
	f.Add(-6.0, 0.0, 0.0, 0.0, 0.0, 0.0, 10.0, 0.0, 10.0, -350.0, 4.0, 0.0)
	f.Fuzz(func(t *testing.T, rx, ry, px, py, cx, cy, tx, ty, from, to, parent, child float64) {
		defer bound.Watch(t, 0)()
		v := catalog.NewValues()
		for i, id := range []string{"root_x", "root_y", "pivot_x", "pivot_y", "candidate_x", "candidate_y", "tip_x", "tip_y", "from_angle", "to_angle", "parent_radius", "child_radius"} {
			v.Numbers[id] = []float64{rx, ry, px, py, cx, cy, tx, ty, from, to, parent, child}[i]
		}
		a, err := catalog.Run(Calculator{}, v)
		if err != nil {
			if _, ok := err.(*catalog.InputError); !ok || err.(*catalog.InputError).Field == "" {
				t.Fatalf("refused without naming a field: %v", err)
			}
			return
		}
		for _, o := range a.Spec.Outputs {
			if !a.Result.Has(o.ID) && o.Pair != "contact_angle" {
				t.Fatalf("%s is missing for %v", o.ID, v.Numbers)
			}
		}
		if c, ok := a.Result.Numbers["candidate_contact_angle"]; ok && (c < math.Min(from, to)-1e-9 || c > math.Max(from, to)+1e-9) {
			t.Fatalf("contact at %v is outside the sweep %v to %v", c, from, to)
		}
		if text := a.Say(); strings.Contains(text, "NaN") || strings.Contains(text, "Inf") {
			t.Fatalf("the sentence has no number: %s", text)
		}
		Calculator{}.Figure(a.Values, a.Result)
	})
}
