package propose

import (
	"math"
	"slices"
	"strings"
	"testing"

	"centrode/calc/affine"
	"centrode/calc/body"
	"centrode/calc/character"
	"centrode/calc/gltf"
	"centrode/calc/rigid"
)

// A joint without skin of its own is found from the keys of a clip, and the map of it is theirs. derived: about the pivot that was found, keys owe what
// is left; about the current one, what is keyed.
func TestKeysAloneTellOfAJointWithoutSkin(t *testing.T) {
	b, joint := demo(t, "odalys-arm")
	clip := func(b *body.Body) []*body.Target {
		for i := range b.Targets {
			if b.Targets[i].Kind == "clip" {
				return []*body.Target{&b.Targets[i]}
			}
		}
		t.Fatal("no clip")
		return nil
	}
	want, err := Find(b, joint, clip(b), false)
	if err != nil || want.Landmarks == 0 {
		t.Fatalf("%d landmarks, %v", want.Landmarks, err)
	}
	clear(b.Held.Joints) // all skin is the root's
	for i := range b.Held.Weights {
		b.Held.Weights[i] = 0
		if i%b.Held.Each == 0 {
			b.Held.Weights[i] = 1
		}
	}
	p, err := Find(b, joint, clip(b), false)
	if err != nil || p.Landmarks != 0 || !p.FromKeys || p.Pivot != want.Pivot {
		t.Fatalf("found %v from %d landmarks, %v; want %v", p.Pivot, p.Landmarks, err, want.Pivot)
	}
	if left, now := p.At(p.Pivot), p.At(b.At(joint)); math.Abs(left-p.Left) > 1e-9 || math.Abs(now-p.Now) > 1e-9 || !(now > left) {
		t.Errorf("the map has %g and %g, the proposal %g and %g", left, now, p.Left, p.Now)
	}
	if s := p.Across(p.Pivot, p.Axis, p.Half(), 9); math.Abs(s.Values[40]-p.Left) > 1e-9 {
		t.Errorf("the middle of the slice has %g, the proposal %g", s.Values[40], p.Left)
	}
	if _, err := Find(b, joint, clip(b), true); err == nil {
		t.Error("a hinge was fitted to a joint without skin")
	}
}

// At the end of a chain a joint has neither skin nor length, and where its pivot is right there is no way from it either: a map has room all the same.
func TestAMapOfAJointWithoutLengthHasRoom(t *testing.T) {
	c, _ := character.Find("odalys-arm")
	doc, err := gltf.Read(c.GLB(), nil)
	if err != nil {
		t.Fatal(err)
	}
	last := slices.IndexFunc(doc.Nodes, func(n gltf.Node) bool { return n.Name == "fingertips" })
	at, clip := doc.Nodes[last].Translation, doc.AddAnimation("nod")
	x, y, z := float32(at.X), float32(at.Y), float32(at.Z)
	doc.SetLocal(last, affine.FromTRS(rigid.Vec{X: float64(x), Y: float64(y), Z: float64(z)}, rigid.Quat{W: 1}, rigid.Vec{X: 1, Y: 1, Z: 1}))
	err = doc.AddTrack(clip, last, "rotation", []float32{0, 1}, []float32{0, 0, 0, 1, 0, 0.6, 0, 0.8}, "LINEAR")
	if err == nil {
		err = doc.AddTrack(clip, last, "translation", []float32{0, 1}, []float32{x, y, z, x, y, z}, "LINEAR")
	}
	if err != nil {
		t.Fatal(err)
	}
	b, err := body.New(c.ID, doc)
	if err != nil {
		t.Fatal(err)
	}
	joint, err := b.Find("fingertips")
	if err != nil {
		t.Fatal(err)
	}
	target, err := b.Target("clip:nod")
	if err != nil {
		t.Fatal(err)
	}
	p, err := Find(b, joint, []*body.Target{target}, false)
	if err != nil || b.Joints[joint].Length != 0 || p.Offset.Len() > 1e-5 {
		t.Fatalf("%g cm long, moved by %v, %v", b.Joints[joint].Length, p.Offset, err)
	}
	if half := p.Half(); half < 1 || half > b.Size() {
		t.Errorf("the map reaches %g cm from the pivot, the body measures %g", half, b.Size())
	}
}

// In a frame without depth no keys tell a place: about each, nothing would be owed.
func TestKeysBelowAScaleOfNothingAreRefused(t *testing.T) {
	c, _ := character.Find("odalys-arm")
	doc, err := gltf.Read(c.GLB(), nil)
	if err != nil {
		t.Fatal(err)
	}
	plain, joint := demo(t, c.ID)
	above := plain.Joints[plain.Joints[joint].Parent].Node
	doc.SetLocal(above, affine.FromTRS(doc.Nodes[above].Translation, doc.Nodes[above].Rotation, rigid.Vec{Y: 1, Z: 1}))
	b, err := body.New(c.ID, doc)
	if err != nil {
		t.Fatal(err)
	}
	at := slices.IndexFunc(b.Targets, func(target body.Target) bool { return target.Kind == "clip" })
	if p, err := Find(b, joint, []*body.Target{&b.Targets[at]}, false); err == nil || !strings.HasPrefix(err.Error(), "elbow: is scaled to 0 at rest, so no place can be given to it; shoulder (#") {
		t.Errorf("found %v, %v", p.Pivot, err)
	}
}
