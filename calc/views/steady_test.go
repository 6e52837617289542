package views

import (
	"math/rand/v2"
	"strconv"
	"testing"

	"centrode/calc/figure"
	"centrode/calc/plane"
	"centrode/calc/rigid"
)

func TestTheViewsKeepStillWhileAPointIsDraggedALittle(t *testing.T) {
	moves := 0
	last := arranged(rigid.Vec{}, rigid.Vec{X: 40, Y: 10, Z: 8}).Rect
	for k := range 100 {
		if got := arranged(rigid.Vec{}, rigid.Vec{X: 40, Y: 10 + 0.04*float64(k), Z: 8}).Rect; got != last {
			moves++
			last = got
		}
	}
	if moves > 4 { // a grid of 1 on a drag of 4
		t.Errorf("the sheet changed %d times in 100 steps, allowed 4", moves)
	}
}

// Where a detail enlarges no difference it says so, or a reader looks for one.
func TestADetailOfOnePlaceSaysThatItIsOne(t *testing.T) {
	for apart, want := range map[float64]string{0: "in one place, enlarged 20 times", 0.5: "10 times larger"} {
		d, small := Enlarge(plane.Vec{}, plane.Vec{X: apart}, 50)
		d.Same = Together(apart, 50)
		said := ""
		for _, m := range d.Frame() {
			if m, ok := m.(figure.Label); ok {
				said += m.Text
			}
		}
		if !small || said != want {
			t.Errorf("places %v apart are said to be %q (enlarged: %v), want %q", apart, said, small, want)
		}
	}
}

// derived: a landmark on the tip of the arrow that shows x to the right; its own word has to make way.
func TestTheLettersOfTheAxesStandAtTheirArrows(t *testing.T) {
	sheet := Flat(figure.Rect{Max: plane.Vec{X: 10, Y: 10}})
	f := figure.Figure{View: sheet.Rect, Marks: sheet.Views[0].Frame()}
	arrows := map[string]figure.Label{}
	for _, m := range f.Marks {
		if m, ok := m.(figure.Label); ok {
			arrows[m.Text] = m
			f.Marks = append(f.Marks, figure.Label{At: m.At, Text: "at rest " + m.Text, Away: m.Away, Rank: 1})
		}
	}
	seen := 0
	figure.Each(figure.Layout(f, figure.Options{}), func(n figure.Node) {
		if arrow, ok := arrows[n.Text]; ok && n.Tag == "text" {
			x, _ := strconv.ParseFloat(n.Attr("x"), 64)
			y, _ := strconv.ParseFloat(n.Attr("y"), 64)
			off := figure.Locate(f, figure.Options{}, x, y).Sub(arrow.At)
			if seen++; off.Len() > 0.03*sheet.Size || off.Dot(arrow.Away) < 0.9*off.Len() {
				t.Errorf("%s stands at %v from the tip of its arrow, which points to %v", n.Text, off, arrow.Away)
			}
		}
	})
	if seen != 2 {
		t.Errorf("%d letters are drawn", seen)
	}
}

func TestALineIsCutAtTheCircleOfItsDetail(t *testing.T) {
	d, small := Enlarge(plane.Vec{}, plane.Vec{X: 0.5, Y: 0.5}, 50)
	if !small || d.Times < 2 {
		t.Fatalf("a move of 0.7 on 50 is not enlarged: %+v", d)
	}
	d.To = plane.Vec{X: 30, Y: 30}
	if far := d.At(plane.Vec{X: 0.5, Y: 0.5}).Sub(d.To).Len(); !(far > 0.2*d.Radius && far < 0.8*d.Radius) {
		t.Errorf("the second point lies %v off, in a circle of %v", far, d.Radius)
	}
	r := rand.New(rand.NewPCG(1, 1))
	shown := 0
	for range 300 {
		a, b := plane.Vec{X: 4 * r.NormFloat64(), Y: 4 * r.NormFloat64()}, plane.Vec{X: 4 * r.NormFloat64(), Y: 4 * r.NormFloat64()}
		line, ok := d.Line(figure.Polyline{Points: []plane.Vec{a, b}})
		near := plane.Segment{A: a, B: b}.Distance(plane.Vec{}) * d.Times
		if ok != (near < d.Radius) {
			t.Fatalf("%v to %v passes at %v of a circle of %v: shown %v", a, b, near, d.Radius, ok)
		}
		for _, p := range line.Points {
			if p.Sub(d.To).Len() > d.Radius*(1+1e-9) {
				t.Fatalf("%v lies outside the detail", p)
			}
			shown++
		}
	}
	if shown < 100 {
		t.Errorf("only %d points were shown", shown)
	}
}

func TestADetailFindsRoomOrStandsOutside(t *testing.T) {
	box := figure.Rect{Max: plane.Vec{X: 100, Y: 80}}
	d := Detail{From: plane.Vec{X: 0, Y: 80}, Radius: 15, Times: 5}
	mast := []plane.Segment{{A: plane.Vec{}, B: plane.Vec{Y: 80}}, {A: plane.Vec{Y: 80}, B: plane.Vec{X: 100, Y: 80}}}
	at := d.Place(Sheet{Rect: box}, mast)
	if !(at.X > 15 && at.X < 85 && at.Y > 15 && at.Y < 65) {
		t.Errorf("the detail stands at %v, where the drawing has room inside", at)
	}
	for _, l := range mast {
		if l.Distance(at) < d.Radius {
			t.Errorf("the detail at %v touches %v", at, l)
		}
	}
	flat := figure.Rect{Max: plane.Vec{X: 100, Y: 10}}
	if at := d.Place(Sheet{Rect: flat}, nil); !(at.Y+d.Radius < 0) {
		t.Errorf("beside a flat drawing the detail stands at %v", at)
	}
	tall := figure.Rect{Max: plane.Vec{X: 10, Y: 100}}
	if at := d.Place(Sheet{Rect: tall}, nil); !(at.X-d.Radius > 10) {
		t.Errorf("beside a tall drawing the detail stands at %v", at)
	}
}
