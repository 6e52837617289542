package body

import (
	"testing"

	"centrode/calc/gltf"
	"centrode/calc/rigid"
)

// Of a node that mirrors, the triangle is turned round; a second file whose places were mirrored, and its triangles turned round, is a
// target all the same.
func TestAMirroredTriangleIsTurnedRound(t *testing.T) {
	m := begin(t)
	m.AddNode(gltf.Node{Name: "mirrored", Parent: -1, Mesh: m.mesh(m.bare()), Skin: -1, Scale: rigid.Vec{X: -1, Y: 1, Z: 1}})
	b, err := m.body()
	if err != nil {
		t.Fatal(err)
	}
	at := func(i int) rigid.Vec { return b.Vertex(int(b.Triangles[i])) }
	if up := at(1).Sub(at(0)).Cross(at(2).Sub(at(0))); !(up.Z > 0) { // as that of the triangle in the file
		t.Errorf("the triangle %v faces %v, want z", b.Triangles, up)
	}
	applied := begin(t)
	applied.corners.Accessor = applied.AddFloats("VEC3", []float32{0, 0, 0, -1, 0, 0, 0, 1, 0})
	round := applied.bare()
	round.Indices = applied.AddUints("SCALAR", 5125, []uint32{0, 2, 1})
	applied.AddNode(gltf.Node{Name: "mirrored", Parent: -1, Mesh: applied.mesh(round), Skin: -1})
	doc, err := gltf.Read(applied.GLB(), nil)
	if err != nil {
		t.Fatal(err)
	}
	if err := b.AddTarget("applied.glb", doc); err != nil {
		t.Error(err)
	}
}
