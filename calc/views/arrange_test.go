package views

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"centrode/calc/figure"
	"centrode/calc/plane"
	"centrode/calc/rigid"
)

// cloud is points whose extents along x, y and z are about the given ones.
func cloud(r *rand.Rand, x, y, z float64) []rigid.Vec {
	var points []rigid.Vec
	for range 20 {
		points = append(points, rigid.Vec{X: 7 + x*r.Float64(), Y: -3 + y*r.Float64(), Z: 40 + z*r.Float64()})
	}
	return points
}

func arranged(points ...rigid.Vec) Sheet {
	var b Bounds
	for _, p := range points {
		b.Add(p)
	}
	return Arrange(b)
}

func inside(r figure.Rect, p plane.Vec, air float64) bool {
	return p.X >= r.Min.X-air && p.X <= r.Max.X+air && p.Y >= r.Min.Y-air && p.Y <= r.Max.Y+air
}

// derived: an orthographic drawing in first principles: the front is seen along −z, the right side along −x, the top
// along −y, and equal heights and widths stand in line.
func TestTheThreeViewsAreInLineAndToOneScale(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	for range 200 {
		points := cloud(r, 1+9*r.Float64(), 1+9*r.Float64(), 1+9*r.Float64())
		sheet := arranged(points...)
		if len(sheet.Views) != 3 {
			t.Fatalf("%d views of points that spread in three directions", len(sheet.Views))
		}
		front, side, top := sheet.Views[0], sheet.Views[1], sheet.Views[2]
		for _, c := range []struct {
			view View
			want rigid.Vec
		}{{front, rigid.Vec{Z: 1}}, {side, rigid.Vec{X: 1}}, {top, rigid.Vec{Y: 1}}} {
			if c.view.Toward() != c.want {
				t.Errorf("the %s view is seen from %v, want from %v", c.view.Name, c.view.Toward(), c.want)
			}
		}
		for i, p := range points {
			f, s, u := front.At(p), side.At(p), top.At(p)
			if f.Y != s.Y || f.X != u.X {
				t.Fatalf("%v stands at %v in front, %v from the side, %v from above", p, f, s, u)
			}
			for _, v := range sheet.Views {
				if at := v.At(p); !inside(v.Area, at, 1e-9) || !inside(sheet.Rect, at, 1e-9) {
					t.Fatalf("%v lies outside the %s view", p, v.Name)
				}
				q := points[(i+1)%len(points)]
				across := q.Sub(p).Sub(v.Toward().Scale(v.Toward().Dot(q.Sub(p)))).Len()
				if off := v.At(q).Sub(v.At(p)).Len() - across; !(math.Abs(off) < 1e-9) {
					t.Fatalf("the %s view is off scale by %v", v.Name, off)
				}
			}
		}
		for i, v := range sheet.Views {
			for _, w := range sheet.Views[:i] {
				if v.Area.Min.X < w.Area.Max.X && w.Area.Min.X < v.Area.Max.X && v.Area.Min.Y < w.Area.Max.Y && w.Area.Min.Y < v.Area.Max.Y {
					t.Fatalf("the %s view covers the %s view", v.Name, w.Name)
				}
			}
		}
	}
}

func TestAViewThatShowsNothingNewIsLeftOut(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	for _, c := range []struct {
		x, y, z float64
		want    []string
	}{
		{10, 8, 0, []string{"front"}}, {0, 8, 6, []string{"side"}}, {9, 0, 6, []string{"top"}},
		{10, 0.5, 0.5, []string{"front", "top"}}, {0.5, 10, 0.5, []string{"front", "side"}}, {0, 0, 0, []string{"front"}}, {5, 5, 5, []string{"front", "side", "top"}},
	} {
		var names []string
		mains := 0
		for _, v := range arranged(cloud(r, c.x, c.y, c.z)...).Views {
			names = append(names, v.Name)
			if v.Named("pivot") == "pivot" {
				mains++
			}
		}
		if len(names) != len(c.want) || mains != 1 {
			t.Fatalf("extents %v, %v, %v: views %v, want %v; names stand in %d of them", c.x, c.y, c.z, names, c.want, mains)
		}
		for i := range names {
			if names[i] != c.want[i] {
				t.Errorf("extents %v, %v, %v: views %v, want %v", c.x, c.y, c.z, names, c.want)
			}
		}
	}
}

// A pivot that moves out of the plane of a limb, or beside its line, is seen to move, where the names stand (*); noise is not asked for.
func TestAMoveThatIsToldOfIsSeen(t *testing.T) {
	for _, c := range []struct {
		far, move rigid.Vec
		want      string
	}{
		{rigid.Vec{X: 60}, rigid.Vec{Z: 0.5}, "top*"}, {rigid.Vec{X: 60}, rigid.Vec{Y: 0.5}, "front*"}, {rigid.Vec{Y: 60}, rigid.Vec{Z: -0.5}, "side*"},
		{rigid.Vec{X: 60, Y: 40}, rigid.Vec{Z: 0.5}, "front side top*"}, {rigid.Vec{Y: 60, Z: 40}, rigid.Vec{X: 0.5}, "front* side top"},
		{rigid.Vec{X: 60, Y: 40}, rigid.Vec{X: 0.5, Z: 0.1}, "front*"}, {rigid.Vec{X: 60, Y: 40}, rigid.Vec{Z: 1e-13}, "front*"}, {rigid.Vec{X: 60}, rigid.Vec{}, "front*"},
	} {
		var b Bounds
		b.Add(rigid.Vec{})
		b.Add(c.far)
		b.Add(c.move)
		b.Tell(c.move)
		var names []string
		for _, v := range Arrange(b).Views {
			names = append(names, v.Name+map[bool]string{true: "*"}[v.Main])
		}
		if got := strings.Join(names, " "); got != c.want {
			t.Errorf("a limb to %v, a move by %v: views %s; want %s", c.far, c.move, got, c.want)
		}
	}
}

// A handle's axis says how a field changes when its marker moves on the sheet; At says the same the other way round.
func TestDraggingInAViewMovesThePointThatWasGripped(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 3))
	points := cloud(r, 5, 6, 7)
	for _, v := range arranged(points...).Views {
		p := points[0]
		axes := v.Axes(p, func(letter string) string { return letter })
		if len(axes) != 2 || axes[0].Field == axes[1].Field {
			t.Fatalf("%s: axes %+v", v.Name, axes)
		}
		for _, a := range axes {
			const step = 0.25
			moved := p
			switch a.Field {
			case "x":
				moved.X += a.PerUnit * step
			case "y":
				moved.Y += a.PerUnit * step
			case "z":
				moved.Z += a.PerUnit * step
			}
			want := v.At(p).Add(a.Dir.Scale(step))
			if off := v.At(moved).Sub(want).Len(); !(off < 1e-12) {
				t.Errorf("%s: a drag along %s ends %v away", v.Name, a.Field, off)
			}
			if base := map[string]float64{"x": p.X, "y": p.Y, "z": p.Z}[a.Field]; a.Base != base || a.Origin != v.At(p) {
				t.Errorf("%s: %s starts at %v, want %v", v.Name, a.Field, a.Base, base)
			}
		}
	}
	if got := Cell("points", 3)("y"); got != "points:3:y" {
		t.Errorf("cell %q", got)
	}
}

func TestAnAxisSeenEndOnIsAPoint(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 4))
	for _, v := range arranged(cloud(r, 10, 10, 10)...).Views {
		middle := rigid.Vec{X: 12, Y: 2, Z: 45}
		for _, c := range []struct {
			along rigid.Vec
			shape figure.Shape
		}{{v.Toward(), figure.Toward}, {v.Toward().Scale(-1), figure.Into}} {
			marks := v.Axis("axis", figure.Candidate, middle, c.along, 5)
			if m, ok := marks[0].(figure.Marker); !ok || m.Shape != c.shape || m.At != v.At(middle) {
				t.Errorf("%s: an axis toward %v is drawn as %+v", v.Name, c.along, marks[0])
			}
		}
		marks := v.Axis("axis", figure.Candidate, middle, v.Across, 5)
		line, ok := marks[0].(figure.Polyline)
		if !ok || len(line.Points) != 2 || math.Abs(line.Points[1].Sub(line.Points[0]).Len()-5) > 1e-9 || !(line.Points[1].X > line.Points[0].X) {
			t.Errorf("%s: an axis across the view is drawn as %+v", v.Name, marks[0])
		}
	}
}

func TestADetailShowsWhatLiesInItsCircle(t *testing.T) {
	a, b := plane.Vec{X: 5, Y: 5}, plane.Vec{X: 5.02, Y: 5.01}
	d, ok := Enlarge(a, b, 100)
	if !ok || !(d.Times > 1) || !d.Shows(b) {
		t.Fatalf("two points 0.02 apart in a drawing of 100: %+v, %v", d, ok)
	}
	if _, ok := Enlarge(a, plane.Vec{X: 30, Y: 5}, 100); ok {
		t.Error("points that can be told apart are enlarged")
	}
	d.To = plane.Vec{X: 200, Y: 0}
	if got, want := d.At(b).Sub(d.At(a)).Len(), d.Times*b.Sub(a).Len(); math.Abs(got-want) > 1e-9 {
		t.Errorf("the detail shows %v for %v", got, want)
	}
	line, ok := d.Line(figure.Polyline{Points: []plane.Vec{{X: -100, Y: 5}, {X: 100, Y: 5}}})
	if !ok || len(line.Points) != 2 {
		t.Fatalf("a line through the middle is shown as %+v", line)
	}
	for _, p := range line.Points {
		if off := p.Sub(d.To).Len() - d.Radius; math.Abs(off) > 1e-9 {
			t.Errorf("a line through the middle ends %v off the circle", off)
		}
	}
	if _, ok := d.Line(figure.Polyline{Points: []plane.Vec{{X: -100, Y: 60}, {X: 100, Y: 60}}}); ok {
		t.Error("a line far away is shown")
	}
	box := figure.Rect{Max: plane.Vec{X: 120, Y: 120}}
	d.To = d.Place(Sheet{Rect: box}, []plane.Segment{{A: plane.Vec{X: 0, Y: 0}, B: plane.Vec{X: 60, Y: 60}}})
	if !inside(box, d.To, 0) || d.To.Sub(a).Len() < d.Radius {
		t.Errorf("the detail stands at %v, which hides what it enlarges or lies outside", d.To)
	}
}
