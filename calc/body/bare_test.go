package body

import (
	"slices"
	"strings"
	"testing"

	"centrode/calc/gltf"
	"centrode/calc/jsontree"
	"centrode/calc/rigid"
)

// limbs is a skeleton of a hip with a knee and a foot, a hat beside it, and a lamp that stands for itself.
func limbs(t *testing.T) (m model, hip, knee, foot, hat, lamp int) {
	m = begin(t)
	hip = m.node("hip", m.node("root", -1, -1, -1), -1, -1)
	knee = m.node("knee", hip, -1, -1)
	foot = m.node("foot", knee, -1, -1)
	hat = m.node("hat", 0, -1, -1)
	return m, hip, knee, foot, hat, m.node("lamp", -1, -1, -1)
}

// turn adds a clip that moves a node by a path.
func (m model) turn(node int, path string) {
	m.t.Helper()
	values := map[string][]float32{"translation": {1, 2, 3}, "rotation": {0, 0, 0, 1}, "scale": {1, 1, 1}}[path]
	if err := m.AddTrack(m.AddAnimation("clip"), node, path, []float32{0.5}, values, "LINEAR"); err != nil {
		m.t.Fatal(err)
	}
}

func TestTheJointsOfAFileWithoutASurfaceAreThoseOfItsSkinsOrClipsOrScene(t *testing.T) {
	for _, c := range []struct {
		name, joints string
		add          func(m model, knee, foot, hat int)
	}{
		{"the scene", "root hip knee foot hat lamp", func(model, int, int, int) {}},
		{"a translation", "root hip knee foot", func(m model, knee, _, _ int) { m.turn(knee, "translation") }},
		{"a rotation", "root hip knee foot", func(m model, _, foot, _ int) { m.turn(foot, "rotation") }},
		{"a scale", "root hat", func(m model, _, _, hat int) { m.turn(hat, "scale") }},
		{"a skin before clips", "root hip knee foot", func(m model, knee, _, hat int) { m.turn(hat, "scale"); m.skin(knee) }},
	} {
		m, _, knee, foot, hat, _ := limbs(t)
		c.add(m, knee, foot, hat)
		b, err := m.body()
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		if got := names(b); got != c.joints || !b.Bare() || b.Surfaced() == nil {
			t.Errorf("%s: joints %s, bare %v; want %s", c.name, got, b.Bare(), c.joints)
		}
		if len(b.Parts)+len(b.Binds)+len(b.Rest)+len(b.Notes) > 0 || len(b.Targets) != len(b.Clips) {
			t.Errorf("%s: %d parts, %d binds, %d targets, notes %q; want clips alone", c.name, len(b.Parts), len(b.Binds), len(b.Targets), b.Notes)
		}
	}
}

// derived: each node stands a metre above its parent.
func TestJointsWithoutASurfaceHaveLengthsParentsAndNumbers(t *testing.T) {
	m, _, knee, _, _, _ := limbs(t)
	m.turn(knee, "rotation")
	b, err := m.body()
	if err != nil {
		t.Fatal(err)
	}
	at, err := b.Find("#2")
	if j := b.Joints[at]; err != nil || j.Name != "knee" || b.Joints[j.Parent].Name != "hip" || j.Length != 100 || j.World.T != (rigid.Vec{Y: 300}) || b.Joints[b.Child(at)].Name != "foot" {
		t.Errorf("#2: %+v, %v; want the knee below the hip, a metre long", j, err)
	}
	if tip := b.Joints[3]; tip.Length != 0 || tip.Vertices != 0 {
		t.Errorf("the foot, which ends the chain without skin, is %g cm long with %d vertices", tip.Length, tip.Vertices)
	}
	if _, err := b.Find("knie"); err == nil || !strings.Contains(err.Error(), `"knee"`) {
		t.Errorf("a wrong name: %v; want the nearest told", err)
	}
	if d := b.Clips[0]; len(d.Moves) != 1 || d.Moves[0].Joint != at {
		t.Errorf("the clip moves %+v; want the knee", d.Moves)
	}
}

func TestASkeletonNeedsNoSceneAndAFileWithNothingIsToldWhatItLacks(t *testing.T) {
	m, _, knee, _, _, _ := limbs(t)
	m.Root().Remove("scenes")
	m.Root().Remove("scene")
	if b, err := m.body(); err != nil || names(b) != "root hip knee foot hat lamp" {
		t.Errorf("no scene: %v", err)
	}
	m.Root().Set("scenes", jsontree.NewArray(jsontree.NewObject()))
	m.Root().Set("scene", jsontree.NewInt(0))
	want := "test.glb: holds neither a surface of triangles nor a skeleton: no skin, no clip that moves a node, no node in its first scene; save it with one of them"
	if _, err := m.body(); err == nil || err.Error() != want {
		t.Errorf("an empty scene: %v; want %s", err, want)
	}
	m.turn(knee, "rotation") // clips name nodes of any scene
	if b, err := m.body(); err != nil || names(b) != "root hip knee foot" {
		t.Errorf("an empty scene and a clip: %v", err)
	}
	if _, err := begin(t).body(); err == nil || err.Error() != want {
		t.Errorf("no node at all: %v; want %s", err, want)
	}
}

// A line, such as one that shows a control, is no surface: what carries it is a joint as the rest of the skeleton is.
func TestLinesAreNoSurface(t *testing.T) {
	m, _, knee, _, _, _ := limbs(t)
	line := m.bare()
	line.Mode = 3
	m.node("control", knee, m.mesh(line), -1)
	m.turn(knee, "rotation")
	b, err := m.body()
	if err != nil || !b.Bare() || !slices.Equal(strings.Fields(names(b)), []string{"root", "hip", "knee", "foot"}) {
		t.Fatalf("lines below a skeleton: %v", err)
	}
	full := begin(t)
	full.node("surface", -1, full.mesh(full.bare()), -1)
	character, err := full.body()
	if err != nil || character.Bare() || character.Surfaced() != nil {
		t.Fatalf("a surface: bare, %v", err)
	}
	doc, err := gltf.Read(m.GLB(), nil)
	if err != nil {
		t.Fatal(err)
	}
	if err := character.AddTarget("motion.glb", doc); err == nil || err.Error() != "motion.glb: shows no surface of triangles, so there is nothing to pose or to measure; take the file that holds the surface too. Where a joint of a skeleton without one belongs, centrode rig fit finds at the command line from clips that key its translation, and centrode rig move moves it" {
		t.Errorf("as a target: %v", err)
	}
}
