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
