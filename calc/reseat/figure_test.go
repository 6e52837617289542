package reseat

import (
	"math/rand/v2"
	"testing"

	"centrode/calc/catalog"
	"centrode/calc/figure"
	"centrode/calc/plane"
	"centrode/calc/quantity"
)

// A joint that moves out of the plane of all others has moved: the names stand where that is seen, and say that it stands in one place only
// where it does.
func TestAMoveTowardTheReaderIsNotSaidToBeNone(t *testing.T) {
	for z, want := range map[string]string{"0": "in one place, enlarged 20 times", "1": "5 times larger"} {
		spec, v := Calculator{}.Spec(), catalog.NewValues()
		for _, set := range [][2]string{{"joints", "a,,0,0,0;b,a,30,0,0;c,b,60,5,0"}, {"move", "b"}, {"to_x", "30"}, {"to_y", "0"}, {"to_z", z}} {
			if err := catalog.Set(spec, &v, set[0], set[1]); err != nil {
				t.Fatal(err)
			}
		}
		a, err := catalog.Run(Calculator{}, v)
		if err != nil {
			t.Fatal(err)
		}
		found := false
		for _, m := range a.Calculator.Figure(a.Values, a.Result).Marks {
			label, ok := m.(figure.Label)
			found = found || ok && label.Text == want
		}
		if !found {
			t.Errorf("moved by %s cm toward the reader, the detail does not say %q", z, want)
		}
	}
}

// The circle of a detail takes no room that a view has for its axes: a letter under its edge says nothing.
func TestTheDetailCoversNoLetterOfAnAxis(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	inside := 0
	for range 400 {
		at := func() string {
			return quantity.Number(60*r.Float64(), 1) + "," + quantity.Number(60*r.Float64(), 1) + "," + quantity.Number(60*r.Float64(), 1)
		}
		spec, v := Calculator{}.Spec(), catalog.NewValues()
		for _, set := range [][2]string{{"joints", "a,," + at() + ";b,a,30,30,30;c,b," + at()}, {"move", "b"}, {"to_x", "30"}, {"to_y", "30"}, {"to_z", "31"}} {
			if err := catalog.Set(spec, &v, set[0], set[1]); err != nil {
				t.Fatal(err)
			}
		}
		a, err := catalog.Run(Calculator{}, v)
		if err != nil {
			t.Fatal(err)
		}
		var letters []plane.Vec
		var circle figure.Arc
		for _, m := range a.Calculator.Figure(a.Values, a.Result).Marks {
			switch m := m.(type) {
			case figure.Arc:
				if m.Name != "" {
					circle = m
				}
			case figure.Label:
				if m.Text == "x" || m.Text == "y" || m.Text == "−z" {
					letters = append(letters, m.At)
				}
			}
		}
		if len(letters) != 6 || circle.Radius == 0 {
			continue
		}
		inside++
		for _, p := range letters {
			if p.Sub(circle.Centre).Len() < circle.Radius {
				t.Errorf("a letter at %v lies under the detail about %v of %v", p, circle.Centre, circle.Radius)
			}
		}
	}
	if inside < 50 {
		t.Errorf("only %d drawings had three views and a detail", inside)
	}
}
