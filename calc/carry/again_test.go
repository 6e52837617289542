package carry

import (
	"strings"
	"testing"

	"centrode/calc/affine"
	"centrode/calc/body"
	"centrode/calc/gltf"
	"centrode/calc/jsontree"
	"centrode/calc/propose"
	"centrode/calc/rigid"
)

// oneAfterAnother is a body of which joints were moved by the same way, one file after the other.
func oneAfterAnother(t *testing.T, b *body.Body, names ...string) *body.Body {
	t.Helper()
	for _, name := range names {
		joint, err := b.Find(name)
		if err != nil {
			t.Fatal(err)
		}
		p, err := Make(b, joint, Options{To: b.At(joint).Add(rigid.Vec{X: 3, Y: -4, Z: 5})})
		if err != nil {
			t.Fatal(err)
		}
		glb, _, err := p.GLB()
		if err != nil {
			t.Fatal(err)
		}
		b = load(t, "again", glb)
	}
	return b
}

// TestAMeshThatGotANodeIsNoChildToAimAt: it hangs below a joint at whose end nothing follows, once that was moved, and the joint is not to be turned at it.
func TestAMeshThatGotANodeIsNoChildToAimAt(t *testing.T) {
	b := oneAfterAnother(t, crane(t, func(*jsontree.Value) {}), "hook")
	hook, err := b.Find("hook")
	if err != nil {
		t.Fatal(err)
	}
	if child := b.Child(hook); child >= 0 {
		t.Errorf("the hook has the child %s", b.Joints[child].Name)
	}
	p, err := Make(b, hook, Options{To: b.At(hook).Add(rigid.Vec{Y: 7}), Aim: true})
	if err != nil {
		t.Fatal(err)
	}
	if told := strings.Join(p.Notes, "\n"); p.turned(hook) || !strings.Contains(told, "has no child to aim at") {
		t.Errorf("the hook turns: %v; told %q", p.turned(hook), told)
	}
	before := crane(t, func(*jsontree.Value) {})
	if was, _ := before.Find("hook"); !(b.Joints[hook].Length > 0) || before.Joints[was].Length == 0 { // as far as its mesh reaches
		t.Errorf("the hook is %g cm long, and was %g", b.Joints[hook].Length, before.Joints[was].Length)
	}
	// A tip that hangs on the joint as well is its child as before.
	tipped := crane(t, func(nodes *jsontree.Value) {
		nodes.At(2).Set("children", jsontree.NewInts(nodes.Append(jsontree.NewObject().Set("name", jsontree.NewString("tip")).Set("translation", jsontree.NewNumbers(0.1, 0, 0)))))
	})
	tipped = oneAfterAnother(t, tipped, "hook")
	if at, err := tipped.Find("hook"); err != nil || tipped.Child(at) < 0 || tipped.Joints[tipped.Child(at)].Name != "tip" {
		t.Errorf("the child is not the tip, %v", err)
	}
	// What a clip moves is a segment of its own, though it carries nothing but a mesh.
	keyed := load(t, "keyed", func() []byte {
		d := b.Doc
		if err := d.AddTrack(0, len(d.Nodes)-1, "rotation", []float32{0, 1}, []float32{0, 0, 0, 1, 0, 0.6, 0, 0.8}, "LINEAR"); err != nil {
			t.Fatal(err)
		}
		return d.GLB()
	}())
	if child := keyed.Child(hook); child < 0 || keyed.Joints[child].Name != "hook mesh" {
		t.Errorf("the child is %d where a clip turns it", child)
	}
}

// TestAMeshAtTheEndOfAJointIsAChildToAimAt, though no clip moves it and the joint carries none itself: it is the segment after the joint. derived: the
// turn that brings (0.25, 0) to (0.25, −0.05).
func TestAMeshAtTheEndOfAJointIsAChildToAimAt(t *testing.T) {
	d := gltf.New("test")
	mesh := d.AddMesh(gltf.Mesh{Primitives: []gltf.Primitive{{Mode: 4, Material: -1, Indices: -1, Attributes: []gltf.Attribute{
		{Name: "POSITION", Accessor: d.AddFloats("VEC3", []float32{0, 0, 0, 0.2, 0, 0, 0, 0.2, 0})}}}}})
	elbow := d.AddNode(gltf.Node{Name: "elbow", Parent: -1, Mesh: -1, Skin: -1})
	d.AddNode(gltf.Node{Name: "sleeve", Parent: elbow, Mesh: mesh, Skin: -1})
	skin, err := d.AddSkin("skin", []int{elbow}, []affine.Map{affine.Identity()})
	if err != nil {
		t.Fatal(err)
	}
	d.AddNode(gltf.Node{Name: "cuff", Parent: elbow, Mesh: mesh, Skin: skin, Translation: rigid.Vec{Y: 0.1}})
	d.AddNode(gltf.Node{Name: "hand", Parent: elbow, Mesh: mesh, Skin: -1, Translation: rigid.Vec{X: 0.25}})
	b := load(t, "arm", d.GLB())
	at, err := b.Find("elbow")
	if err != nil {
		t.Fatal(err)
	}
	if child := b.Child(at); child < 0 || b.Joints[child].Name != "hand" || b.Share(0, at) != 1 {
		t.Errorf("the elbow's child is %d, and it holds %g of its sleeve", child, b.Share(0, at))
	}
	p, err := Make(b, at, Options{To: rigid.Vec{Y: 5}, Aim: true})
	if err != nil || !p.turned(at) || len(p.Notes) != 0 {
		t.Errorf("%v, it turns: %v; told %q", err, p.turned(at), p.Notes)
	}
}

// TestAMovedRootWithAMeshHasNoSegmentToBeFarFrom: its mesh hangs as far off as the move went, and no later move is judged, or keyed, by that.
func TestAMovedRootWithAMeshHasNoSegmentToBeFarFrom(t *testing.T) {
	d := gltf.New("test")
	mesh := d.AddMesh(gltf.Mesh{Primitives: []gltf.Primitive{{Mode: 4, Material: -1, Indices: -1, Attributes: []gltf.Attribute{
		{Name: "POSITION", Accessor: d.AddFloats("VEC3", []float32{0, 0, 0, 0.2, 0, 0, 0, 0.2, 0})}}}}})
	d.AddNode(gltf.Node{Name: "lid", Parent: -1, Mesh: mesh, Skin: -1})
	b := load(t, "box", d.GLB())
	for _, step := range []float64{0.01, 7} {
		lid, err := b.Find("lid")
		if err != nil {
			t.Fatal(err)
		}
		p, err := Make(b, lid, Options{To: b.At(lid).Add(rigid.Vec{Y: step})})
		if err != nil {
			t.Fatal(err)
		}
		if far := p.far(); far != "" || p.fine != fine {
			t.Errorf("%g cm on: keys as fine as %g m; told %q", step, p.fine, far)
		}
		glb, _, err := p.GLB()
		if err != nil {
			t.Fatal(err)
		}
		b = load(t, "box", glb)
	}
}

// TestPosesOfTheOldFileFitTheNewOne, and the other way round: the mesh that got a node of its own is found there, though it is among the last parts of
// the file, and though others are alike.
func TestPosesOfTheOldFileFitTheNewOne(t *testing.T) {
	plain := func() *body.Body { return crane(t, func(*jsontree.Value) {}) }
	for _, c := range [][2]*body.Body{{plain(), oneAfterAnother(t, plain(), "mast")}, {oneAfterAnother(t, plain(), "mast"), plain()}, {oneAfterAnother(t, plain(), "mast", "hook"), oneAfterAnother(t, plain(), "hook", "boom")}} {
		b, other := c[0], c[1]
		if err := b.AddTarget("other", other.Doc); err != nil {
			t.Error(err)
			continue
		}
		for v, at := range b.Posed(&b.Targets[len(b.Targets)-1]) {
			if off := at.Sub(b.Vertex(v)).Len(); !(off < 1e-3) {
				t.Errorf("vertex %d is %g cm from its place, with nothing posed", v, off)
				break
			}
		}
	}
}

// TestAMovedJointThatCarriedAMeshIsStillFitted: its mesh is its segment's, wherever that hangs. derived: the pose turns the hook about where it stood.
func TestAMovedJointThatCarriedAMeshIsStillFitted(t *testing.T) {
	before := crane(t, func(*jsontree.Value) {})
	hook, _ := before.Find("hook")
	pose, err := gltf.Read(before.Doc.GLB(), nil)
	if err != nil {
		t.Fatal(err)
	}
	pose.SetRotation(before.Joints[hook].Node, rigid.Quat{Z: 0.6, W: 0.8})
	b := oneAfterAnother(t, before, "hook")
	if err := b.AddTarget("pose", pose); err != nil {
		t.Fatal(err)
	}
	for _, name := range []string{"hook", "hook mesh"} {
		joint, err := b.Find(name)
		if err != nil {
			t.Fatal(err)
		}
		p, err := propose.Find(b, joint, []*body.Target{&b.Targets[len(b.Targets)-1]}, false)
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		if off := p.Pivot.Sub(before.At(hook)); !(off.Sub(p.Axis.Scale(off.Dot(p.Axis))).Len() < 1e-3) || p.Landmarks != 3 || p.Held != 3 {
			t.Errorf("%s: found %v from %d of %d vertices; want %v", name, p.Pivot, p.Landmarks, p.Held, before.At(hook))
		}
	}
}
