package carry

import (
	"math"
	"testing"

	"centrode/calc/gltf"
	"centrode/calc/rigid"
)

// What is foreseen of a clip is what comes: a track that jumps from key to key has no pieces to divide, and of a loop not the same
// moment is looked at again and again. Above both, splines scale forty nodes, of which no bound tells anything.
func TestAClipIsNotRefusedForWhatItDoesNotAsk(t *testing.T) {
	loop := func(i int) float64 { // one quick turn in 32 keys
		return map[bool]float64{true: 0.9}[i%32 == 0]
	}
	for _, c := range []struct {
		name, interpolation string
		keys                int
		half                func(key int) float64
	}{
		{"jumps", "STEP", 16000, func(i int) float64 { return math.Sin(float64(i)/10) / 2 }},
		{"a loop", "LINEAR", 2500, loop},
	} {
		d, above := gltf.New("test"), -1
		var nodes []int
		for range 40 {
			above = d.AddNode(gltf.Node{Parent: above, Mesh: -1, Skin: -1, Translation: rigid.Vec{X: 0.01}})
			nodes = append(nodes, above)
		}
		ball := d.AddMesh(gltf.Mesh{Name: "ball", Primitives: []gltf.Primitive{{Mode: 4, Material: -1, Indices: -1,
			Attributes: []gltf.Attribute{{Name: "POSITION", Accessor: d.AddFloats("VEC3", []float32{0, 0, 0, 0.02, 0, 0, 0, 0.02, 0})}}}}})
		elbow := d.AddNode(gltf.Node{Name: "elbow", Parent: above, Mesh: -1, Skin: -1, Translation: rigid.Vec{X: 0.3}})
		d.AddNode(gltf.Node{Name: "hand", Parent: elbow, Mesh: ball, Skin: -1, Translation: rigid.Vec{X: 0.3}})
		clip := d.AddAnimation(c.name)
		var times, turn, sizes []float32
		for i := range c.keys {
			half, size := c.half(i), breath(i)
			times = append(times, float32(i)/30)
			turn = append(turn, 0, 0, float32(math.Sin(half)), float32(math.Cos(half)))
			sizes = append(sizes, 0, 0, 0, size, size, size, 0, 0, 0)
		}
		if err := d.AddTrack(clip, elbow, "rotation", times, turn, c.interpolation); err != nil {
			t.Fatal(err)
		}
		for _, node := range nodes {
			if err := d.AddTrack(clip, node, "scale", times, sizes, "CUBICSPLINE"); err != nil {
				t.Fatal(err)
			}
		}
		b := load(t, c.name, d.GLB())
		joint, err := b.Find("elbow")
		if err != nil {
			t.Fatal(err)
		}
		if _, err := Make(b, joint, Options{To: b.At(joint).Add(rigid.Vec{Y: 3})}); err != nil {
			t.Errorf("%s: %v", c.name, err)
		}
	}
}
