package body

import (
	"testing"

	"centrode/calc/gltf"
	"centrode/calc/rigid"
)

// A joint that is scaled to all but nothing can be given no place that a file would hold: told are the node that makes it so, by how much, and
// what is allowed.
func TestAJointTooSmallForAPlaceNamesWhatScalesIt(t *testing.T) {
	for _, c := range []struct {
		name  string
		scale rigid.Vec
		want  string // "" where it can be given a place
	}{
		{"none", rigid.Vec{X: 1, Y: 1, Z: 1}, ""},
		{"small", rigid.Vec{X: 1e-7, Y: 1e-7, Z: 1e-7}, ""},
		{"tiny", rigid.Vec{X: 1e-20, Y: 1e-20, Z: 1e-20}, "is scaled to 5e-21 at rest, so no place can be given to it; root (#1) is scaled to 1e-20; allowed are scales that come to 1e-08 or more together"},
		{"flat", rigid.Vec{X: 1, Y: 0, Z: 1}, "is scaled to 0 at rest, so no place can be given to it; root (#1) is scaled to 0; allowed are scales that come to 1e-08 or more together"},
		{"too small for its volume", rigid.Vec{X: 1e-160, Y: 1e-160, Z: 1e-160}, "is scaled to 5e-161 at rest, so no place can be given to it; root (#1) is scaled to 1e-160; allowed are scales that come to 1e-08 or more together"},
	} {
		m := begin(t)
		m.node("apart", -1, -1, -1)
		root := m.AddNode(gltf.Node{Name: "root", Parent: -1, Mesh: -1, Skin: -1, Rotation: rigid.Quat{Y: 0.6, W: 0.8}, Scale: c.scale})
		half := m.AddNode(gltf.Node{Name: "half", Parent: root, Mesh: -1, Skin: -1, Scale: rigid.Vec{X: 0.5, Y: 0.5, Z: 0.5}})
		m.node("surface", half, m.mesh(m.bare()), -1)
		b := m.whole()
		joint, err := b.Find("half")
		if err != nil {
			t.Fatal(err)
		}
		got := ""
		if err := b.Placed(joint); err != nil {
			got = err.Error()
		}
		if want := c.want; got != want && got != "half: "+want {
			t.Errorf("%s: %q, want %q", c.name, got, want)
		}
	}
}
