package gltf_test

import (
	"math"
	"testing"

	"centrode/calc/affine"
	"centrode/calc/gltf"
	"centrode/calc/rigid"
)

// strip is a bent bar of two joints: five rings of four vertices, a morph target, a skin, an animation.
func strip(t testing.TB) *gltf.Document {
	t.Helper()
	d := gltf.New("centrode tests")
	var points, normals, weights, moved []float32
	var joints, corners []uint32
	for ring := range 5 {
		for k := range 4 {
			c, s := math.Cos(float64(k)*math.Pi/2), math.Sin(float64(k)*math.Pi/2)
			points = append(points, float32(ring), float32(c), float32(s))
			normals = append(normals, 0, float32(math.Round(c)), float32(math.Round(s)))
			share := float32(ring) / 4
			weights = append(weights, 1-share, share, 0, 0)
			second := uint32(1)
			if share == 0 {
				second = 0
			}
			joints = append(joints, 0, second, 0, 0)
			moved = append(moved, 0, share, 0)
			if ring > 0 {
				a, b := uint32(4*ring-4+k), uint32(4*ring-4+(k+1)%4)
				corners = append(corners, a, b, a+4, b, b+4, a+4)
			}
		}
	}
	for i := range weights[:16] { // all of the first ring hangs on the first joint
		if i%4 == 0 {
			joints[i+1] = 0
		}
	}
	mesh := d.AddMesh(gltf.Mesh{Name: "bar", TargetNames: []string{"target-lift"}, Primitives: []gltf.Primitive{{
		Mode: 4, Material: -1, Indices: d.AddUints("SCALAR", 5123, corners),
		Attributes: []gltf.Attribute{{"POSITION", d.AddFloats("VEC3", points)}, {"NORMAL", d.AddFloats("VEC3", normals)},
			{"JOINTS_0", d.AddUints("VEC4", 5121, joints)}, {"WEIGHTS_0", d.AddFloats("VEC4", weights)}},
		Targets: [][]gltf.Attribute{{{"POSITION", d.AddFloats("VEC3", moved)}}},
	}}})
	root := d.AddNode(gltf.Node{Name: "root", Parent: -1, Mesh: -1, Skin: -1})
	tip := d.AddNode(gltf.Node{Name: "tip", Parent: root, Mesh: -1, Skin: -1, Translation: rigid.Vec{X: 2}})
	back, _ := d.Worlds()[tip].Inverse()
	skin, err := d.AddSkin("bones", []int{root, tip}, []affine.Map{affine.Identity(), back})
	if err != nil {
		t.Fatal(err)
	}
	d.AddNode(gltf.Node{Name: "surface", Parent: -1, Mesh: mesh, Skin: skin})
	clip := d.AddAnimation("bend")
	half := float32(math.Sqrt(0.5))
	for _, track := range []struct {
		path   string
		values []float32
	}{{"rotation", []float32{0, 0, 0, 1, 0, 0, half, half}}, {"translation", []float32{2, 0, 0, 2, 1, 0}}} {
		if err := d.AddTrack(clip, tip, track.path, []float32{0, 1}, track.values, "LINEAR"); err != nil {
			t.Fatal(err)
		}
	}
	return d
}

func TestWhatIsMadeIsReadAgain(t *testing.T) {
	made := strip(t)
	for _, form := range []struct {
		name string
		data []byte
	}{{"glb", made.GLB()}, {"gltf", made.Text()}} {
		d, err := gltf.Read(form.data, nil)
		if err != nil {
			t.Fatalf("%s: %v", form.name, err)
		}
		if len(d.Notes) > 0 {
			t.Errorf("%s: notes %v", form.name, d.Notes)
		}
		s := d.Surface(0, 0)
		if len(s.Positions) != 60 || len(s.Triangles) != 96 || s.Influences != 4 || len(s.Weights) != 80 {
			t.Errorf("%s: surface of %d positions, %d corners, %d influences, %d weights", form.name, len(s.Positions), len(s.Triangles), s.Influences, len(s.Weights))
		}
		if again := d.GLB(); form.name == "glb" && string(again) != string(form.data) {
			t.Errorf("the file written again differs")
		}
		locals := posed(d, 0, 0.5)
		worlds := d.WorldsOf(locals)
		// derived: half of a quarter turn, and half of the way from (2, 0, 0) to (2, 1, 0)
		want := affine.FromTRS(rigid.Vec{X: 2, Y: 0.5}, rigid.Quat{Z: math.Sin(math.Pi / 8), W: math.Cos(math.Pi / 8)}, rigid.Vec{X: 1, Y: 1, Z: 1})
		for i, x := range worlds[1].Columns() {
			if !(math.Abs(x-want.Columns()[i]) < 1e-7) {
				t.Errorf("%s: the tip at half of the clip is %v, want %v", form.name, worlds[1], want)
				break
			}
		}
	}
}

// posed are the places of all nodes in their parents' frames at a time of an animation, in seconds.
func posed(d *gltf.Document, animation int, seconds float64) []affine.Map {
	locals, tracks := d.Locals(), map[int][]gltf.Track{}
	for i := range d.Animations[animation].Channels {
		if t := d.Track(animation, i); t.Width > 0 {
			tracks[t.Node] = append(tracks[t.Node], t)
		}
	}
	for node, list := range tracks {
		n := d.Nodes[node].Keyed(seconds, list...)
		locals[node] = affine.FromTRS(n.Translation, n.Rotation, n.Scale)
	}
	return locals
}
