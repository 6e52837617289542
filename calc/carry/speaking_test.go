package carry

import (
	"strconv"
	"strings"
	"testing"
	"time"

	"centrode/calc/gltf"
	"centrode/calc/jsontree"
	"centrode/calc/rigid"
	"centrode/tests/hard/bound"
)

// TestDataThatMayBeAboutTheJointIsTold: a constraint or a shape to collide with names the joint by its number, and is kept in the
// file's own part or on another node, where nothing hangs on the joint itself.
func TestDataThatMayBeAboutTheJointIsTold(t *testing.T) {
	const elbow, other = 1, 4
	data := func(at int) *jsontree.Value {
		return jsontree.NewObject().Set("shape", jsontree.NewObject().Set("node", jsontree.NewInt(at)))
	}
	path := jsontree.NewObject().Set("follows", jsontree.NewString("/nodes/1/translation"))
	one := func(name string, v *jsontree.Value) *jsontree.Value { return jsontree.NewObject().Set(name, v) }
	for _, c := range []struct {
		name string
		on   int // the node that has it, −1 for the file itself
		data *jsontree.Value
		told string
	}{
		{"of the file", -1, one("EX_shapes", data(elbow)), "(EX_shapes) and may be about elbow"},
		{"on another node", other, one("EX_follow", path), "(EX_follow) and may be about elbow"},
		{"of two kinds", -1, one("EX_shapes", data(elbow)).Set("EX_more", data(elbow)), "(2 kinds, such as EX_shapes) and may be about elbow"},
		{"about another node", -1, one("EX_shapes", data(other)), ""},
		{"at the end of a path", -1, one("EX_follow", jsontree.NewString("#/nodes/1")), "(EX_follow) and may be about elbow"},
		{"about a material", other, one("EX_follow", jsontree.NewString("/materials/1/alphaCutoff")), ""},
		{"about a longer number", other, one("EX_follow", jsontree.NewString("/nodes/12/scale")), ""},
		{"of copies of a mesh", other, one("EXT_mesh_gpu_instancing", jsontree.NewObject().Set("attributes", jsontree.NewObject().Set("SCALE", jsontree.NewInt(elbow)))), ""},
		{"of sizes", -1, one("KHR_implicit_shapes", data(elbow)), ""},
		{"of lights", -1, one("KHR_lights_punctual", data(elbow)), ""},
		{"by its name", -1, one("EX_follow", one("target", jsontree.NewString("elbow"))), "(EX_follow) and may be about elbow"},
		{"by a path of names", -1, one("EX_follow", one("target", jsontree.NewString("shoulder/elbow"))), "(EX_follow) and may be about elbow"},
		{"under its name", -1, one("EX_limits", one("elbow", jsontree.NewInt(150))), "(EX_limits) and may be about elbow"},
		{"about a longer name", -1, one("EX_follow", one("target", jsontree.NewString("elbow pad"))), ""},
		{"of a list of nodes", -1, one("EX_chain", one("members", jsontree.NewInts(0, elbow, 2))), "(EX_chain) and may be about elbow"},
		{"of lists in pairs", -1, one("EX_chain", one("members", jsontree.NewInts(0, elbow, elbow, 2))), "(EX_chain) and may be about elbow"},
		{"of a list of one", -1, one("EX_chain", one("members", jsontree.NewInts(elbow))), "(EX_chain) and may be about elbow"},
		{"of a list that has it most", -1, one("EX_chain", one("members", jsontree.NewInts(elbow, elbow, 2))), "(EX_chain) and may be about elbow"},
		{"of a list of it alone", -1, one("EX_chain", one("ofEachBone", jsontree.NewInts(elbow, elbow, elbow))), "(EX_chain) and may be about elbow"},
		{"keyed by number", -1, one("EX_limits", one("1", jsontree.NewInt(150))), "(EX_limits) and may be about elbow"},
		{"keyed by another number", -1, one("EX_limits", one("12", jsontree.NewInt(150))), ""},
		{"with the number as a text", -1, one("EX_follow", one("target", jsontree.NewString("1"))), "(EX_follow) and may be about elbow"},
		{"of a picture", -1, one("EX_note", one("picture", jsontree.NewString("pictures/elbow/skin.png"))), ""},
		{"by a path with bars", -1, one("EX_follow", one("target", jsontree.NewString("rig|elbow"))), "(EX_follow) and may be about elbow"},
		{"by a name in a space of names", -1, one("EX_follow", one("target", jsontree.NewString("rig:elbow"))), "(EX_follow) and may be about elbow"},
		{"of what can be keyed of it, behind a point", -1, one("EX_follow", one("target", jsontree.NewString("elbow.rotation"))), "(EX_follow) and may be about elbow"},
		{"about another side", -1, one("EX_follow", one("target", jsontree.NewString("elbow.L"))), ""},
		{"of a picture's file", -1, one("EX_note", one("picture", jsontree.NewString("elbow.png"))), ""},
		{"of what can be keyed of it", -1, one("EX_follow", one("target", jsontree.NewString("rig/elbow/rotation"))), "(EX_follow) and may be about elbow"},
		{"of a list with none in 32 bits", -1, one("EX_chain", one("members", jsontree.NewNumbers(0, elbow, 2, 1<<32-1))), "(EX_chain) and may be about elbow"},
		{"of a list of it and none in 16 bits", -1, one("EX_chain", one("members", jsontree.NewNumbers(65535, elbow))), "(EX_chain) and may be about elbow"},
		{"of a list with none in 64 bits", -1, one("EX_chain", one("members", jsontree.NewNumbers(1<<64-1, elbow))), "(EX_chain) and may be about elbow"},
		{"of an axis for each node", -1, one("EX_push", one("jointAxis", jsontree.NewInts(0, elbow, 0))), ""},
		{"of an axis below nodes", -1, one("EX_push", one("nodes", one("push", jsontree.NewInts(0, elbow, 0)))), ""},
		{"of an axis", -1, one("EX_push", one("axis", jsontree.NewInts(0, elbow, 0))), ""},
		{"of a turn", -1, one("EX_push", one("turn", jsontree.NewInts(0, 0, 0, elbow))), ""},
		{"of a size", -1, one("EX_push", one("size", jsontree.NewNumbers(elbow, 0.5, 2))), ""},
		{"of an amount", -1, one("EX_push", one("share", jsontree.NewInts(elbow, 100000, 2))), ""},
		{"of a place", -1, one("EX_push", one("at", one("x", jsontree.NewInt(elbow)))), ""},
		{"of a mesh", -1, one("EX_push", one("mesh", jsontree.NewInt(elbow))), ""},
	} {
		b := chain(t)
		if b.Joints[1].Node != elbow {
			t.Fatalf("the elbow is node %d", b.Joints[1].Node)
		}
		at := b.Doc.Root()
		if c.on >= 0 {
			at = at.Member("nodes").At(c.on)
		}
		at.Set("extensions", c.data)
		p, err := Make(b, 1, Options{To: rigid.Vec{X: 30, Y: 4}})
		if err != nil {
			t.Fatal(err)
		}
		told := strings.Join(p.Lose(), "\n")
		if has := strings.Contains(told, "may be about"); has != (c.told != "") || !strings.Contains(told, c.told) {
			t.Errorf("data %s: %q; want %q", c.name, told, c.told)
		}
	}
}

// TestNotesAboutTheJointAreTold: what somebody noted in extras names a joint by its name; a number there is one only where it is called so.
func TestNotesAboutTheJointAreTold(t *testing.T) {
	b := chain(t)
	name, told := b.Joints[1].Name, "data that is not read here (extras) and may be about elbow"
	for _, c := range []struct{ extras, told string }{
		{`{"follows": {"what": "` + name + `"}}`, told},
		{`{"limits": {"` + name + `": 150}}`, told},
		{`{"follows": "/nodes/1"}`, told},
		{`{"follows": {"node": 1}}`, told},
		{`{"keptJoints": [0, 1, 2]}`, told},
		{`{"ofEachBone": [1, 1, 1, 0]}`, told},
		{`{"keptJoints": [4294967295, 1, 4294967295]}`, told},
		{`{"joints": {"1": {"limit": 150}}}`, told},
		{`{"editions": {"1": "first", "2": "second"}}`, ""},
		{`{"bone": "1"}`, told},
		{`{"picture": "pictures/` + name + `/skin.png"}`, ""},
		{`{"picture": "` + name + `/skin.png"}`, ""},
		{`{"page": "https://example.org/` + name + `"}`, ""},
		{`{"follows": "rig/` + name + `"}`, told},
		{`{"follows": "rig/` + b.Joints[0].Name + `/` + name + `/tip"}`, told},
		{`{"follows": "` + name + `/` + b.Joints[2].Name + `/tip"}`, told},
		{`{"follows": "/` + name + `/rotation"}`, told},
		{`{"edition": 1, "list": [0, 1, 2], "by": "somebody"}`, ""},
		{`{"jointNumber": 1}`, told},
		{`{"joint_count": 1, "numBones": 1, "boneRadius": 1}`, ""},
		{`{"node": {"edition": 4, "offset": [1, 0.5, 0]}}`, ""},
	} {
		extras, err := jsontree.Parse([]byte(c.extras), jsontree.Limits{Depth: 9, Values: 99})
		if err != nil {
			t.Fatal(err)
		}
		for _, at := range []*jsontree.Value{b.Doc.Root(), b.Doc.Root().Member("scenes").At(0), b.Doc.Root().Member("nodes").At(4)} {
			at.Set("extras", extras)
			p, err := Make(b, 1, Options{To: rigid.Vec{X: 30, Y: 4}})
			if err != nil {
				t.Fatal(err)
			}
			if lose := strings.Join(p.Lose(), "\n"); strings.Contains(lose, "may be about") != (c.told != "") || !strings.Contains(lose, c.told) {
				t.Errorf("extras %s: %q; want %q", c.extras, lose, c.told)
			}
			at.Remove("extras")
		}
	}
}

// TestDataAnywhereInTheFileIsTold: a camera that follows a joint and a cloth that is pinned to it stand on no node. A bare number there is a place
// in some other list, and the name of a shape no joint's.
func TestDataAnywhereInTheFileIsTold(t *testing.T) {
	for _, c := range []struct{ member, data, told string }{
		{"cameras", `{"extras": {"looksAt": "elbow"}}`, "(extras)"},
		{"cameras", `{"perspective": {"extras": {"looksAt": "elbow"}}}`, "(extras)"},
		{"animations", `{"channels": [{"extras": {"mask": ["elbow"]}}]}`, "(extras)"},
		{"animations", `{"samplers": [{"extensions": {"EX_curve": {"driver": 1}}}]}`, "(EX_curve)"},
		{"meshes", `{"primitives": [{"extensions": {"EX_cloth": {"pinnedTo": {"joint": 1}}}}]}`, "(EX_cloth)"},
		{"asset", `{"extras": {"pivotOf": "elbow"}}`, "(extras)"},
		{"extensions", `{"KHR_lights_punctual": {"lights": [{"extras": {"aimsAt": "elbow"}}]}}`, "(extras)"},
		{"extensions", `{"KHR_lights_punctual": {"lights": [{"extensions": {"EX_follow": {"target": "elbow"}}}]}}`, "(EX_follow)"},
		{"extensions", `{"KHR_lights_punctual": {"lights": [{"name": "elbow"}]}}`, ""},
		{"meshes", `{"primitives": [{"extensions": {"EX_cloth": {"texture": 1, "amount": 1}}}]}`, ""},
		{"meshes", `{"extras": {"targetNames": ["elbow"]}}`, ""},
		{"materials", `{"extensions": {"KHR_materials_unlit": {"elbow": 1}}, "name": "elbow"}`, ""},
		{"images", `{"uri": "elbow", "extras": {"from": "pictures/elbow/skin.png"}}`, ""},
	} {
		b := chain(t)
		data, err := jsontree.Parse([]byte(c.data), jsontree.Limits{Depth: 9, Values: 99})
		if err != nil {
			t.Fatal(err)
		}
		p, err := Make(b, 1, Options{To: rigid.Vec{X: 30, Y: 4}})
		if err != nil {
			t.Fatal(err)
		}
		if c.member == "asset" || c.member == "extensions" {
			b.Doc.Root().Set(c.member, data)
		} else {
			b.Doc.Root().List(c.member).Append(data)
		}
		if lose := strings.Join(p.Lose(), "\n"); strings.Contains(lose, "may be about") != (c.told != "") || !strings.Contains(lose, c.told) {
			t.Errorf("%s %s: %q; want %q", c.member, c.data, lose, c.told)
		}
	}
}

// TestNotesOnTheJointItselfAreTold by their names, so that the reader sees whether one of them is a measure; nothing is told of extras that
// hold nothing.
func TestNotesOnTheJointItselfAreTold(t *testing.T) {
	for _, c := range []struct{ extras, told string }{
		{`{"rest_length": 25.5}`, "The file notes something of elbow that is not read here (rest_length)."},
		{`{"limits": [0, 150], "by": "somebody"}`, "(2 kinds, such as limits)"},
		{`[0, 0.3, 0]`, "(extras)"},
		{`0`, "(extras)"},
		{`{"": 25.5}`, "(extras)"},
		{`"turn it last"`, "(extras)"},
		{`{}`, ""},
		{`[]`, ""},
		{`""`, ""},
		{`null`, ""},
		{`true`, ""},
	} {
		b := chain(t)
		extras, err := jsontree.Parse([]byte(c.extras), jsontree.Limits{Depth: 9, Values: 99})
		if err != nil {
			t.Fatal(err)
		}
		b.Doc.Root().Member("nodes").At(b.Joints[1].Node).Set("extras", extras)
		p, err := Make(b, 1, Options{To: rigid.Vec{X: 30, Y: 4}})
		if err != nil {
			t.Fatal(err)
		}
		if lose := strings.Join(p.Lose(), "\n"); strings.Contains(lose, "notes something") != (c.told != "") || !strings.Contains(lose, c.told) {
			t.Errorf("extras %s on the joint: %q; want %q", c.extras, lose, c.told)
		}
	}
}

// TestManyKindsOfDataAreTold in a time that grows as they do: each looked up among all that were told took forty thousand six seconds.
func TestManyKindsOfDataAreTold(t *testing.T) {
	took := func(kinds int) time.Duration {
		d := gltf.New("test")
		d.AddNode(gltf.Node{Name: "hip", Parent: -1, Mesh: -1, Skin: -1})
		text := []byte("{")
		for i := range kinds {
			text = append(text, `"EX_`+strconv.Itoa(i)+`": {"node": 0},`...)
		}
		data, err := jsontree.Parse(append(text[:len(text)-1], '}'), jsontree.Limits{Depth: 9, Values: 1 << 20})
		if err != nil {
			t.Fatal(err)
		}
		d.Root().Set("extensions", data)
		best := time.Hour
		for range 3 {
			before := bound.Spent()
			if told := d.Speaking(0); len(told) != kinds {
				t.Fatalf("%d kinds of %d are told", len(told), kinds)
			}
			best = min(best, bound.Spent()-before)
		}
		return best
	}
	if few, many := took(2000), took(20000); many > 40*few {
		t.Errorf("ten times the kinds take %v in the place of %v", many, few)
	}
}

// TestToLookForANodeKeepsNoListForEachOther: such a list took a hundred thousand nodes with an extension eight seconds. Nor does it copy texts, of
// which one may be a picture.
func TestToLookForANodeKeepsNoListForEachOther(t *testing.T) {
	d := gltf.New("test")
	for i := range 100 {
		d.AddNode(gltf.Node{Name: "n" + strconv.Itoa(i), Parent: -1, Mesh: -1, Skin: -1})
	}
	list, data := d.Root().Member("nodes"), jsontree.NewObject().Set("EX_seen", jsontree.NewObject().Set("seen", jsontree.NewBool(true)).Set("picture", jsontree.NewString("pictures/of/all/that/was/seen.png")))
	for i := range list.Len() {
		list.At(i).Set("extensions", data)
	}
	if n := testing.AllocsPerRun(10, func() { d.Speaking(list.Len() - 1) }); n > 8 {
		t.Errorf("%v allocations for %d nodes", n, list.Len())
	}
}

// TestAPathIsHeldAgainstManyChildrenAtOnce: each path with the joint's name was held against each child. A child's name may have a point, and one
// that begins as another does is another.
func TestAPathIsHeldAgainstManyChildrenAtOnce(t *testing.T) {
	took := func(children int, path string, told int) time.Duration {
		d := gltf.New("test")
		hip := d.AddNode(gltf.Node{Name: "hip", Parent: -1, Mesh: -1, Skin: -1})
		for i := range children {
			d.AddNode(gltf.Node{Name: "leg." + strconv.Itoa(i), Parent: hip, Mesh: -1, Skin: -1})
		}
		paths := make([]string, 20_000)
		for i := range paths {
			paths[i] = path
		}
		d.Root().Set("extensions", jsontree.NewObject().Set("EX_seen", jsontree.NewStrings(paths...)))
		before := bound.Spent()
		if list := d.Speaking(hip); len(list) != told {
			t.Errorf("%s: told %q", path, list)
		}
		return bound.Spent() - before
	}
	took(10, "up/hip/leg.7/more", 1)
	took(10, "up/hip/leg/7/more", 1)
	took(10, "up/hip/leg.77/more", 0)
	took(10, "up/hip/leg.7", 1)
	if few, many := took(500, "up/hip/legs/more", 0), took(5000, "up/hip/legs/more", 0); many > 4*few {
		t.Errorf("500 children take %v and 5,000 take %v", few, many)
	}
}
