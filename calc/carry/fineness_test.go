package carry

import (
	"testing"

	"centrode/calc/gltf"
	"centrode/calc/rigid"
)

// TestNewKeysAreAsFineAsTheBodyIsLarge: a file whose unit was taken for a centimetre gets about as many keys as the same one in metres, and in one
// as small nothing strays by what would be seen. derived: fineness is at most a thousandth of the longest segment, here of 0.3 times the size.
func TestNewKeysAreAsFineAsTheBodyIsLarge(t *testing.T) {
	made := func(size float64) (keys int, miss float64) {
		d := gltf.New("test")
		mesh := d.AddMesh(gltf.Mesh{Primitives: []gltf.Primitive{{Mode: 4, Material: -1, Indices: -1, Attributes: []gltf.Attribute{
			{Name: "POSITION", Accessor: d.AddFloats("VEC3", []float32{0, 0, 0, float32(size), 0, 0, 0, float32(size), 0})}}}}})
		parent := -1
		for _, name := range []string{"shoulder", "elbow", "hand"} {
			parent = d.AddNode(gltf.Node{Name: name, Parent: parent, Mesh: mesh, Skin: -1, Translation: rigid.Vec{X: 0.3 * size}})
		}
		if err := d.AddTrack(d.AddAnimation("fold"), 1, "rotation", []float32{0, 1}, []float32{0, 0, 0, 1, 0, 0, 0.6, 0.8}, "LINEAR"); err != nil {
			t.Fatal(err)
		}
		b := load(t, "arm", d.GLB())
		p, err := Make(b, 1, Options{To: b.At(1).Add(rigid.Vec{Y: 2 * size})})
		if err != nil || len(p.Tracks) != 1 {
			t.Fatalf("%d tracks, %v", len(p.Tracks), err)
		}
		return p.Tracks[0].After, p.Tracks[0].Error / gltf.CmPerUnit
	}
	keys, _ := made(1)
	for _, size := range []float64{0.001, 0.01, 0.1, 1, 10, 100, 1000} {
		if many, miss := made(size); many > 2*keys || many < 3 || miss > 1.1*0.001*0.3*size || miss > 1.1*max(1e-5, 1e-5*0.3*size) {
			t.Errorf("%g times as large: %d keys that miss by %g m; at 1 they are %d", size, many, miss, keys)
		}
	}
}
