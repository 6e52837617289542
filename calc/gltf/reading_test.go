package gltf_test

import (
	"slices"
	"strings"
	"testing"

	"centrode/calc/gltf"
	"centrode/calc/jsontree"
)

// By the standard the times of keys rise strictly, from 0 or later.
func TestTimesThatDoNotRiseAreRefused(t *testing.T) {
	for _, c := range []struct {
		times []float32
		ok    bool
	}{{[]float32{0, 1, 2}, true}, {[]float32{0.5, 1, 2}, true}, {[]float32{0, 1, 1}, false}, {[]float32{0, 2, 1}, false}, {[]float32{-0.5, 1, 2}, false}, {[]float32{0, 0, 1}, false}} {
		d := gltf.New("centrode tests")
		node := d.AddNode(gltf.Node{Parent: -1, Mesh: -1, Skin: -1})
		clip := d.AddAnimation("clip")
		if err := d.AddTrack(clip, node, "translation", []float32{0, 1, 2}, make([]float32, 9), "LINEAR"); err != nil {
			t.Fatal(err)
		}
		if err := d.SetFloats(d.Animations[clip].Samplers[0].Input, c.times); err != nil {
			t.Fatal(err)
		}
		if _, err := gltf.Read(d.GLB(), nil); (err == nil) != c.ok || err != nil && !strings.Contains(err.Error(), "times that rise") {
			t.Errorf("times %v: %v", c.times, err)
		}
	}
}

// A rotation whose length is off by more than its file rounds is used and told of; a node that a scene lists twice is one root.
func TestWhatIsOddAboutNodesIsToldAndUsed(t *testing.T) {
	for length, told := range map[float64]bool{1: false, 1.0005: false, 1.05: true, 0.5: true} {
		d := strip(t)
		d.Root().Member("nodes").At(1).Set("rotation", jsontree.NewNumbers(0, 0.6*length, 0, 0.8*length))
		scenes := jsontree.NewArray()
		scenes.Append(jsontree.NewObject().Set("nodes", jsontree.NewNumbers(0, 2, 0, 2)))
		d.Root().Set("scenes", scenes)
		again, err := gltf.Read(d.GLB(), nil)
		if err != nil {
			t.Fatal(err)
		}
		noted := slices.ContainsFunc(again.Notes, func(n gltf.Note) bool { return strings.Contains(n.Text, "and not 1") })
		if noted != told {
			t.Errorf("a quaternion of length %v: told %v, want %v: %v", length, noted, told, again.Notes)
		}
		if q := again.Nodes[1].Rotation; q.Y < 0.6-1e-9 || q.Y > 0.6+1e-9 {
			t.Errorf("of length %v it is used as %v", length, q)
		}
		if !slices.Equal(again.Roots, []int{0, 2}) {
			t.Errorf("roots %v, want 0 and 2", again.Roots)
		}
	}
}

// Of three accessors in a row the last two share bytes: to change one leaves the other.
func TestAnAccessorThatOverlapsItsNeighbourAloneIsChangedApart(t *testing.T) {
	for changed := range 3 {
		d := one(t, `[{"componentType":5126,"count":2,"type":"SCALAR","bufferView":0},{"componentType":5126,"count":4,"type":"SCALAR","bufferView":1},
			{"componentType":5126,"count":4,"type":"SCALAR","bufferView":2}]`,
			`[{"buffer":0,"byteLength":8},{"buffer":0,"byteOffset":8,"byteLength":16},{"buffer":0,"byteOffset":16,"byteLength":16}]`, strings.Repeat("\x00", 32))
		values := make([]float32, d.Accessors[changed].Count)
		for i := range values {
			values[i] = 7
		}
		if err := d.SetFloats(changed, values); err != nil {
			t.Fatal(err)
		}
		again := read(t, d.GLB())
		for i := range 3 {
			want := float32(0)
			if i == changed {
				want = 7
			}
			if got := again.Floats(i); slices.ContainsFunc(got, func(x float32) bool { return x != want }) {
				t.Errorf("accessor %d was changed: accessor %d holds %v", changed, i, got)
			}
		}
	}
}
