package inventory

import (
	"strings"
	"testing"

	"centrode/calc/affine"
	"centrode/calc/gltf"
)

// derived: bounds of 3 by 4 by 12 m have a diagonal of 13 m, hence 1300 cm.
func TestASurfaceIsMeasuredByItsDiagonalAndASkinByItsMatrices(t *testing.T) {
	d := gltf.New("test")
	joint := d.AddNode(gltf.Node{Name: "joint", Parent: -1, Mesh: -1, Skin: -1})
	if _, err := d.AddSkin("held", []int{joint}, []affine.Map{affine.Identity()}); err != nil {
		t.Fatal(err)
	}
	d.AddMesh(gltf.Mesh{Primitives: []gltf.Primitive{{Mode: 4, Material: -1, Indices: -1,
		Attributes: []gltf.Attribute{{Name: "POSITION", Accessor: d.AddFloats("VEC3", []float32{-1, -1, -6, 2, 0, 0, 0, 3, 6})}}}}})
	again, err := gltf.Read(d.GLB(), nil)
	if err != nil {
		t.Fatal(err)
	}
	l := Of("x.glb", again)
	if size := l.Meshes[0].Size; !(size > 1299.99 && size < 1300.01) {
		t.Errorf("the diagonal is %v cm, want 1300", size)
	}
	if s := l.Skins[0]; !s.InverseBinds || !l.Nodes[0].Joint {
		t.Errorf("the skin is %+v and its joint %+v; want its matrices found in the file", s, l.Nodes[0])
	}
}

func TestTheListForPeopleSaysAllOfIt(t *testing.T) {
	far := 12.345
	l := Inventory{File: "x.glb", Invented: true,
		Nodes:      []Node{{Index: 0, Name: "root", Parent: -1, Mesh: -1, Skin: -1}, {Index: 1, Name: "tip", Parent: 0, Joint: true, Position: [3]float64{1, 2, 3}, FromParent: &far, Mesh: 0, Skin: 0}},
		Meshes:     []Mesh{{Index: 0, Name: "a", Vertices: 9, Triangles: 3, Influences: 4, Size: 130, Targets: []Target{{"smile", 0.5}}}, {Index: 1, Name: "b"}},
		Skins:      []Skin{{Index: 0, Name: "held", Joints: []int{1}, InverseBinds: true}, {Index: 1, Name: "bare", Joints: []int{1, 0}}},
		Animations: []Animation{{Index: 0, Name: "wave", Seconds: 1.5, Tracks: []Track{{1, "rotation", 7, "LINEAR"}, {-1, "weights", 2, "STEP"}}}},
		Notes:      []Note{{"meshes[1]", "has no triangles"}}}
	want := `x.glb: 2 nodes, 2 meshes, 2 skins, 1 animation; lengths in cm, at rest, in the frame of the scene
The file says of itself that its measurements are invented.

nodes
  node  name  parent  from parent  x     y     z     is
  0     root  none    none         0.00  0.00  0.00
  1     tip   0       12.35        1.00  2.00  3.00  joint, carries mesh 0, bound by skin 0

meshes
  mesh  name  vertices  triangles  joints a vertex  diagonal
  0     a     9         3          4                130.00
  1     b     0         0          0                0.00

morph targets
  mesh  target  name   largest move
  0     0       smile  0.50

skins
  skin  name  joints  inverse bind matrices
  0     held  1       in the file
  1     bare  2       none, taken as identity

animations
  animation  name  seconds  node   path      keys  between keys
  0          wave  1.50     1 tip  rotation  7     linear
  0          wave  1.50     none   weights   2     step

odd, but usable
  meshes[1]: has no triangles
`
	if got := string(l.Text()); got != want {
		t.Errorf("told as\n%s\nwant\n%s", got, want)
	}
	if text := string(Inventory{File: "x.glb"}.Text()); strings.Count(text, "\n") != 1 {
		t.Errorf("of an empty file is told\n%s", text)
	}
}

// A note quotes the file, and a file has any name: neither makes a line that looks like one of the list.
func TestNothingForgesALine(t *testing.T) {
	l := Inventory{File: "x\n  0  hip.glb", Notes: []Note{{"animations[0]", "z\n\nnodes\n  0  hip is no path\u2028of \x1b[2J"}}}
	want := "x·  0  hip.glb: 0 nodes, 0 meshes, 0 skins, 0 animations; lengths in cm, at rest, in the frame of the scene\n\nodd, but usable\n  animations[0]: z··nodes·  0  hip is no path·of ·[2J\n"
	if got := string(l.Text()); got != want {
		t.Errorf("told as\n%s", got)
	}
}
