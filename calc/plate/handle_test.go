package plate

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"centrode/calc/catalog"
	"centrode/calc/catalog/list"
	"centrode/calc/figure"
)

func TestClampAndSnapKeepAFieldInItsRange(t *testing.T) {
	spec := twice{}.Spec()
	x, open, n := spec.Fields[0], spec.Fields[1], spec.Fields[2]
	for _, c := range []struct {
		name        string
		field       catalog.Field
		given, want float64
	}{
		{"a tenth of the step", x, 1.23456, 1.23},
		{"no binary noise", x, 0.1 + 0.2, 0.3},
		{"above the range", x, 99, 10},
		{"below the range", x, math.Inf(-1), -10},
		{"an excluded end", open, -3, 0.05},
		{"a count stays whole", n, 4.4, 4},
		{"a count at its end", n, 0.2, 1},
	} {
		t.Run(c.name, func(t *testing.T) {
			if got := clamp(c.field, snap(c.field, c.given)); got != c.want {
				t.Errorf("%s from %v = %v, want %v (derived from step %v, range %s)", c.field.ID, c.given, got, c.want, c.field.Step, c.field.RangeWords())
			}
		})
	}
}

// sheetPoint returns where a handle stands in px: the inverse of figure.Locate, taken from two of its answers.
func sheetPoint(drawing figure.Figure, r Request, handle int) (x, y float64) {
	at := drawing.Handles[handle].At
	zero := figure.Locate(drawing, options(r), 0, 0)
	scale := figure.Locate(drawing, options(r), 1, 0).X - zero.X
	return (at.X - zero.X) / scale, (zero.Y - at.Y) / scale
}

func TestDraggingAHandleNowhereChangesItsFieldsByLessThanAGrain(t *testing.T) {
	dragged := 0
	for _, c := range list.All() {
		r := Request{Width: 640}
		a, err := Run(c, "")
		if err != nil {
			t.Fatal(err)
		}
		drawing := Drawing(a, a)
		for i, h := range drawing.Handles {
			x, y := sheetPoint(drawing, r, i)
			state, err := new(Desk).Drag(c, r, i, x, y)
			if err != nil {
				t.Fatalf("%s: %v", h.Name, err)
			}
			after := prepared(t, a.Spec, state)
			for _, axis := range h.Axes {
				before, ok := targetOf(a, axis.Field)
				now, _ := targetOf(catalog.Answer{Spec: a.Spec, Values: after}, axis.Field)
				if !ok {
					t.Errorf("%s, %s: sets %q, which is neither field nor cell", a.Spec.ID, h.Name, axis.Field)
					continue
				}
				if off := math.Abs(now.now - before.now); !(off <= grain(before.field)*(0.5+1e-6)) {
					t.Errorf("%s, %s: %s moved from %v to %v, allowed half a grain of %v", a.Spec.ID, h.Name, axis.Field, before.now, now.now, grain(before.field))
				}
				dragged++
			}
		}
	}
	if dragged < 4 {
		t.Fatalf("only %d axes were dragged", dragged)
	}
}

func prepared(t *testing.T, spec catalog.Spec, state string) catalog.Values {
	t.Helper()
	values, err := ParseState(spec, state)
	if err == nil {
		values, err = catalog.Prepare(spec, values)
	}
	if err != nil {
		t.Fatalf("%s: state %q: %v", spec.ID, state, err)
	}
	return values
}

func TestDraggingAndNudgingAnywhereStaysInRange(t *testing.T) {
	random := rand.New(rand.NewPCG(1, 1))
	for _, c := range list.All() {
		r := Request{Width: 500}
		for range 60 {
			handle := random.IntN(6)
			x, y := random.NormFloat64()*3000, random.NormFloat64()*3000
			dragged, err := new(Desk).Drag(c, r, handle, x, y)
			if err != nil {
				t.Fatalf("seed 1,1: %s, handle %d to %v,%v: %v", c.Spec().ID, handle, x, y, err)
			}
			nudged, err := new(Desk).Nudge(c, r, handle, x, y)
			if err != nil {
				t.Fatalf("seed 1,1: %s, handle %d by %v,%v: %v", c.Spec().ID, handle, x, y, err)
			}
			prepared(t, c.Spec(), dragged)
			prepared(t, c.Spec(), nudged)
		}
	}
}

func TestAMotionThatIsNoneChangesNothing(t *testing.T) {
	for _, c := range list.All() {
		for _, bad := range []float64{math.NaN(), math.Inf(1)} {
			for _, handle := range []int{-1, 0, 1 << 30} {
				if state, err := new(Desk).Drag(c, Request{}, handle, bad, 0); err != nil || state != "" {
					t.Errorf("%s: a drag to %v = %q, %v; want no change", c.Spec().ID, bad, state, err)
				}
				if state, err := new(Desk).Nudge(c, Request{}, handle, bad, 0); err != nil || state != "" {
					t.Errorf("%s: a nudge by %v = %q, %v; want no change", c.Spec().ID, bad, state, err)
				}
			}
		}
	}
}

func TestAnArrowKeyIsOneStepAndBackAgain(t *testing.T) {
	c, err := list.Find("pivot-offset")
	if err != nil {
		t.Fatal(err)
	}
	right, err := new(Desk).Nudge(c, Request{}, 0, 1, 0)
	if err != nil || right != "offset_x=1.1" {
		t.Errorf("→ gives %q, %v; want offset_x=1.1 (derived: default 1, step 0.1)", right, err)
	}
	up, err := new(Desk).Nudge(c, Request{State: right}, 0, 0, 10)
	if err != nil || up != "offset_x=1.1&offset_y=1.5" {
		t.Errorf("⇧↑ gives %q, %v; want offset_y=1.5 (derived: default 0.5, ten steps of 0.1)", up, err)
	}
	back, err := new(Desk).Nudge(c, Request{State: right}, 0, -1, 0)
	if err != nil || back != "" {
		t.Errorf("← gives %q, %v; want the defaults again", back, err)
	}
}

func TestHandlesSayWhatTheySet(t *testing.T) {
	c, err := list.Find("pivot-offset")
	if err != nil {
		t.Fatal(err)
	}
	s := read(t, new(Desk).Solve(c, Request{State: "offset_x=-1.25"}))
	if len(s.Handles) == 0 || len(s.Handles[0].Axes) != 2 {
		t.Fatalf("handles = %+v", s.Handles)
	}
	h := s.Handles[0]
	if !strings.Contains(h.Valuetext, "−1.25\u00a0cm") || h.Axes[0].Now != -1.25 || h.Axes[0].Text != "−1.25\u00a0cm" {
		t.Errorf("handle = %+v", h)
	}
	if h.Axes[0].Min >= h.Axes[0].Max {
		t.Errorf("range = %v to %v", h.Axes[0].Min, h.Axes[0].Max)
	}
}

func TestALiveDrawingIsNeverTheScaledSheet(t *testing.T) {
	for _, c := range [][2]float64{{0, figure.Fluid}, {math.NaN(), figure.Fluid}, {-5, figure.Fluid}, {480, 481}, {10, leastWidth}, {1e9, mostWidth}, {360, 360}} {
		if got := clampWidth(c[0]); got != c[1] {
			t.Errorf("clampWidth(%v) = %v, want %v", c[0], got, c[1])
		}
	}
}
