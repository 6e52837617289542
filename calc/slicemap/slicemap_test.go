package slicemap

import (
	"math"
	"strings"
	"testing"

	"centrode/calc/figure"
	"centrode/calc/plane"
	"centrode/calc/rigid"
	"centrode/tests/hard/bound"
)

// tube is a closed-around tube of radius 2 cm along x, open at both ends, of n sides and m rings.
func tube(n, m int) ([]float32, []uint32) {
	var at []float32
	var tri []uint32
	for i := range m {
		for j := range n {
			sin, cos := math.Sincos(2 * math.Pi * float64(j) / float64(n))
			at = append(at, float32(i), float32(2*cos), float32(2*sin))
		}
	}
	for i := range m - 1 {
		for j := range n {
			a, b := uint32(i*n+j), uint32(i*n+(j+1)%n)
			tri = append(tri, a, b, a+uint32(n), b, b+uint32(n), a+uint32(n))
		}
	}
	return at, tri
}

func across(at, along, up rigid.Vec) Slice {
	s := Slice{Corner: at, U: along, V: up, Cols: 3, Rows: 2, Values: []float64{1, 2, 3, 2, 3, 4}, Tolerance: 0.5, Name: "A map", Say: "Least at the left."}
	s.Positions, s.Triangles = tube(60, 9)
	return s
}

func TestATubeCutAcrossIsOneClosedCircle(t *testing.T) {
	lines := Cut(across(rigid.Vec{X: 3.3}, rigid.Vec{Y: 1}, rigid.Vec{Z: 1}))
	if len(lines) != 1 || lines[0][0] != lines[0][len(lines[0])-1] {
		t.Fatalf("%d lines, want one that ends where it begins", len(lines))
	}
	for _, p := range lines[0] {
		// derived: the sides of a regular polygon of 60 corners come as near as cos(3°) of the radius
		if r := math.Hypot(p.X, p.Y); !(r <= 2+1e-6 && r >= 2*math.Cos(math.Pi/60)-1e-6) {
			t.Errorf("a point lies %v cm from the axis, want 2 cm", r)
		}
	}
}

func TestATubeCutAlongIsTwoOpenLines(t *testing.T) {
	lines := Cut(across(rigid.Vec{Z: 0.01}, rigid.Vec{X: 1}, rigid.Vec{Y: 1}))
	if len(lines) != 2 {
		t.Fatalf("%d lines, want two", len(lines))
	}
	for _, line := range lines {
		if long := math.Abs(line[0].X - line[len(line)-1].X); math.Abs(long-8) > 1e-6 {
			t.Errorf("a line is %v cm long, want the 8 cm of the tube", long)
		}
	}
}

func TestAPlaneBesideTheBodyAndWrongTrianglesCutNothing(t *testing.T) {
	s := across(rigid.Vec{X: 20}, rigid.Vec{Y: 1}, rigid.Vec{Z: 1})
	if lines := Cut(s); lines != nil {
		t.Errorf("%d lines beside the body", len(lines))
	}
	s.Corner, s.Triangles = rigid.Vec{X: 3.3}, []uint32{0, 1, 1 << 31, 5}
	if lines := Cut(s); lines != nil {
		t.Errorf("%d lines of triangles that name no vertices", len(lines))
	}
}

func TestTheMapCarriesBothPivotsAndWhatIsGoodEnough(t *testing.T) {
	s := across(rigid.Vec{X: 3.3}, rigid.Vec{Y: 1}, rigid.Vec{Z: 1})
	s.Current, s.Found = rigid.Vec{X: 3.3, Y: 1.5, Z: 0.5}, rigid.Vec{X: 9, Y: 0.5, Z: 0}
	text := string(figure.Markup(figure.Layout(Figure(s), figure.Options{Width: 480, ID: "map"})))
	for _, want := range []string{"A map", "current", "candidate", "up to 0.50 cm more", "heat-15"} {
		if !strings.Contains(strings.ReplaceAll(text, "\u00a0", " "), want) {
			t.Errorf("the drawing lacks %q", want)
		}
	}
	s.Current = rigid.Vec{Y: 40}
	if text := string(figure.Markup(figure.Layout(Figure(s), figure.Options{Width: 480, ID: "map"}))); strings.Contains(text, ">current<") {
		t.Error("a pivot beyond the map is drawn on it")
	}
}

func TestLinesAreCutAtTheEdgeOfTheMap(t *testing.T) {
	area := figure.Rect{Min: plane.Vec{}, Max: plane.Vec{X: 1, Y: 1}}
	out := plane.Vec{X: 2, Y: 0.5}
	a, b := plane.Vec{X: 0.2, Y: 0.5}, plane.Vec{X: 0.4, Y: 0.5}
	if got := clipped([][]plane.Vec{{out, a, b, out, b, a}, {out, a, out}}, area); len(got) != 2 || len(got[0]) != 2 || len(got[1]) != 2 {
		t.Errorf("clipped = %v, want two pieces of two points", got)
	}
}

// TestManyTrianglesOnOneEdgeAreCutSoon: a broken surface may hang all its triangles on one edge, and each line through it is a part of
// the cut.
func TestManyTrianglesOnOneEdgeAreCutSoon(t *testing.T) {
	const n = 100_000
	s := Slice{U: rigid.Vec{X: 1}, V: rigid.Vec{Y: 1}, Positions: []float32{0, 0, -1, 0, 0, 1}}
	for k := range uint32(n) {
		s.Positions = append(s.Positions, 1, float32(k), 1)
		s.Triangles = append(s.Triangles, 0, 1, k+2)
	}
	end := bound.Watch(t, 24*n)
	lines := Cut(s)
	end()
	steps := 0
	for _, line := range lines {
		steps += len(line) - 1
	}
	if steps != n {
		t.Errorf("the cut has %d pieces, want one of each of %d triangles", steps, n)
	}
}
