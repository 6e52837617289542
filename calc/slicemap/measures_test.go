package slicemap

import (
	"math"
	"slices"
	"testing"

	"centrode/calc/figure"
	"centrode/calc/plane"
	"centrode/calc/rigid"
)

// level is the slice z = 0, seen from above.
func level(positions []float32, triangles ...uint32) Slice {
	return Slice{U: rigid.Vec{X: 1}, V: rigid.Vec{Y: 1}, Positions: positions, Triangles: triangles}
}

// A triangle that names the first vertex beyond the surface is as wrong as one that names a far one.
func TestAVertexJustBeyondTheSurfaceLeavesItsTriangleOut(t *testing.T) {
	for _, corners := range [][]uint32{{3, 0, 1}, {0, 3, 1}, {0, 1, 3}} {
		if lines := Cut(level([]float32{0, 0, -1, 1, 0, 1, 0, 1, 1}, corners...)); lines != nil {
			t.Errorf("triangle %v of three vertices is cut along %v", corners, lines)
		}
	}
}

// derived: from 1 cm below the plane to 3 cm above it the plane lies at a quarter of the way.
func TestALineLiesWhereThePlaneMeetsTheEdges(t *testing.T) {
	lines := Cut(level([]float32{0, 0, -1, 4, 0, 3, 4, 4, 3}, 0, 1, 2))
	if len(lines) != 1 || len(lines[0]) != 2 {
		t.Fatalf("lines = %v, want one of two points", lines)
	}
	for i, want := range []plane.Vec{{X: 1}, {X: 1, Y: 1}} {
		if off := lines[0][i].Sub(want).Len(); !(off <= 1e-12) {
			t.Errorf("point %d lies at %v, want %v", i, lines[0][i], want)
		}
	}
}

// derived: an edge in the plane counts as above it, so a triangle below it is cut there, and one above it is not.
func TestAnEdgeInThePlaneCountsAsAboveIt(t *testing.T) {
	if lines := Cut(level([]float32{0, 0, 0, 1, 0, 0, 0, 1, -1}, 0, 1, 2)); len(lines) != 1 {
		t.Errorf("a triangle that hangs from the plane is cut along %v, want one line", lines)
	}
	if lines := Cut(level([]float32{0, 0, 0, 1, 0, 0, 0, 1, 1}, 0, 1, 2)); lines != nil {
		t.Errorf("a triangle that stands on the plane is cut along %v", lines)
	}
}

// The triangles of an open surface come in any order; its line is one all the same.
func TestAnOpenLineIsOneWhereverItsTrianglesBegin(t *testing.T) {
	var at []float32
	for i := range 4 {
		at = append(at, float32(i), 0, -1, float32(i), 0, 1)
	}
	s := level(at, 2, 3, 4, 3, 5, 4, 0, 1, 2, 1, 3, 2, 4, 5, 6, 5, 7, 6)
	if lines := Cut(s); len(lines) != 1 || math.Abs(lines[0][0].X-lines[0][len(lines[0])-1].X) != 3 {
		t.Errorf("lines = %v, want one of 3 cm", lines)
	}
}

// derived: three cells by two of 1 cm reach half a cell beyond their middles; the least value is 1 and the tolerance 0.5.
func TestTheMapReachesHalfACellBeyondItsMiddles(t *testing.T) {
	f := Figure(across(rigid.Vec{X: 3.3}, rigid.Vec{Y: 1}, rigid.Vec{Z: 1}))
	if want := (figure.Rect{Min: plane.Vec{X: -0.5, Y: -0.5}, Max: plane.Vec{X: 2.5, Y: 1.5}}); f.View != want {
		t.Errorf("view = %v, want %v", f.View, want)
	}
	heat, ok := f.Marks[0].(figure.Heat)
	if !ok || heat.Area != f.View || len(heat.Edges) != 1 || heat.Edges[0].Level != 1.5 {
		t.Errorf("the map is %+v, want one edge at 1.5", f.Marks[0])
	}
}

func TestEachPieceOfALineKeepsItsOwnPoints(t *testing.T) {
	area := figure.Rect{Max: plane.Vec{X: 1, Y: 1}}
	out, a, b, c, d := plane.Vec{X: 2}, plane.Vec{X: 0.1}, plane.Vec{X: 0.2}, plane.Vec{X: 0.3}, plane.Vec{X: 0.4}
	got := clipped([][]plane.Vec{{a, b, out, c, d}}, area)
	if len(got) != 2 || !slices.Equal(got[0], []plane.Vec{a, b}) || !slices.Equal(got[1], []plane.Vec{c, d}) {
		t.Errorf("clipped = %v, want %v", got, [][]plane.Vec{{a, b}, {c, d}})
	}
}
