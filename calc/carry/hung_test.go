package carry

import (
	"math"
	"slices"
	"strconv"
	"strings"
	"testing"

	"centrode/calc/affine"
	"centrode/calc/body"
	"centrode/calc/gltf"
	"centrode/calc/jsontree"
	"centrode/calc/rigid"
	"centrode/calc/sheet"
)

// crane is a mast, a boom and a hook that each carry a mesh themselves. The boom's is of lines too, has a shape that a clip moves, and turns.
func crane(t *testing.T, change func(nodes *jsontree.Value)) *body.Body {
	t.Helper()
	d := gltf.New("test")
	corners := d.AddFloats("VEC3", []float32{0, 0, 0, 0.2, 0, 0, 0, 0.2, 0})
	parts := func(target ...[]gltf.Attribute) (list []gltf.Primitive) {
		for _, mode := range []int{4, 1} {
			list = append(list, gltf.Primitive{Mode: mode, Material: -1, Indices: -1, Targets: target, Attributes: []gltf.Attribute{{Name: "POSITION", Accessor: corners}}})
		}
		return list
	}
	plain := d.AddMesh(gltf.Mesh{Name: "plain", Primitives: parts()})
	shaped := d.AddMesh(gltf.Mesh{Name: "shaped", Primitives: parts([]gltf.Attribute{{Name: "POSITION", Accessor: corners}}), TargetNames: []string{"bent"}})
	turned := rigid.Quat{Y: 0.6, W: 0.8}
	mast := d.AddNode(gltf.Node{Name: "mast", Parent: -1, Mesh: plain, Skin: -1, Rotation: turned})
	boom := d.AddNode(gltf.Node{Name: "boom", Parent: mast, Mesh: shaped, Skin: -1, Translation: rigid.Vec{X: 0.3}, Rotation: turned, Scale: rigid.Vec{X: 2, Y: 2, Z: -2}})
	d.AddNode(gltf.Node{Name: "hook", Parent: boom, Mesh: plain, Skin: -1, Translation: rigid.Vec{X: 0.5}})
	d.AddNode(gltf.Node{Name: "boom mesh", Parent: mast, Mesh: plain, Skin: -1})
	clip := d.AddAnimation("swing")
	for _, node := range []int{mast, boom} {
		if err := d.AddTrack(clip, node, "rotation", []float32{0, 1}, []float32{0, 0, 0, 1, 0, 0.6, 0, 0.8}, "LINEAR"); err != nil {
			t.Fatal(err)
		}
	}
	if err := d.AddTrack(clip, boom, "weights", []float32{0, 2}, []float32{0, 1}, "LINEAR"); err != nil {
		t.Fatal(err)
	}
	nodes := d.Root().Member("nodes")
	nodes.At(boom).Set("weights", jsontree.NewNumbers(0.25))
	change(nodes)
	return load(t, "crane", d.GLB())
}

// placed is where the first clip has each node that carries a mesh, and how its shape is; nodes of one mesh are told apart by what their names
// begin with.
func placed(doc *gltf.Document, seconds float64) map[string]affine.Map {
	locals, shape := doc.Locals(), map[int]string{}
	for i, n := range doc.Nodes {
		var tracks []gltf.Track
		for c, channel := range doc.Animations[0].Channels {
			if channel.Node != i {
				continue
			}
			if track := doc.Track(0, c); channel.Path != "weights" {
				tracks = append(tracks, track)
			} else {
				var w [1]float64
				track.At(seconds, w[:])
				shape[i] = strconv.FormatFloat(w[0], 'g', 9, 64)
			}
		}
		if keyed := n.Keyed(seconds, tracks...); len(tracks) > 0 {
			locals[i] = affine.FromTRS(keyed.Translation, keyed.Rotation, keyed.Scale)
		}
	}
	list := map[string]affine.Map{}
	for i, world := range doc.WorldsOf(locals) {
		if n := doc.Nodes[i]; n.Mesh >= 0 {
			list[n.Name+" with "+doc.Meshes[n.Mesh].Name+" "+shape[i]] = world
		}
	}
	return list
}

// TestAMeshOnTheJointItselfStays: where a joint carries a mesh itself, as those of machines do, the mesh gets a node of its own below the
// joint, with all that shapes it, and stands where it stood at each moment.
func TestAMeshOnTheJointItselfStays(t *testing.T) {
	nothing := func(*jsontree.Value) {}
	for _, c := range []struct {
		name, joint string
		change      func(nodes *jsontree.Value)
		aim         bool
		hung        string
		refused     string
	}{
		{"kept", "boom", nothing, false, "boom", ""},
		{"aimed, and so is its parent", "boom", nothing, true, "mast boom", ""},
		{"a root", "mast", nothing, false, "mast", ""},
		{"the last", "hook", nothing, false, "hook", ""},
		{"a matrix", "hook", func(nodes *jsontree.Value) {
			nodes.At(2).Remove("translation")
			nodes.At(2).Set("matrix", jsontree.NewInts(0, 1, 0, 0, -1, 0, 0, 0, 0, 0, 3, 0, 1, 0, 0, 1))
		}, false, "hook", ""},
		{"empty data", "boom", func(nodes *jsontree.Value) { nodes.At(1).Set("extensions", jsontree.NewObject()) }, false, "boom", ""},
		{"data of a program", "boom", func(nodes *jsontree.Value) {
			nodes.At(1).Set("extensions", jsontree.NewObject().Set("EX_copies", jsontree.NewObject()))
		}, false, "", "boom: carries a mesh of its own and data of a program that may be about it"},
		{"data of a program above", "boom", func(nodes *jsontree.Value) {
			nodes.At(0).Set("extensions", jsontree.NewObject().Set("EX_copies", jsontree.NewObject()))
		}, true, "", "mast: carries a mesh of its own and data of a program that may be about it"},
	} {
		b := crane(t, c.change)
		joint, err := b.Find(c.joint)
		if err != nil {
			t.Fatal(err)
		}
		p, err := Make(b, joint, Options{To: b.At(joint).Add(rigid.Vec{X: 3, Y: -4, Z: 5}), Aim: c.aim})
		if err != nil || c.refused != "" {
			if err == nil || c.refused == "" || !strings.Contains(err.Error(), c.refused) {
				t.Errorf("%s: %v; want %q", c.name, err, c.refused)
			}
			continue
		}
		var hung []string
		for _, h := range p.Hung {
			hung = append(hung, h.Name)
			if !slices.Contains(p.Will(), "The mesh that "+h.Name+" carries itself hangs on a new node right below it, so that it stays where it is.") || !strings.Contains(strings.Join(p.Lose(), "\n"), "the mesh of "+h.Name+" by its node") {
				t.Errorf("%s: told %q and %q", c.name, p.Will(), p.Lose())
			}
		}
		glb, drift, err := p.GLB()
		if err != nil || !(drift < 1e-4) || strings.Join(hung, " ") != c.hung {
			t.Fatalf("%s: meshes of %q hang on new nodes, want %q; the rest surface moves by %g cm, %v", c.name, hung, c.hung, drift, err)
		}
		after := load(t, "crane", glb)
		for k, h := range p.Hung {
			fresh := after.Doc.Nodes[len(b.Doc.Nodes)+k]
			if fresh.Name != h.New || h.New != h.Name+" mesh" && h.New != "boom mesh 2" || fresh.Parent != h.From || after.Doc.Nodes[h.From].Mesh >= 0 || !slices.Equal(fresh.Weights, b.Doc.Nodes[h.From].Weights) {
				t.Errorf("%s: the new node is %+v", c.name, fresh)
			}
		}
		for i := range 50 {
			at := float64(i) / 20
			is := placed(after.Doc, at)
			for name, was := range placed(b.Doc, at) {
				found := math.Inf(1)
				for other, place := range is {
					if mesh := strings.SplitN(name, " with ", 2); strings.HasPrefix(other, mesh[0]) && strings.HasSuffix(other, " with "+mesh[1]) {
						found = min(found, place.T.Sub(was.T).Len()+place.L.Apply(rigid.Vec{X: 1, Y: 1, Z: 1}).Sub(was.L.Apply(rigid.Vec{X: 1, Y: 1, Z: 1})).Len())
					}
				}
				if !(found < 3e-5) {
					t.Fatalf("%s: %s is off by %g m at %g s", c.name, name, found, at)
				}
			}
		}
	}
}

// TestLinesThatNoSkinHoldsStay: they are moved by their node, though a skin holds the rest of the mesh.
func TestLinesThatNoSkinHoldsStay(t *testing.T) {
	b := clothed(t, func(d *gltf.Document, node map[string]int) {
		d.Root().Member("meshes").At(1).List("primitives").Append(jsontree.NewObject().Set("mode", jsontree.NewInt(1)).
			Set("attributes", jsontree.NewObject().Set("POSITION", jsontree.NewInt(0))))
		elbow := d.Root().Member("nodes").At(node["elbow"])
		elbow.Set("mesh", jsontree.NewInt(1))
		elbow.Set("skin", jsontree.NewInt(0))
	})
	joint, err := b.Find("elbow")
	if err != nil {
		t.Fatal(err)
	}
	after := oneAfterAnother(t, b, "elbow").Doc
	fresh := len(b.Doc.Nodes)
	if len(after.Nodes) != fresh+1 || after.Nodes[fresh].Mesh != 1 || after.Nodes[fresh].Skin != 0 || after.Nodes[b.Joints[joint].Node].Skin >= 0 {
		t.Fatalf("nodes %+v", after.Nodes)
	}
	if off := after.Worlds()[fresh].T.Sub(b.Doc.Worlds()[b.Joints[joint].Node].T).Len(); !(off < 1e-9) {
		t.Errorf("the lines are off by %g m", off)
	}
}

// TestAPointerAtTheShapesOfAMeshFollowsIt: a clip may key how the shapes of a mesh are mixed by a pointer at the node, which is to be the new one.
// What points at the joint itself, or at a node whose number begins alike, stays.
func TestAPointerAtTheShapesOfAMeshFollowsIt(t *testing.T) {
	for at, want := range map[string]string{"/nodes/1/weights": "/nodes/4/weights", "/nodes/1/weights/0": "/nodes/4/weights/0", "/nodes/1/rotation": "/nodes/1/rotation", "/nodes/11/weights": "/nodes/11/weights", "/nodes/1/weightsOf": "/nodes/1/weightsOf"} {
		b := crane(t, func(*jsontree.Value) {})
		channel := func(b *body.Body) *jsontree.Value {
			return b.Doc.Root().Member("animations").At(0).Member("channels").At(2).Member("target")
		}
		target := channel(b)
		target.Remove("node")
		target.Set("path", jsontree.NewString("pointer")).Set("extensions", jsontree.NewObject().Set("KHR_animation_pointer", jsontree.NewObject().Set("pointer", jsontree.NewString(at))))
		b = load(t, "crane", b.Doc.GLB())
		joint, err := b.Find("boom")
		if err != nil {
			t.Fatal(err)
		}
		p, err := Make(b, joint, Options{To: b.At(joint).Add(rigid.Vec{X: 3})})
		if err != nil {
			t.Fatal(err)
		}
		glb, _, err := p.GLB()
		if err != nil {
			t.Fatal(err)
		}
		if is := channel(load(t, "crane", glb)).Member("extensions").Member("KHR_animation_pointer").Member("pointer").Text(); is != want {
			t.Errorf("what points at %s points at %s afterwards, want %s", at, is, want)
		}
	}
}

// TestASheetNamesTheNewNodes: whoever carries the move out by hand makes them too, or the meshes go along.
func TestASheetNamesTheNewNodes(t *testing.T) {
	b := crane(t, func(*jsontree.Value) {})
	joint, err := b.Find("boom")
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		aim  bool
		want string
	}{{false, "new-node-1 boom: boom mesh 2"}, {true, "new-node-1 mast: mast mesh, new-node-2 boom: boom mesh 2"}} {
		p, err := Make(b, joint, Options{To: b.At(joint).Add(rigid.Vec{X: 3, Y: -4, Z: 5}), Aim: c.aim})
		if err != nil {
			t.Fatal(err)
		}
		s, err := sheet.Read(Sheet("a.glb", []Moved{{Entry: p.Entry(nil)}}).AppendJSON(nil))
		if err != nil {
			t.Fatal(err)
		}
		var told []string
		for _, n := range s.Entries[0].Numbers {
			if of, ok := strings.CutPrefix(n.Label, "New node for the mesh of "); ok {
				told = append(told, n.ID+" "+of+": "+n.Candidate.Text)
			}
		}
		if is := strings.Join(told, ", "); is != c.want {
			t.Errorf("aimed %v: the sheet tells of %q, want %q", c.aim, is, c.want)
		}
	}
}
