package body

import (
	"math"
	"strings"
	"testing"

	"centrode/calc/affine"
	"centrode/calc/character"
	"centrode/calc/gltf"
	"centrode/calc/jsontree"
	"centrode/calc/rigid"
)

// strip is a file of one mesh, two skinned vertices wide, on a skin of two joints of one name, with a target that is half on
// at rest, and a second mesh that a node carries by itself.
func strip(t *testing.T) *Body {
	t.Helper()
	d := gltf.New("test")
	positions := []float32{0, 0, 0, 1, 0, 0, 0, 1, 0}
	joints, weights := d.AddUints("VEC4", 5121, []uint32{0, 1, 0, 0, 0, 1, 0, 0, 1, 0, 0, 0}), d.AddFloats("VEC4", []float32{2, 2, 0, 0, 1, 0, 0, 0, 1, 0, 0, 0})
	mesh := d.AddMesh(gltf.Mesh{Name: "skin", TargetNames: []string{"up"}, Primitives: []gltf.Primitive{{Mode: 4, Material: -1, Indices: -1,
		Attributes: []gltf.Attribute{{Name: "POSITION", Accessor: d.AddFloats("VEC3", positions)}, {Name: "JOINTS_0", Accessor: joints}, {Name: "WEIGHTS_0", Accessor: weights}},
		Targets:    [][]gltf.Attribute{{{Name: "POSITION", Accessor: d.AddFloats("VEC3", []float32{0, 0, 0.2, 0, 0, 0.2, 0, 0, 0.2})}}}}}})
	hat := d.AddMesh(gltf.Mesh{Name: "hat", Primitives: []gltf.Primitive{{Mode: 4, Material: -1, Indices: -1, Attributes: []gltf.Attribute{{Name: "POSITION", Accessor: d.AddFloats("VEC3", positions)}}}}})
	root := d.AddNode(gltf.Node{Name: "twin", Parent: -1, Mesh: -1, Skin: -1})
	twin := d.AddNode(gltf.Node{Name: "twin", Parent: root, Mesh: -1, Skin: -1, Translation: rigid.Vec{X: 1}})
	d.AddNode(gltf.Node{Name: "tip", Parent: twin, Mesh: -1, Skin: -1, Translation: rigid.Vec{X: 0.5}})
	d.AddNode(gltf.Node{Name: "hat", Parent: twin, Mesh: hat, Skin: -1, Translation: rigid.Vec{Y: 2}})
	d.AddNode(gltf.Node{Name: "lamp", Parent: -1, Mesh: -1, Skin: -1})
	worlds := d.Worlds()
	back, _ := worlds[twin].Inverse()
	skin, err := d.AddSkin("skin", []int{root, twin}, []affine.Map{worlds[root], back})
	if err != nil {
		t.Fatal(err)
	}
	d.AddNode(gltf.Node{Name: "surface", Parent: -1, Mesh: mesh, Skin: skin, Translation: rigid.Vec{X: 99}})
	d.Root().Member("meshes").At(mesh).Set("weights", jsontree.NewNumbers(0.5))
	again, err := gltf.Read(d.GLB(), nil)
	if err != nil {
		t.Fatal(err)
	}
	b, err := New("strip.glb", again)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

func TestTheWholeSurfaceStandsInOnePlaceInCentimetres(t *testing.T) {
	b := strip(t)
	want := []rigid.Vec{{X: 100, Y: 200}, {X: 200, Y: 200}, {X: 100, Y: 300}, {Z: 10}, {X: 100, Z: 10}, {Y: 100, Z: 10}}
	for v, at := range want { // the node of a skinned mesh is passed over; the half of the target that is on at rest is not
		if d := b.Vertex(v).Sub(at).Len(); d > 1e-5 {
			t.Errorf("vertex %d stands at %v; want %v", v, b.Vertex(v), at)
		}
	}
	if len(b.Notes) != 1 || !strings.Contains(b.Notes[0], "sum to 4 and not to 1") {
		t.Errorf("notes: %q", b.Notes)
	}
	if share := b.Share(3, 1); math.Abs(share-0.5) > 1e-7 {
		t.Errorf("the second joint holds %g of vertex 3; want a half", share)
	}
}

func TestJointsAreWhatSkinHangsOn(t *testing.T) {
	b := strip(t)
	var names []string
	for _, j := range b.Joints {
		names = append(names, j.Name)
	}
	if got := strings.Join(names, " "); got != "twin twin tip hat" {
		t.Errorf("joints: %s; want twin twin tip hat, without the lamp and the node of the skinned mesh", got)
	}
	if b.Joints[1].Parent != 0 || math.Abs(b.Joints[1].Length-50) > 1e-9 {
		t.Errorf("the second joint: %+v; want length 50 to the tip", b.Joints[1])
	}
}

func TestANameOfTwoJointsIsAskedByItsNumber(t *testing.T) {
	b := strip(t)
	if _, err := b.Find("twin"); err == nil || !strings.Contains(err.Error(), "#0 or #1") {
		t.Errorf("a name of two joints: %v", err)
	}
	if j, err := b.Find("#1"); err != nil || j != 1 {
		t.Errorf("#1 is joint %d, %v", j, err)
	}
	b.Joints[0].Name, b.Joints[1].Name = "#2", "#2" // what joints are called does not stand before a number
	if j, err := b.Find("#2"); err != nil || b.Joints[j].Node != 2 {
		t.Errorf("beside joints that are called #2, #2 is joint %d, %v", j, err)
	}
	b = strip(t)
	if _, err := b.Find("clavicle"); err == nil || !strings.Contains(err.Error(), "; it has ") || !strings.Contains(err.Error(), "hat") {
		t.Errorf("a name that is near none: %v", err)
	}
	if _, err := b.Find("hta"); err == nil || !strings.Contains(err.Error(), `"hat"`) {
		t.Errorf("a slip: %v", err)
	}
}

func TestATargetIsWhatIsMissingOfIt(t *testing.T) {
	b := strip(t)
	target, err := b.Target("morph:#0")
	if err != nil || target.Name != "up" {
		t.Fatalf("%v, %v", target, err)
	}
	if at := b.Posed(target)[4]; at.Sub(rigid.Vec{X: 100, Z: 20}).Len() > 1e-5 {
		t.Errorf("vertex 4 is posed at %v; want (100, 0, 20)", at)
	}
	for text, says := range map[string]string{"up": "morph:NAME", "morph:upp": `"up"`, "clip:up": "has no clip", "morhp:up": `"morph"`, "file:x": "has no file"} {
		if _, err := b.Target(text); err == nil || !strings.Contains(err.Error(), says) {
			t.Errorf("%s: %v; want %s", text, err, says)
		}
	}
}

func TestASecondFileMustHaveTheSameVertices(t *testing.T) {
	b := strip(t)
	c, _ := character.Find("odalys-hand")
	doc, err := gltf.Read(c.GLB(), nil)
	if err != nil {
		t.Fatal(err)
	}
	if err := b.AddTarget("hand.glb", doc); err == nil || !strings.Contains(err.Error(), "same vertices") {
		t.Errorf("another character: %v", err)
	}
	if err := b.AddTarget("again.glb", strip(t).Doc); err != nil {
		t.Error(err)
	}
	bent, err := b.Target("morph:#0")
	if err != nil {
		t.Fatal(err)
	}
	b.Targets = append(b.Targets, Target{Kind: "file", Name: "again.glb", posed: b.Posed(bent)})
	if second, err := b.Target("file:#1"); err != nil || b.Posed(second)[4].Sub(b.Vertex(4)).Len() < 1 {
		t.Errorf("of two files with one name the second is the first: %v, %v", second, err)
	}
	target, err := b.Target("file:again.glb")
	if err != nil || b.Posed(target)[1].Sub(b.Vertex(1)).Len() > 1e-9 {
		t.Errorf("%v, %v", target, err)
	}
}

func TestAFoldLiesAcrossTheSegment(t *testing.T) {
	for _, c := range character.All() {
		doc, err := gltf.Read(c.GLB(), nil)
		if err != nil {
			t.Fatal(err)
		}
		b, err := New(c.ID, doc)
		if err != nil {
			t.Fatal(err)
		}
		for i, j := range b.Joints {
			axis := b.Fold(i)
			if math.Abs(axis.Len()-1) > 1e-9 {
				t.Errorf("%s, %s: the fold has length %g", c.ID, j.Name, axis.Len())
			}
		}
	}
}
