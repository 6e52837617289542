package propose

import (
	"math"
	"testing"

	"centrode/calc/affine"
	"centrode/calc/body"
	"centrode/calc/gltf"
	"centrode/calc/rigid"
	"centrode/tests/hard/bound"
)

// What is asked once a key must not copy the places of all joints: a file of a megabyte has room for twenty thousand of both.
func TestManyKeysBesideManyJointsTakeLittleMemory(t *testing.T) {
	const joints, keys = 4000, 2000
	d := gltf.New("test")
	var at, weights []float32
	var held, corners []uint32
	for i, p := range cloud(12) {
		at, weights = append(at, float32(p.X), float32(p.Y), float32(p.Z)), append(weights, 1, 0, 0, 0)
		if held = append(held, 0, 0, 0, 0); i > 1 {
			corners = append(corners, 0, uint32(i-1), uint32(i))
		}
	}
	mesh := d.AddMesh(gltf.Mesh{Primitives: []gltf.Primitive{{Mode: 4, Material: -1, Indices: d.AddUints("SCALAR", 5123, corners), Attributes: []gltf.Attribute{
		{Name: "POSITION", Accessor: d.AddFloats("VEC3", at)}, {Name: "JOINTS_0", Accessor: d.AddUints("VEC4", 5121, held)}, {Name: "WEIGHTS_0", Accessor: d.AddFloats("VEC4", weights)}}}}})
	nodes, binds := make([]int, joints), make([]affine.Map, joints)
	for i := range nodes {
		nodes[i], binds[i] = d.AddNode(gltf.Node{Parent: -1, Mesh: -1, Skin: -1, Rotation: rigid.Quat{W: 1}}), affine.Identity()
	}
	skin, err := d.AddSkin("", nodes, binds)
	if err != nil {
		t.Fatal(err)
	}
	d.AddNode(gltf.Node{Parent: -1, Mesh: mesh, Skin: skin, Rotation: rigid.Quat{W: 1}})
	clip := d.AddAnimation("long")
	var times, turns, shifts []float32
	for i := range keys {
		sin, cos := math.Sincos(float64(i%7) / 5)
		times, turns, shifts = append(times, float32(i)), append(turns, 0, 0, float32(sin), float32(cos)), append(shifts, float32(sin), float32(cos), 0)
	}
	for path, values := range map[string][]float32{"rotation": turns, "translation": shifts} {
		if err := d.AddTrack(clip, nodes[0], path, times, values, "LINEAR"); err != nil {
			t.Fatal(err)
		}
	}
	doc, err := gltf.Read(d.GLB(), nil)
	if err != nil {
		t.Fatal(err)
	}
	b, err := body.New("many.glb", doc)
	if err != nil {
		t.Fatal(err)
	}
	target, err := b.Target("clip:long")
	if err != nil {
		t.Fatal(err)
	}
	end := bound.Watch(t, 0)
	_, err = Find(b, 0, []*body.Target{target}, false)
	end()
	if err != nil {
		t.Error(err)
	}
}
