package carry

import (
	"strings"
	"testing"

	"centrode/calc/gltf"
	"centrode/calc/jsontree"
	"centrode/calc/rigid"
)

// TestAParentThatCarriesAMeshIsNotTurned: where the joint aims, its parent turns, and a mesh that hangs on the parent itself
// would turn with it, which is no rest surface that stays.
func TestAParentThatCarriesAMeshIsNotTurned(t *testing.T) {
	b := chain(t)
	root := b.Joints[0].Node
	b.Doc.Nodes[root].Mesh = 0
	for _, c := range []struct {
		to      rigid.Vec
		aim     bool
		refused string
	}{
		{rigid.Vec{X: 30, Y: 4}, true, "root: carries a mesh of its own, which would turn with it"},
		{rigid.Vec{X: 30, Y: 4}, false, ""},
		{rigid.Vec{X: 35}, true, ""}, // along the segment, so nothing turns
	} {
		_, err := Make(b, 1, Options{To: c.to, Aim: c.aim})
		if (err != nil) != (c.refused != "") || err != nil && !strings.Contains(err.Error(), c.refused) {
			t.Errorf("to %v, aim %v: %v; want %q", c.to, c.aim, err, c.refused)
		}
	}
}

// TestWhatHangsOnAParentThatTurnsIsTold: a camera there looks elsewhere afterwards.
func TestWhatHangsOnAParentThatTurnsIsTold(t *testing.T) {
	for _, aim := range []bool{false, true} {
		b := chain(t)
		b.Doc.Root().Member("nodes").At(b.Joints[0].Node).Set("camera", jsontree.NewInt(0))
		p, err := Make(b, 1, Options{To: rigid.Vec{X: 30, Y: 4}, Aim: aim})
		if err != nil {
			t.Fatal(err)
		}
		if told := strings.Contains(strings.Join(p.Lose(), "\n"), "on root; it turns with the joint and is not adjusted."); told != aim {
			t.Errorf("aim %v: told %v: %q", aim, told, p.Lose())
		}
	}
}

// TestLinesOnTheJointItselfAreNotTakenAlong: no skin holds them, so they would move with it, and no vertex of the surface would tell.
func TestLinesOnTheJointItselfAreNotTakenAlong(t *testing.T) {
	for mode := range 5 { // points, three kinds of lines, triangles
		b := chain(t)
		b.Doc.Meshes = append(b.Doc.Meshes, gltf.Mesh{Primitives: []gltf.Primitive{{Mode: 4, Attributes: []gltf.Attribute{{Name: "JOINTS_0"}}}, {Mode: mode}}})
		node := &b.Doc.Nodes[b.Joints[1].Node]
		node.Mesh, node.Skin = len(b.Doc.Meshes)-1, 0
		if _, err := Make(b, 1, Options{To: rigid.Vec{X: 30, Y: 4}}); err == nil || !strings.Contains(err.Error(), "elbow: carries a mesh of its own") {
			t.Errorf("with an unbound part of mode %d: %v", mode, err)
		}
	}
}
