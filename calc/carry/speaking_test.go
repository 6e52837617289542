package carry

import (
	"strconv"
	"strings"
	"testing"

	"centrode/calc/gltf"
	"centrode/calc/jsontree"
	"centrode/calc/rigid"
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
		{`{"edition": 1, "list": [0, 1, 2], "by": "somebody"}`, ""},
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

// TestToLookForANodeKeepsNoListForEachOther: such a list took a hundred thousand nodes with an extension eight seconds.
func TestToLookForANodeKeepsNoListForEachOther(t *testing.T) {
	d := gltf.New("test")
	for i := range 100 {
		d.AddNode(gltf.Node{Name: "n" + strconv.Itoa(i), Parent: -1, Mesh: -1, Skin: -1})
	}
	list, data := d.Root().Member("nodes"), jsontree.NewObject().Set("EX_seen", jsontree.NewObject().Set("seen", jsontree.NewBool(true)))
	for i := range list.Len() {
		list.At(i).Set("extensions", data)
	}
	if n := testing.AllocsPerRun(10, func() { d.Speaking(list.Len() - 1) }); n > 5 {
		t.Errorf("%v allocations for %d nodes", n, list.Len())
	}
}
