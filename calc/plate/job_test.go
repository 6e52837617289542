package plate

import (
	"bytes"
	"strings"
	"testing"

	"centrode/calc/catalog/list"
	"centrode/calc/figure"
	"centrode/calc/quantity"
)

func TestWorkInPartsGivesTheSameAnswer(t *testing.T) {
	staged := 0
	for _, c := range list.All() {
		for _, base := range []string{"", "-"} {
			r := Request{Width: 500, ID: "p", Base: base}
			if base == "-" {
				r.Base = State(run(t, c, "")) // the same as the state
			}
			desk := new(Desk)
			job, err := desk.Begin(c, r)
			if err != nil {
				t.Fatal(err)
			}
			total, steps := job.Total(), 0
			for done := 0; done < total; steps++ {
				if next := job.Step(1); next != done+1 {
					t.Fatalf("%s: part %d brings it to %d", c.Spec().ID, done, next)
				} else {
					done = next
				}
			}
			if job.Step(5) != total {
				t.Errorf("%s: goes on after the last part", c.Spec().ID)
			}
			if steps > 1 {
				staged++
			}
			first := desk.Finish(job, r)
			if !bytes.Equal(first, new(Desk).Solve(c, r)) || !bytes.Equal(first, desk.Finish(job, r)) {
				t.Errorf("%s: in %d parts the answer is another", c.Spec().ID, total)
			}
		}
	}
	if staged == 0 {
		t.Error("no calculator works in more than one part")
	}
}

func TestARoughAnswerKeepsTheWholeState(t *testing.T) {
	c, err := list.Find("placement-map")
	if err != nil {
		t.Fatal(err)
	}
	r := Request{State: "cells=60&tolerance=0.1", Width: 500, Rough: true}
	s := read(t, new(Desk).Solve(c, r))
	if !s.Rough || s.State != "tolerance=0.1&cells=60" && s.State != "cells=60&tolerance=0.1" || s.Fields["cells"] != "60" {
		t.Errorf("rough %v, state %q, cells %s", s.Rough, s.State, s.Fields["cells"])
	}
	if left := s.Answers["cells"].Left; left != 24*24-MaxRows {
		t.Errorf("%d cells are left, want those of 24 × 24", left)
	}
	whole := r
	whole.Rough = false
	if w := read(t, new(Desk).Solve(c, whole)); w.Rough || w.Answers["cells"].Left != 60*60-MaxRows {
		t.Errorf("the whole answer: rough %v, %d cells left", w.Rough, w.Answers["cells"].Left)
	}
	r.State = "cells=20"
	if s := read(t, new(Desk).Solve(c, r)); s.Rough {
		t.Error("a map of 20 × 20 cells is called rough, though nothing is left out")
	}
	if s := read(t, new(Desk).Solve(c, Request{State: "cells=401", Rough: true})); s.Error == nil || s.Error.Field != "cells" {
		t.Errorf("a rough answer hides a value out of range: %+v", s.Error)
	}
	if s := read(t, new(Desk).Solve(c, Request{State: "min_u=9", Rough: true})); s.Error == nil || s.Error.Field != "max_u" {
		t.Errorf("a rough answer hides a refusal: %+v", s.Error)
	}
}

func TestAMapIsReadAtAPoint(t *testing.T) {
	c, err := list.Find("placement-map")
	if err != nil {
		t.Fatal(err)
	}
	r := Request{State: "cells=2", Width: 600}
	a := run(t, c, r.State)
	// Where the pixel lies in the model is asked of the drawing itself, as a witness.
	drawing := Drawing(a, a)
	read := 0
	for _, px := range [][2]float64{{300, 300}, {150, 200}, {420, 410}} {
		at := figure.Locate(drawing, options(r), px[0], px[1])
		want := "x " + quantity.Format(at.X, quantity.Length, 2) + ", y " + quantity.Format(at.Y, quantity.Length, 2) + ": rotation alone leaves "
		text, err := Probe(c, r, px[0], px[1])
		if err != nil || !strings.HasPrefix(text, want) || !strings.HasSuffix(text, "\u00a0cm.") {
			t.Errorf("at %v: %q, %v; want %s… cm.", px, text, err, want)
		}
		read++
	}
	if read < 3 {
		t.Errorf("%d points were read", read)
	}
	for _, outside := range [][2]float64{{-1, -1}, {1e9, 0}, {2, 2}} {
		if text, err := Probe(c, r, outside[0], outside[1]); text != "" || err != nil {
			t.Errorf("beside the map: %q, %v", text, err)
		}
	}
	if _, err := Probe(c, Request{State: "cells=x"}, 1, 1); err == nil {
		t.Error("a broken state is read")
	}
	if text, err := Probe(twice{}, Request{}, 1, 1); text != "" || err != nil {
		t.Errorf("a drawing that cannot be read says %q, %v", text, err)
	}
}

func TestOneRunStandsAloneWhereNothingIsCompared(t *testing.T) {
	single := 0
	for _, c := range list.All() {
		spec := c.Spec()
		s := read(t, new(Desk).Solve(c, Request{Base: ""}))
		if s.Error != nil || s.Differs != spec.Compares {
			t.Errorf("%s: at its base, differs = %v", spec.ID, s.Differs)
		}
		if !spec.Single {
			continue
		}
		single++
		if spec.Compares {
			t.Errorf("%s is both a comparison and a single run", spec.ID)
		}
	}
	if single < 4 {
		t.Errorf("%d calculators show a single run", single)
	}
	if s := read(t, new(Desk).Solve(twice{}, Request{State: "x=2"})); !s.Differs {
		t.Error("an edited state does not differ from its base")
	}
}
