package inventory

import (
	"strings"
	"testing"

	"centrode/calc/gltf"
)

// model has a mesh of two parts, of which the first alone is skinned, with a target that moves one vertex far, and a clip of two tracks.
func model(t *testing.T, name string) *gltf.Document {
	t.Helper()
	d := gltf.New("test")
	at := gltf.Attribute{Name: "POSITION", Accessor: d.AddFloats("VEC3", []float32{0, 0, 0, 1, 0, 0, 0, 1, 0})}
	moved := []gltf.Attribute{{Name: "POSITION", Accessor: d.AddFloats("VEC3", []float32{0, 0, 0, 0, 3, 4, 0, 0, 1})}}
	bare := gltf.Primitive{Mode: 4, Material: -1, Indices: -1, Attributes: []gltf.Attribute{at}, Targets: [][]gltf.Attribute{moved}}
	held := bare
	held.Attributes = []gltf.Attribute{at, {Name: "JOINTS_0", Accessor: d.AddUints("VEC4", 5121, make([]uint32, 12))},
		{Name: "WEIGHTS_0", Accessor: d.AddFloats("VEC4", []float32{1, 0, 0, 0, 1, 0, 0, 0, 1, 0, 0, 0})}}
	mesh := d.AddMesh(gltf.Mesh{Primitives: []gltf.Primitive{held, bare}, TargetNames: []string{"up"}})
	node := d.AddNode(gltf.Node{Name: name, Parent: -1, Mesh: mesh, Skin: -1})
	clip := d.AddAnimation("wave")
	for _, c := range []struct {
		path   string
		end    float32
		values []float32
	}{{"rotation", 3, []float32{0, 0, 0, 1, 0, 0, 1, 0}}, {"translation", 1, []float32{0, 0, 0, 1, 0, 0}}} {
		if err := d.AddTrack(clip, node, c.path, []float32{0, c.end}, c.values, "LINEAR"); err != nil {
			t.Fatal(err)
		}
	}
	again, err := gltf.Read(d.GLB(), nil)
	if err != nil {
		t.Fatal(err)
	}
	return again
}

// derived: the farthest vertex goes 3 and 4 m along two axes, hence 500 cm.
func TestTheLargestOfEachIsListed(t *testing.T) {
	l := Of("x.glb", model(t, "node"))
	if m := l.Meshes[0]; m.Influences != 4 || m.Vertices != 6 || m.Triangles != 2 || m.Targets[0].Moves != 500 {
		t.Errorf("mesh: %+v; want 4 joints a vertex, 6 vertices, 2 triangles and a move of 500 cm", m)
	}
	if a := l.Animations[0]; a.Seconds != 3 || len(a.Tracks) != 2 {
		t.Errorf("animation: %+v; want 3 s and 2 tracks", a)
	}
}

func TestANameIsShownShortAndHarmless(t *testing.T) {
	text := string(Of("x.glb", model(t, "a\u009b2J"+strings.Repeat("b", 60))).Text())
	if !strings.Contains(text, "a·2J"+strings.Repeat("b", 35)+"…") {
		t.Errorf("shown as:\n%s", text)
	}
}
