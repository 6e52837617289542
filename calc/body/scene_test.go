package body

import (
	"strings"
	"testing"

	"centrode/calc/affine"
	"centrode/calc/gltf"
	"centrode/calc/jsontree"
	"centrode/calc/rigid"
)

// model is a file in the making: a triangle, and what stands around it.
type model struct {
	t *testing.T
	*gltf.Document
	corners gltf.Attribute
}

func begin(t *testing.T) model {
	d := gltf.New("test")
	return model{t, d, gltf.Attribute{Name: "POSITION", Accessor: d.AddFloats("VEC3", []float32{0, 0, 0, 1, 0, 0, 0, 1, 0})}}
}

// node adds a node a metre above its parent.
func (m model) node(name string, parent, mesh, skin int) int {
	return m.AddNode(gltf.Node{Name: name, Parent: parent, Mesh: mesh, Skin: skin, Translation: rigid.Vec{Y: 1}})
}

// bare is a triangle that no joint holds.
func (m model) bare() gltf.Primitive {
	return gltf.Primitive{Mode: 4, Material: -1, Indices: -1, Attributes: []gltf.Attribute{m.corners}}
}

// held is a triangle that the first joint of its skin holds.
func (m model) held() gltf.Primitive {
	p := m.bare()
	first, whole := make([]uint32, 12), []float32{1, 0, 0, 0, 1, 0, 0, 0, 1, 0, 0, 0}
	p.Attributes = append(p.Attributes, gltf.Attribute{Name: "JOINTS_0", Accessor: m.AddUints("VEC4", 5121, first)},
		gltf.Attribute{Name: "WEIGHTS_0", Accessor: m.AddFloats("VEC4", whole)})
	return p
}

// mesh adds a mesh of those parts.
func (m model) mesh(parts ...gltf.Primitive) int {
	return m.AddMesh(gltf.Mesh{Primitives: parts})
}

// skin adds a skin of joints, bound as if all stood at the origin.
func (m model) skin(joints ...int) int {
	m.t.Helper()
	binds := make([]affine.Map, len(joints))
	for i := range binds {
		binds[i] = affine.Identity()
	}
	at, err := m.AddSkin("", joints, binds)
	if err != nil {
		m.t.Fatal(err)
	}
	return at
}

// body reads the file as a person's would be read.
func (m model) body() (*Body, error) {
	m.t.Helper()
	again, err := gltf.Read(m.GLB(), nil)
	if err != nil {
		m.t.Fatal(err)
	}
	return New("test.glb", again)
}

func names(b *Body) string {
	var list []string
	for _, j := range b.Joints {
		list = append(list, j.Name)
	}
	return strings.Join(list, " ")
}

func TestAPartThatNoJointHoldsGoesWithTheNodeOfItsMesh(t *testing.T) {
	m := begin(t)
	bone := m.node("bone", -1, -1, -1)
	m.node("surface", -1, m.mesh(m.held(), m.bare()), m.skin(bone)) // beside the skeleton, not below it
	b, err := m.body()
	if err != nil {
		t.Fatal(err)
	}
	if got := names(b); got != "bone surface" {
		t.Errorf("joints: %s; want bone surface", got)
	}
	if owner := b.Joints[b.Owner(3)].Name; owner != "surface" || b.Vertex(3).Sub(rigid.Vec{Y: 100}).Len() > 1e-9 {
		t.Errorf("the bare part is held by %s and begins at %v; want surface and (0, 100, 0)", owner, b.Vertex(3))
	}
	if owner := b.Joints[b.Owner(0)].Name; owner != "bone" {
		t.Errorf("the skinned part is held by %s; want bone", owner)
	}
}

func TestOnlyTheSceneThatIsShownIsTheCharacter(t *testing.T) {
	m := begin(t)
	mesh := m.mesh(m.bare())
	shown := m.node("shown", -1, mesh, -1)
	m.node("child", shown, mesh, -1)
	kept := m.node("kept apart", -1, mesh, -1)
	one := func(node int) *jsontree.Value {
		return jsontree.NewObject().Set("nodes", jsontree.NewArray(jsontree.NewInt(node)))
	}
	m.Root().Set("scenes", jsontree.NewArray(one(kept), one(shown)))
	m.Root().Set("scene", jsontree.NewInt(1))
	b, err := m.body()
	if err != nil {
		t.Fatal(err)
	}
	if got := names(b); got != "shown child" || len(b.Parts) != 2 {
		t.Errorf("joints: %s, %d parts; want shown child, 2 parts", got, len(b.Parts))
	}
	if text := strings.Join(b.Notes, "\n"); !strings.Contains(text, "outside the scene that the file shows first are left out: 1.") {
		t.Errorf("what is left out is not told: %q", text)
	}
	m.Root().Set("scene", jsontree.NewInt(0))
	if b, err = m.body(); err != nil || names(b) != "kept apart" {
		t.Errorf("the other scene: %v", err)
	}
	m.Root().Set("scenes", jsontree.NewArray(jsontree.NewObject()))
	m.Root().Set("scene", jsontree.NewInt(0))
	if _, err = m.body(); err == nil || !strings.Contains(err.Error(), "shows no surface of triangles in its first scene, and nodes that carry a mesh stand outside of it (3); save it with those in that scene") {
		t.Errorf("an empty scene: %v", err)
	}
}

func TestMoreWaysOfHoldingThanCanBeNumberedAreRefused(t *testing.T) {
	m := begin(t)
	joints := make([]int, 33_000)
	for i := range joints {
		joints[i] = m.AddNode(gltf.Node{Parent: -1, Mesh: -1, Skin: -1})
	}
	mesh := m.mesh(m.held())
	first, second := m.skin(joints...), m.skin(joints...)
	m.node("one", -1, mesh, first)
	if _, err := m.body(); err != nil {
		t.Fatalf("33,000 binds: %v", err)
	}
	m.node("two", -1, mesh, second)
	if _, err := m.body(); err == nil || !strings.Contains(err.Error(), "65536") {
		t.Errorf("66,000 binds: %v", err)
	}
}

// One small part of sixteen weights makes room for sixteen in every vertex of the character.
func TestRoomForWeightsIsBoundInAllVerticesTogether(t *testing.T) {
	m := begin(t)
	wide := m.bare()
	none, whole := m.AddUints("VEC4", 5121, make([]uint32, 12)), m.AddFloats("VEC4", []float32{1, 0, 0, 0, 1, 0, 0, 0, 1, 0, 0, 0})
	for _, set := range []string{"0", "1", "2", "3"} {
		wide.Attributes = append(wide.Attributes, gltf.Attribute{Name: "JOINTS_" + set, Accessor: none}, gltf.Attribute{Name: "WEIGHTS_" + set, Accessor: whole})
	}
	m.node("wide", -1, m.mesh(wide), m.skin(m.node("joint", -1, -1, -1)))
	plain := m.bare()
	plain.Attributes = []gltf.Attribute{{Name: "POSITION", Accessor: m.AddFloats("VEC3", make([]float32, 3*30_000))}}
	stone := m.mesh(plain)
	for range 34 {
		m.node("stone", -1, stone, -1)
	}
	if _, err := m.body(); err != nil {
		t.Fatalf("1,020,003 vertices of 16 weights: %v", err)
	}
	m.node("stone", -1, stone, -1)
	if _, err := m.body(); err == nil || err.Error() != "test.glb: has more than 1048576 vertices with up to 16 weights each, which is more than fits here; leave out parts that do not bend" {
		t.Errorf("1,050,003 vertices of 16 weights: %v", err)
	}
}

func TestATargetIsFoundByNameOrByNumber(t *testing.T) {
	m := begin(t)
	p := m.bare()
	p.Targets = [][]gltf.Attribute{{m.corners}, {m.corners}, {m.corners}}
	m.node("node", -1, m.AddMesh(gltf.Mesh{Primitives: []gltf.Primitive{p}, Weights: make([]float64, 3), TargetNames: []string{"2", "#0", "0"}}), -1)
	b, err := m.body()
	if err != nil {
		t.Fatal(err)
	}
	for text, want := range map[string]string{"morph:2": "2", "morph:0": "0", "morph:#0": "2", "morph:#1": "#0", "morph:#2": "0"} {
		if target, err := b.Target(text); err != nil || target.Name != want {
			t.Errorf("%s: %v, %v; want %s", text, target, err, want)
		}
	}
	for _, text := range []string{"morph:1", "morph:#3", "morph:#-1"} {
		if target, err := b.Target(text); err == nil {
			t.Errorf("%s is %s", text, target.Name)
		}
	}
}

// Two morph targets of one name in one mesh are two shapes, not their sum; of several parts each is one with its like. derived: the triangles
// stand in the mesh's own space, and each target lifts them by a metre.
func TestTwoShapesOfOneNameAreNotAddedUp(t *testing.T) {
	m := begin(t)
	twice := lifted(m)
	twice.Targets = append(twice.Targets, twice.Targets[0])
	m.node("node", -1, m.AddMesh(gltf.Mesh{Primitives: []gltf.Primitive{twice, twice}, Weights: make([]float64, 2), TargetNames: []string{"up", "up"}}), -1)
	b := m.whole()
	for _, text := range []string{"morph:up", "morph:#0", "morph:up (2)", "morph:#1"} {
		target, err := b.Target(text)
		if err != nil {
			t.Fatal(err)
		}
		for v, at := range b.Posed(target) {
			if by := at.Sub(b.Vertex(v)).Len(); by != 100 {
				t.Errorf("%s moves vertex %d by %v cm, want 100", text, v, by)
			}
		}
	}
	if _, err := b.Target("morph:#2"); err == nil {
		t.Error("there are more than two targets")
	}
}
