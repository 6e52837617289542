package body

import (
	"math"
	"strings"
	"testing"

	"centrode/calc/affine"
	"centrode/calc/gltf"
	"centrode/calc/jsontree"
	"centrode/calc/rigid"
)

// whole reads the file, or ends the test.
func (m model) whole() *Body {
	m.t.Helper()
	b, err := m.body()
	if err != nil {
		m.t.Fatal(err)
	}
	return b
}

// turn is a rotation about z by an angle in radians, as a track holds it.
func turn(angle float64) []float32 {
	sin, cos := math.Sincos(angle / 2)
	return []float32{0, 0, float32(sin), float32(cos)}
}

func TestASkinnedMeshBelowABoneIsNoJoint(t *testing.T) {
	m := begin(t)
	bone := m.node("bone", -1, -1, -1)
	surface := m.node("surface", bone, m.mesh(m.held()), m.skin(bone))
	m.node("tip", bone, -1, -1)
	b := m.whole()
	if got := names(b); got != "bone tip" || b.JointOf(surface) != -1 {
		t.Errorf("joints: %s; want bone tip", got)
	}
}

func TestANumberNamesANodeOfTheFile(t *testing.T) {
	m := begin(t)
	m.node("apart", -1, -1, -1) // no joint: the numbers of nodes run ahead of those of joints
	bone := m.node("bone", -1, -1, -1)
	m.node("surface", -1, m.mesh(m.held()), m.skin(bone))
	b := m.whole()
	if joint, err := b.Find("#1"); err != nil || b.Joints[joint].Name != "bone" {
		t.Errorf("#1: %v, %v; want bone", joint, err)
	}
	if joint, err := b.Find("#0"); err == nil {
		t.Errorf("#0 is %s, and no joint stands there", b.Joints[joint].Name)
	}
}

func TestAClipLastsAsLongAsItsLongestTrack(t *testing.T) {
	m := begin(t)
	bone := m.node("bone", -1, m.mesh(m.bare()), -1)
	clip := m.AddAnimation("wave")
	if err := m.AddTrack(clip, bone, "rotation", []float32{0, 3}, append(turn(0), turn(1)...), "LINEAR"); err != nil {
		t.Fatal(err)
	}
	if err := m.AddTrack(clip, bone, "translation", []float32{0, 1}, []float32{0, 0, 0, 1, 0, 0}, "LINEAR"); err != nil {
		t.Fatal(err)
	}
	if got := m.whole().Clips[0].Seconds; got != 3 {
		t.Errorf("the clip lasts %v s, want 3", got)
	}
}

// chain is a straight limb of three bones along y with a clip that turns the middle one about z.
func chain(t *testing.T, angle float64) (m model, middle int) {
	m = begin(t)
	root := m.node("root", -1, -1, -1)
	middle = m.node("middle", root, -1, -1)
	m.node("tip", middle, -1, -1)
	m.node("surface", -1, m.mesh(m.held()), m.skin(root, middle))
	if angle != 0 {
		if err := m.AddTrack(m.AddAnimation("fold"), middle, "rotation", []float32{0, 1}, append(turn(0), turn(angle)...), "LINEAR"); err != nil {
			t.Fatal(err)
		}
	}
	return m, middle
}

// A straight limb folds about the axis that a clip turns it about, if by no more than a fifth of a radian.
func TestAStraightLimbFoldsAsItsClipTurnsIt(t *testing.T) {
	m, middle := chain(t, 0.2)
	m.SetRotation(middle, rigid.Quat{W: math.Cos(0.4), Y: math.Sin(0.4)}) // its own axes lie askew
	clip := m.Animations[0]
	half := rigid.Quat{W: math.Cos(0.4), Y: math.Sin(0.4)}
	turned := rigid.Quat{W: math.Cos(0.1), Z: math.Sin(0.1)}.Rot().Mul(half.Rot()).Quat()
	values := []float32{float32(half.X), float32(half.Y), float32(half.Z), float32(half.W), float32(turned.X), float32(turned.Y), float32(turned.Z), float32(turned.W)}
	if err := m.SetTrack(0, 0, []float32{0, 1}, values, clip.Samplers[0].Interpolation); err != nil {
		t.Fatal(err)
	}
	b := m.whole()
	joint, _ := b.Find("middle")
	if got := b.Fold(joint); !(math.Abs(math.Abs(got.Z)-1) <= 1e-3) {
		t.Errorf("folds about %v, want z", got)
	}
}

// derived: a bend of 10° at rest fixes the fold; the sine of it is 0.17.
func TestALimbFoldsInThePlaneOfItsBend(t *testing.T) {
	m := begin(t)
	root := m.node("root", -1, -1, -1)
	middle := m.AddNode(gltf.Node{Name: "middle", Parent: root, Mesh: -1, Skin: -1, Translation: rigid.Vec{Y: 1}, Rotation: rigid.Quat{W: math.Cos(0.3), Y: math.Sin(0.3)}})
	sin, cos := math.Sincos(math.Pi / 18)
	m.AddNode(gltf.Node{Name: "tip", Parent: middle, Mesh: -1, Skin: -1, Translation: rigid.Vec{X: sin, Y: cos}})
	m.node("surface", -1, m.mesh(m.held()), m.skin(root, middle))
	b := m.whole()
	joint, _ := b.Find("middle")
	along := b.At(2).Sub(b.At(1))
	want := b.At(1).Sub(b.At(0)).Cross(along).Unit()
	if got := b.Fold(joint); !(got.Sub(want).Len() <= 1e-9) {
		t.Errorf("folds about %v, want %v", got, want)
	}
}

// The end of a limb has no segment of its own, so it folds across the one that leads to it, wherever the limb stands.
func TestTheEndOfALimbFoldsAcrossWhatLeadsToIt(t *testing.T) {
	m := begin(t)
	root := m.AddNode(gltf.Node{Name: "root", Parent: -1, Mesh: -1, Skin: -1, Translation: rigid.Vec{X: 5}})
	m.AddNode(gltf.Node{Name: "end", Parent: root, Mesh: -1, Skin: -1, Translation: rigid.Vec{Z: 1}})
	m.node("surface", -1, m.mesh(m.held()), m.skin(root, root+1))
	b := m.whole()
	joint, _ := b.Find("end")
	if got := b.Fold(joint); math.Abs(got.Z) > 1e-9 {
		t.Errorf("folds about %v, which is along the segment", got)
	}
}

func TestAChildThatAllButStandsOnItsParentIsNoSegment(t *testing.T) {
	m := begin(t)
	root := m.node("root", -1, -1, -1)
	m.AddNode(gltf.Node{Name: "twist", Parent: root, Mesh: -1, Skin: -1, Translation: rigid.Vec{Y: 1e-9}})
	m.node("next", root, -1, -1)
	m.node("surface", -1, m.mesh(m.held()), m.skin(root))
	b := m.whole()
	joint, _ := b.Find("root")
	if child := b.Child(joint); b.Joints[child].Name != "next" || !(math.Abs(b.Joints[joint].Length-100) <= 1e-9) {
		t.Errorf("the segment leads to %s and is %v cm long; want next and 100", b.Joints[child].Name, b.Joints[joint].Length)
	}
}

func TestLinesBesideTheSurfaceAreNoPart(t *testing.T) {
	m := begin(t)
	lines := m.bare()
	lines.Mode = 1
	m.node("node", -1, m.mesh(lines, m.bare()), -1)
	if b := m.whole(); len(b.Parts) != 1 || b.Parts[0].Primitive != 1 {
		t.Errorf("parts: %+v; want the second primitive alone", b.Parts)
	}
}

// The normals of the file are used where all parts have them, whichever lacks them.
func TestNormalsOfSomePartsAreNone(t *testing.T) {
	for _, first := range []bool{true, false} {
		m := begin(t)
		smooth := m.bare()
		smooth.Attributes = append(smooth.Attributes, gltf.Attribute{Name: "NORMAL", Accessor: m.AddFloats("VEC3", []float32{0, 0, 1, 0, 0, 1, 0, 0, 1})})
		parts := []gltf.Primitive{m.bare(), smooth}
		if first {
			parts[0], parts[1] = parts[1], parts[0]
		}
		m.node("node", -1, m.mesh(parts...), -1)
		if b := m.whole(); b.Normals != nil {
			t.Errorf("with normals first %v: %d numbers of normals for %d of places", first, len(b.Normals), len(b.Positions))
		}
	}
}

// lifted is a triangle with a morph target that lifts it by a metre.
func lifted(m model) gltf.Primitive {
	p := m.bare()
	p.Targets = [][]gltf.Attribute{{{Name: "POSITION", Accessor: m.AddFloats("VEC3", []float32{0, 0, 1, 0, 0, 1, 0, 0, 1})}}}
	return p
}

// derived: a quarter of a metre is there at rest, and the whole of it in the shape.
func TestAShapeThatIsPartlyOnIsReachedWhole(t *testing.T) {
	m := begin(t)
	mesh := m.AddMesh(gltf.Mesh{Primitives: []gltf.Primitive{lifted(m)}, TargetNames: []string{"up"}})
	m.Root().Member("meshes").At(mesh).Set("weights", jsontree.NewNumbers(0.25))
	m.node("node", -1, mesh, -1)
	b := m.whole()
	target, err := b.Target("morph:up")
	if err != nil {
		t.Fatal(err)
	}
	if rest, posed := b.Vertex(0).Z, b.Posed(target)[0].Z; rest != 25 || posed != 100 {
		t.Errorf("at rest it lies %v cm up, in the shape %v; want 25 and 100", rest, posed)
	}
	m.Root().Member("nodes").At(0).Set("weights", jsontree.NewNumbers(0.5))
	if rest := m.whole().Vertex(0).Z; rest != 50 {
		t.Errorf("with a weight of the node of 0.5 it lies %v cm up at rest, want 50", rest)
	}
}

// A name finds one clip, be it that of another with a number: derived, a clip's place is that of its name.
func TestClipsOfOneNameAreToldApart(t *testing.T) {
	m := begin(t)
	bone := m.node("bone", -1, m.mesh(m.bare()), -1)
	for _, name := range []string{"wave", "wave", "wave (2)", "", "wave", "clip 3", "wave (2)"} {
		if err := m.AddTrack(m.AddAnimation(name), bone, "rotation", []float32{0, 1}, append(turn(0), turn(1)...), "LINEAR"); err != nil {
			t.Fatal(err)
		}
	}
	b := m.whole()
	for place, name := range []string{"wave", "wave (3)", "wave (2)", "clip 3", "wave (4)", "clip 3 (2)", "wave (2) (2)"} {
		if target, err := b.Target("clip:" + name); err != nil || target.Clip != place {
			t.Errorf("clip:%s is %+v, %v; want clip %d", name, target, err, place)
		}
	}
}

func TestATargetFileHasTheSameTriangles(t *testing.T) {
	made := func(corners ...uint32) model {
		m := begin(t)
		p := m.bare()
		p.Indices = m.AddUints("SCALAR", 5123, corners)
		m.node("node", -1, m.mesh(p), -1)
		return m
	}
	b := made(0, 1, 2).whole()
	other, err := gltf.Read(made(0, 2, 1).GLB(), nil)
	if err != nil {
		t.Fatal(err)
	}
	if err := b.AddTarget("other.glb", other); err == nil || !strings.Contains(err.Error(), "joins its vertices to other triangles") {
		t.Errorf("a surface that is turned inside out: %v", err)
	}
}

// What a clip keys of a joint besides its place, such as the weights of its shapes, leaves it at rest.
func TestAClipOfShapesLeavesTheJointAtRest(t *testing.T) {
	m := begin(t)
	mesh := m.AddMesh(gltf.Mesh{Primitives: []gltf.Primitive{lifted(m)}, TargetNames: []string{"up"}})
	node := m.node("node", -1, mesh, -1)
	if err := m.AddTrack(m.AddAnimation("rise"), node, "weights", []float32{0, 1}, []float32{0, 1}, "LINEAR"); err != nil {
		t.Fatal(err)
	}
	b := m.whole()
	locals := []affine.Map{{}}
	b.Play(&b.Clips[0], 1, locals)
	if len(b.Clips[0].Moves) > 0 && locals[0] != b.Locals()[0] {
		t.Errorf("played, it stands at %v; want %v", locals[0].T, b.Locals()[0].T)
	}
}

// Of axes that lie across the segment but for rounding, the first of z, y and x is taken, whatever rounding says.
func TestRoundingDoesNotChooseTheFold(t *testing.T) {
	m := begin(t)
	root := m.AddNode(gltf.Node{Name: "root", Parent: -1, Mesh: -1, Skin: -1})
	middle := m.AddNode(gltf.Node{Name: "middle", Parent: root, Mesh: -1, Skin: -1, Translation: rigid.Vec{X: 1}, Rotation: rigid.Quat{W: 1, Y: 5e-7}})
	m.AddNode(gltf.Node{Name: "tip", Parent: middle, Mesh: -1, Skin: -1, Translation: rigid.Vec{X: 1, Z: 1e-6}})
	m.node("surface", -1, m.mesh(m.held()), m.skin(root, middle))
	b := m.whole()
	joint, _ := b.Find("middle")
	if got := b.Fold(joint); !(got.Z > 0.999) {
		t.Errorf("folds about %v, want z", got)
	}
}
