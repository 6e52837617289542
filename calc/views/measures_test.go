package views

import (
	"math"
	"testing"

	"centrode/calc/figure"
	"centrode/calc/plane"
	"centrode/calc/rigid"
)

// derived: endOn is 0.3, so a direction of which 0.2 shows is a mark and one of which 0.4 shows a line.
func TestAnAxisSeenNearlyEndOnIsAMark(t *testing.T) {
	v := Flat(figure.Rect{Max: plane.Vec{X: 10, Y: 10}}).Views[0]
	for shown, line := range map[float64]bool{0.2: false, 0.4: true} {
		marks := v.Axis("axis", figure.Guide, rigid.Vec{X: 5, Y: 5}, rigid.Vec{X: shown, Z: math.Sqrt(1 - shown*shown)}, 4)
		if _, is := marks[0].(figure.Polyline); is != line {
			t.Errorf("with %v of it in view the axis is %T", shown, marks[0])
		}
	}
}

// derived: a quarter of strip, 0.045, of 10 cm beyond the area, whose corners lie at 0 and 10.
func TestALongAxisEndsALittleOutsideTheArea(t *testing.T) {
	v := Flat(figure.Rect{Max: plane.Vec{X: 10, Y: 10}}).Views[0]
	line := v.Axis("axis", figure.Guide, rigid.Vec{X: 2, Y: 5}, rigid.Vec{X: 1}, 400)[0].(figure.Polyline)
	for i, want := range []plane.Vec{{X: -0.1125, Y: 5}, {X: 10.1125, Y: 5}} {
		if off := line.Points[i].Sub(want).Len(); !(off <= 1e-9) {
			t.Errorf("end %d lies at %v, want %v", i, line.Points[i], want)
		}
	}
}

// A part that would be shown no larger than it is, is not shown again.
func TestNothingIsEnlargedOnce(t *testing.T) {
	for apart, want := range map[float64]bool{0.01: true, 0.069: false, 0.08: false} {
		if d, ok := Enlarge(plane.Vec{}, plane.Vec{X: apart}, 1); ok != want {
			t.Errorf("%v apart: enlarged %v, %v times; want %v", apart, ok, d.Times, want)
		}
	}
}

func TestALineThatLeavesTheCircleHasNoHeadThere(t *testing.T) {
	d := Detail{Radius: 1, Times: 1}
	for _, c := range []struct {
		name  string
		line  figure.Polyline
		arrow bool
	}{
		{"an arrow that ends inside", figure.Polyline{Arrow: true, Points: []plane.Vec{{X: -2}, {X: 0.5}}}, true},
		{"an arrow that goes on", figure.Polyline{Arrow: true, Points: []plane.Vec{{X: -2}, {X: 2}}}, false},
		{"no arrow", figure.Polyline{Points: []plane.Vec{{X: -2}, {X: 0.5}}}, false},
	} {
		if shown, ok := d.Line(c.line); !ok || shown.Arrow != c.arrow {
			t.Errorf("%s: shown %v, with a head %v", c.name, ok, shown.Arrow)
		}
	}
}

// derived: no hairline stands between circles that meet; the part is at least a tenth of the detail.
func TestTheTwoCirclesOfADetailAreTiedWhereThereIsRoom(t *testing.T) {
	for x, want := range map[float64]int{1.05: 3, 3: 4} {
		d := Detail{To: plane.Vec{X: x}, Radius: 1, Times: 50}
		if got := len(d.Frame()); got != want {
			t.Errorf("circles %v apart have %d marks, want %d", x, got, want)
		}
		if d.Part() != 0.1 {
			t.Errorf("the part is %v, want a tenth of the detail's radius", d.Part())
		}
	}
	if got := (Detail{Radius: 1, Times: 2}).Part(); got != 0.5 {
		t.Errorf("the part is %v, want 0.5", got)
	}
}

// derived: the detail keeps one and a half of its radius away from what it enlarges.
func TestADetailKeepsClearOfItsPart(t *testing.T) {
	d := Detail{From: plane.Vec{X: 5, Y: 5}, Radius: 1, Times: 5}
	at := d.Place(Sheet{Rect: figure.Rect{Max: plane.Vec{X: 10, Y: 10}}}, nil)
	if far := at.Sub(d.From).Len(); !(far > 1.5 && far < 2.5) {
		t.Errorf("the detail lies %v from its part, want between 1.5 and 2.5", far)
	}
}

func TestBoundsThatCrossAreMetHalfway(t *testing.T) {
	for _, c := range []struct{ x, lo, hi, want float64 }{{0, 1, 3, 1}, {5, 1, 3, 3}, {2, 1, 3, 2}, {9, 3, 1, 2}} {
		if got := clamp(c.x, c.lo, c.hi); got != c.want {
			t.Errorf("clamp(%v, %v, %v) = %v, want %v", c.x, c.lo, c.hi, got, c.want)
		}
	}
}

// A view is a blot only where both of its sides are short.
func TestAViewWithOneLongSideIsShown(t *testing.T) {
	for _, c := range []struct {
		size rigid.Vec
		want string
	}{
		{rigid.Vec{X: 10, Y: 10, Z: 0.5}, "all"}, {rigid.Vec{X: 10, Y: 0.5, Z: 0.5}, "front and top"}, {rigid.Vec{X: 0.5, Y: 10, Z: 0.5}, "front and side"},
	} {
		var b Bounds
		b.Add(rigid.Vec{})
		b.Add(c.size)
		if got := b.shown(); got != c.want {
			t.Errorf("of %v the views shown are %q, want %q", c.size, got, c.want)
		}
	}
}

// Of views of one size the first is the main one, and a point alone takes a sheet of one centimetre.
func TestTheFirstOfEqualViewsIsTheMainOne(t *testing.T) {
	var b Bounds
	b.Add(rigid.Vec{})
	if s := Arrange(b); s.Size != 1 {
		t.Errorf("a point alone has a sheet of %v, want 1", s.Size)
	}
	b.Add(rigid.Vec{X: 10, Y: 10, Z: 10})
	for i, v := range Arrange(b).Views {
		if v.Main != (i == 0) {
			t.Errorf("the view %s is main: %v", v.Name, v.Main)
		}
	}
}

// derived: 3 and 4 outside along two axes are 5.
func TestADistanceFromBoundsCountsWhatLiesOutside(t *testing.T) {
	var b Bounds
	b.Add(rigid.Vec{})
	b.Add(rigid.Vec{X: 1, Y: 1, Z: 1})
	for _, c := range []struct {
		p    rigid.Vec
		want float64
	}{{rigid.Vec{X: 0.5, Y: 0.5, Z: 0.5}, 0}, {rigid.Vec{X: 4, Y: -4, Z: 0.5}, 5}} {
		if got := b.Distance(c.p); got != c.want {
			t.Errorf("%v lies %v away, want %v", c.p, got, c.want)
		}
	}
}
