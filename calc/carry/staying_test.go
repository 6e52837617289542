package carry

import (
	"strings"
	"testing"

	"centrode/calc/gltf"
	"centrode/calc/rigid"
)

// TestWhoGetsNewValuesIsToldByWhereItHangs: where the parent turns, so do the places of those beside the joint; they are not below it,
// and what hangs there need not be a joint.
func TestWhoGetsNewValuesIsToldByWhereItHangs(t *testing.T) {
	d := gltf.New("test")
	ball := d.AddMesh(gltf.Mesh{Name: "ball", Primitives: []gltf.Primitive{{Mode: 4, Material: -1, Indices: -1,
		Attributes: []gltf.Attribute{{Name: "POSITION", Accessor: d.AddFloats("VEC3", []float32{0, 0, 0, 0.02, 0, 0, 0, 0.02, 0})}}}}})
	node := func(name string, parent, mesh int, x, y float64) int {
		return d.AddNode(gltf.Node{Name: name, Parent: parent, Mesh: mesh, Skin: -1, Translation: rigid.Vec{X: x, Y: y}})
	}
	hips := node("hips", -1, -1, 0, 0)
	thigh := node("thigh", hips, -1, 0.3, 0)
	node("ball", thigh, ball, 0.3, 0)
	node("spine", hips, ball, 0, 0.3)
	node("other thigh", hips, ball, 0, -0.3)
	b := load(t, "hips", d.GLB())
	joint, err := b.Find("thigh")
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		aim  bool
		told []string
	}{
		{false, []string{"1 node right below it gets new values, so that it stays where it is."}},
		{true, []string{"1 node right below it gets new values, so that it stays where it is.", "2 nodes beside it, below its parent, get new values, so that they stay where they are."}},
	} {
		p, err := Make(b, joint, Options{To: rigid.Vec{X: 30, Y: 4}, Aim: c.aim})
		if err != nil {
			t.Fatal(err)
		}
		var told []string
		for _, line := range p.Will() {
			if strings.Contains(line, "new values, so that ") {
				told = append(told, line)
			}
		}
		if strings.Join(told, "\n") != strings.Join(c.told, "\n") {
			t.Errorf("aim %v: told %q; want %q", c.aim, told, c.told)
		}
	}
}
