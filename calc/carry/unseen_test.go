package carry

import (
	"slices"
	"strconv"
	"strings"
	"testing"

	"centrode/calc/affine"
	"centrode/calc/body"
	"centrode/calc/gltf"
	"centrode/calc/jsontree"
	"centrode/calc/rigid"
)

// clothed is an elbow below a root that turns in a clip, with what hangs on it: a cloth that a skin holds, a sleeve of the same kind that has
// a button and a patch below it, and a hand.
func clothed(t *testing.T, change func(d *gltf.Document, node map[string]int)) *body.Body {
	t.Helper()
	d, node := gltf.New("test"), map[string]int{}
	corners := d.AddFloats("VEC3", []float32{0, 0, 0, 0.2, 0, 0, 0, 0.2, 0})
	part := gltf.Primitive{Mode: 4, Material: -1, Indices: -1, Attributes: []gltf.Attribute{{Name: "POSITION", Accessor: corners}}}
	ball := d.AddMesh(gltf.Mesh{Name: "ball", Primitives: []gltf.Primitive{part}})
	part.Attributes = append(slices.Clone(part.Attributes),
		gltf.Attribute{Name: "JOINTS_0", Accessor: d.AddUints("VEC4", 5121, []uint32{0, 0, 0, 0, 1, 0, 0, 0, 0, 1, 0, 0})},
		gltf.Attribute{Name: "WEIGHTS_0", Accessor: d.AddFloats("VEC4", []float32{1, 0, 0, 0, 1, 0, 0, 0, 0.5, 0.5, 0, 0})})
	skinned := d.AddMesh(gltf.Mesh{Name: "skinned", Primitives: []gltf.Primitive{part}})
	turned := rigid.Quat{X: 0.6, W: 0.8}
	add := func(name, parent string, mesh, skin int, place rigid.Vec) {
		up := -1
		if parent != "" {
			up = node[parent]
		}
		node[name] = d.AddNode(gltf.Node{Name: name, Parent: up, Mesh: mesh, Skin: skin, Translation: place, Rotation: turned, Scale: rigid.Vec{X: 2, Y: 1, Z: 1}})
	}
	add("root", "", -1, -1, rigid.Vec{})
	add("elbow", "root", -1, -1, rigid.Vec{X: 0.3})
	add("cloth", "elbow", skinned, 0, rigid.Vec{})
	add("sleeve", "elbow", skinned, 0, rigid.Vec{Y: 0.1})
	add("button", "sleeve", ball, -1, rigid.Vec{X: 0.1})
	add("patch", "sleeve", skinned, 0, rigid.Vec{})
	add("hand", "elbow", ball, -1, rigid.Vec{X: 0.3, Z: 0.1})
	if _, err := d.AddSkin("arm", []int{node["root"], node["elbow"]}, []affine.Map{affine.Identity(), affine.Identity()}); err != nil {
		t.Fatal(err)
	}
	clip := d.AddAnimation("fold")
	for _, name := range []string{"root", "elbow"} {
		if err := d.AddTrack(clip, node[name], "rotation", []float32{0, 1}, []float32{0, 0, 0, 1, 0, 0, 0.6, 0.8}, "LINEAR"); err != nil {
			t.Fatal(err)
		}
	}
	change(d, node)
	return load(t, "clothed", d.GLB())
}

// TestTheNodeOfASkinnedMeshIsLeftAsItIs: the standard has the skin alone say where its mesh is, and warns of a place that nobody sees. Where
// what hangs below such a node is seen, it stays where it is.
func TestTheNodeOfASkinnedMeshIsLeftAsItIs(t *testing.T) {
	const one, two = "1 node of a skinned mesh is left as it is: the skin alone says where that mesh is.", "2 nodes of skinned meshes are left as they are: the skin alone says where such a mesh is."
	keyed := func(name string) func(*gltf.Document, map[string]int) {
		return func(d *gltf.Document, node map[string]int) {
			if err := d.AddTrack(0, node[name], "translation", []float32{0, 1}, []float32{0, 0, 0, 0, 0.3, 0}, "LINEAR"); err != nil {
				t.Fatal(err)
			}
		}
	}
	for _, c := range []struct {
		name    string
		change  func(d *gltf.Document, node map[string]int)
		aim     bool
		places  string // the nodes that get new values
		told    string
		skinned bool // a track of a node of a skinned mesh changes
	}{
		{"as it is", func(*gltf.Document, map[string]int) {}, false, "elbow sleeve hand", one, false},
		{"a clip moves the cloth", keyed("cloth"), false, "elbow sleeve hand", one, false},
		{"a clip moves the sleeve", keyed("sleeve"), false, "elbow sleeve hand", one, true},
		{"another skinned mesh below the cloth", func(d *gltf.Document, node map[string]int) {
			d.AddNode(gltf.Node{Name: "lining", Parent: node["cloth"], Mesh: 1, Skin: 0, Translation: rigid.Vec{X: 1}})
		}, false, "elbow sleeve hand", one, false},
		{"an empty node below the cloth", func(d *gltf.Document, node map[string]int) {
			d.AddNode(gltf.Node{Name: "string", Parent: node["cloth"], Mesh: -1, Skin: -1, Translation: rigid.Vec{X: 1}})
		}, false, "elbow cloth sleeve hand", "", false},
		{"a second cloth", func(d *gltf.Document, node map[string]int) {
			d.AddNode(gltf.Node{Name: "scarf", Parent: node["elbow"], Mesh: 1, Skin: 0, Translation: rigid.Vec{X: 1}})
		}, false, "elbow sleeve hand", two, false},
		{"a camera on the cloth", func(d *gltf.Document, node map[string]int) {
			d.Root().Member("nodes").At(node["cloth"]).Set("camera", jsontree.NewInt(0))
			d.Root().Set("cameras", jsontree.NewArray(jsontree.NewObject()))
		}, false, "elbow cloth sleeve hand", "", false},
		{"the cloth is a joint", func(d *gltf.Document, node map[string]int) {
			if _, err := d.AddSkin("more", []int{node["cloth"]}, []affine.Map{affine.Identity()}); err != nil {
				t.Fatal(err)
			}
		}, false, "elbow cloth sleeve hand", "", false},
		{"data about the cloth", func(d *gltf.Document, node map[string]int) {
			d.Root().Set("extras", jsontree.NewObject().Set("follows", jsontree.NewString("cloth")))
		}, false, "elbow cloth sleeve hand", "", false},
		{"a note on the cloth", func(d *gltf.Document, node map[string]int) {
			d.Root().Member("nodes").At(node["cloth"]).Set("extras", jsontree.NewObject().Set("hem", jsontree.NewInts(1, 2, 3)))
		}, false, "elbow cloth sleeve hand", "", false},
		{"data about what hangs below the cloth", func(d *gltf.Document, node map[string]int) {
			d.AddNode(gltf.Node{Name: "lining", Parent: node["cloth"], Mesh: 1, Skin: 0, Translation: rigid.Vec{X: 1}})
			d.Root().Set("extensions", jsontree.NewObject().Set("EX_follow", jsontree.NewString("/nodes/"+strconv.Itoa(len(d.Nodes)-1)+"/translation")))
		}, false, "elbow cloth sleeve hand", "", false},
		{"data about something else", func(d *gltf.Document, node map[string]int) {
			d.Root().Set("extras", jsontree.NewObject().Set("follows", jsontree.NewString("button")))
		}, false, "elbow sleeve hand", one, false},
		{"lines in it", func(d *gltf.Document, node map[string]int) {
			mesh := d.Root().Member("meshes").At(1).List("primitives")
			mesh.Append(jsontree.NewObject().Set("mode", jsontree.NewInt(1)).Set("attributes", jsontree.NewObject().Set("POSITION", jsontree.NewInt(0))))
		}, false, "elbow cloth sleeve hand", "", false},
		{"aimed", func(d *gltf.Document, _ map[string]int) {
			for i := range d.Nodes {
				d.Root().Member("nodes").At(i).Remove("scale")
			}
		}, true, "root elbow sleeve hand", one, false},
	} {
		b := clothed(t, c.change)
		joint, err := b.Find("elbow")
		if err != nil {
			t.Fatal(err)
		}
		p, err := Make(b, joint, Options{To: b.At(joint).Add(rigid.Vec{X: 3, Y: -4, Z: 5}), Aim: c.aim})
		if err != nil {
			t.Fatalf("%s: %v", c.name, err)
		}
		var places []string
		for _, place := range p.Places {
			places = append(places, place.Name)
		}
		will := strings.Join(p.Will(), "\n")
		if got := strings.Join(places, " "); got != c.places || strings.Contains(will, "skinned mesh") != (c.told != "") || !strings.Contains(will, c.told) {
			t.Errorf("%s: %s get new values, told %q; want %s and %q", c.name, got, will, c.places, c.told)
		}
		touched := slices.ContainsFunc(p.Tracks, func(track Track) bool { return track.Name == "cloth" || track.Name == "sleeve" })
		glb, drift, err := p.GLB()
		if err != nil || drift > 1e-4 || touched != c.skinned {
			t.Errorf("%s: the rest surface moves by %g cm, tracks of skinned meshes change: %v, %v", c.name, drift, touched, err)
		}
		if worst := strays(b, load(t, "again", glb), joint); worst > 0.005 {
			t.Errorf("%s: something strays by %g cm", c.name, worst)
		}
	}
}
