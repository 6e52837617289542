package carry

import (
	"math"
	"strings"
	"testing"

	"centrode/calc/body"
	"centrode/calc/gltf"
	"centrode/calc/jsontree"
	"centrode/calc/propose"
	"centrode/calc/rigid"
)

// shelled is an arm whose joints each have their surface as a leaf of another name below them; the shape of the forearm's turns by a quarter
// about z around a place 3 and 4 cm off the elbow.
func shelled(t *testing.T, change func(nodes *jsontree.Value)) *body.Body {
	t.Helper()
	d := gltf.New("test")
	var at, moved []float32
	for i := range 24 {
		sin, cos := math.Sincos(float64(i))
		p := rigid.Vec{X: 0.02 * float64(i), Y: 0.05 * cos, Z: 0.05 * sin}
		q := rigid.Vec{X: 0.03 - (p.Y - 0.04), Y: 0.04 + p.X - 0.03, Z: p.Z}.Sub(p)
		at, moved = append(at, float32(p.X), float32(p.Y), float32(p.Z)), append(moved, float32(q.X), float32(q.Y), float32(q.Z))
	}
	shell := func(targets ...[]gltf.Attribute) int {
		return d.AddMesh(gltf.Mesh{TargetNames: []string{"bent"}[:len(targets)], Primitives: []gltf.Primitive{{Mode: 5, Material: -1, Indices: -1, Targets: targets,
			Attributes: []gltf.Attribute{{Name: "POSITION", Accessor: d.AddFloats("VEC3", at)}}}}})
	}
	still := shell()
	bent := shell([]gltf.Attribute{{Name: "POSITION", Accessor: d.AddFloats("VEC3", moved)}})
	node := func(name string, parent, mesh int, x float64) int {
		return d.AddNode(gltf.Node{Name: name, Parent: parent, Mesh: mesh, Skin: -1, Translation: rigid.Vec{X: x}})
	}
	shoulder := node("shoulder", -1, -1, 0)
	node("upper shell", shoulder, still, 0)
	elbow := node("elbow", shoulder, -1, 0.3)
	node("fore shell", elbow, bent, 0)
	node("hand", node("wrist", elbow, -1, 0.25), still, 0)
	change(d.Root().Member("nodes"))
	return load(t, "shelled", d.GLB())
}

// TestALeafStaysTheSurfaceOfAJointThatMoved: a mesh below a joint is its surface as long as it stands in it. Once the joint has moved, the file
// notes that it is; without that the leaf would be the segment to aim at, and the joint would hold nothing to find its pivot from.
func TestALeafStaysTheSurfaceOfAJointThatMoved(t *testing.T) {
	b := shelled(t, func(*jsontree.Value) {})
	elbow, err := b.Find("elbow")
	if err != nil {
		t.Fatal(err)
	}
	truth := b.At(elbow).Add(rigid.Vec{X: 3, Y: 4})
	p, err := Make(b, elbow, Options{To: b.At(elbow).Add(rigid.Vec{X: 1, Y: -2})})
	if err != nil {
		t.Fatal(err)
	}
	const told = "1 mesh is noted in the extras of its node as the surface of what it hangs on, since it stands there no longer."
	if will := strings.Join(p.Will(), "\n"); !strings.Contains(will, told) {
		t.Errorf("told: %s", will)
	}
	if is := string(p.JSON(0).Member("surfaces").AppendTo(nil)); is != "[3]" {
		t.Errorf("programs are told of the surfaces %s, want [3]", is)
	}
	for _, names := range [][]string{nil, {"elbow"}, {"elbow", "elbow"}, {"shoulder", "elbow"}} {
		again := oneAfterAnother(t, b, names...)
		joint, err := again.Find("elbow")
		if err != nil {
			t.Fatal(err)
		}
		if child := again.Child(joint); child < 0 || again.Joints[child].Name != "wrist" {
			t.Errorf("after %q the elbow's child is %d", names, child)
		}
		target, err := again.Target("morph:bent")
		if err != nil {
			t.Fatal(err)
		}
		found, err := propose.Find(again, joint, []*body.Target{target}, false)
		if err != nil {
			t.Errorf("after %q: %v", names, err)
			continue
		}
		off := found.Pivot.Sub(truth)
		if off = off.Sub(found.Axis.Scale(found.Axis.Dot(off))); !(off.Len() < 1e-4) || found.Held != 24 {
			t.Errorf("after %q the pivot is %g cm off, from %d vertices", names, off.Len(), found.Held)
		}
		if p, err = Make(again, joint, Options{To: truth}); err != nil {
			t.Fatal(err)
		}
		if all := strings.Join(append(p.Lose(), p.Notes...), "\n"); strings.Contains(all, "extras") || len(names) > 0 && strings.Contains(strings.Join(p.Will(), "\n"), told) {
			t.Errorf("after %q: %q and %q", names, p.Will(), all)
		}
	}
}

// What a node's extras say already stays; where they are no object there is no room for a note.
func TestTheNoteOfASurfaceLeavesOtherExtras(t *testing.T) {
	for was, want := range map[string]string{`{"tint":3}`: `{"tint":3,"centrode":{"surface":true}}`, `{"centrode":{"own":1}}`: `{"centrode":{"own":1,"surface":true}}`, `[1]`: `[1]`, `{"centrode":2}`: `{"centrode":2}`} {
		b := shelled(t, func(nodes *jsontree.Value) {
			extras, err := jsontree.Parse([]byte(was), jsontree.Limits{})
			if err != nil {
				t.Fatal(err)
			}
			nodes.At(3).Set("extras", extras)
		})
		after := oneAfterAnother(t, b, "elbow").Doc.Root().Member("nodes").At(3).Member("extras")
		if got := string(after.AppendTo(nil)); got != want {
			t.Errorf("%s became %s, want %s", was, got, want)
		}
	}
}
