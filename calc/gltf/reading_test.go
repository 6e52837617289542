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

// By the standard a clip moves only nodes of translation, rotation and scale. A node of a matrix is moved all the same, by what its matrix is
// made of, and that is told once; a clip that keys its weights alone moves it not.
func TestAClipThatMovesANodeOfAMatrixIsToldOnce(t *testing.T) {
	const told = "animations[0].channels[0].target.node: node 0 has a matrix, and the standard lets a clip move no such node; the matrix is taken apart into translation, rotation and scale for the clip"
	for _, c := range []struct {
		name   string
		matrix []float64
		want   string // "" for nothing
	}{
		{"no matrix", nil, ""},
		{"turned and scaled", []float64{0, 2, 0, 0, -2, 0, 0, 0, 0, 0, 3, 0, 4, 5, 6, 1}, told},
		{"sheared", []float64{1, 0, 0, 0, 1, 1, 0, 0, 0, 0, 1, 0, 4, 5, 6, 1}, told + ", which leaves its shear out"},
	} {
		d := gltf.New("centrode tests")
		node := d.AddNode(gltf.Node{Parent: -1, Mesh: -1, Skin: -1})
		clip := d.AddAnimation("clip")
		for _, path := range []string{"rotation", "translation"} {
			width := map[string]int{"rotation": 4, "translation": 3}[path]
			values := make([]float32, 2*width)
			values[width-1], values[2*width-1] = 1, 1
			if err := d.AddTrack(clip, node, path, []float32{0, 1}, values, "LINEAR"); err != nil {
				t.Fatal(err)
			}
		}
		if c.matrix != nil {
			d.Root().Member("nodes").At(node).Set("matrix", jsontree.NewNumbers(c.matrix...))
		}
		again, err := gltf.Read(d.GLB(), nil)
		if err != nil {
			t.Fatal(err)
		}
		var notes []string
		for _, n := range again.Notes {
			if strings.Contains(n.Path, "animations") {
				notes = append(notes, n.Path+": "+n.Text)
			}
		}
		if got := strings.Join(notes, " | "); got != c.want {
			t.Errorf("%s: %q, want %q", c.name, got, c.want)
		}
		if c.matrix == nil || c.want != told {
			continue
		}
		// derived: of the matrix of a quarter turn about z with the scale 2, 2, 3 the clip leaves the scale.
		n := again.Nodes[node].Keyed(1, again.Track(0, 0), again.Track(0, 1))
		if n.Scale.X != 2 || n.Scale.Z != 3 || n.Translation.Z != 1 || n.Rotation.W != 1 {
			t.Errorf("%s: the clip has it at %+v", c.name, n)
		}
	}
}

// The note that a mesh is the surface of what it hangs on is understood here, so it is no data of another program; what stands beside it is.
func TestTheNoteOfASurfaceIsUnderstood(t *testing.T) {
	for was, want := range map[string]string{"": "", `{"tint":3}`: "tint", `{"centrode":{"own":1}}`: "centrode", `[1]`: "extras", `{"centrode":2}`: "centrode"} {
		d := strip(t)
		if was != "" {
			d.Root().Member("nodes").At(0).Set("extras", clone(t, was))
		}
		d.NoteSurface(0)
		d = read(t, d.GLB())
		if got := strings.Join(d.Noted(0), " "); got != want {
			t.Errorf("%s: %q is noted, want %q", was, got, want)
		}
		if room := was != `[1]` && was != `{"centrode":2}`; d.SurfaceNoted(0) != room || d.SurfaceNoted(1) {
			t.Errorf("%s: noted %v, and of another node %v", was, d.SurfaceNoted(0), d.SurfaceNoted(1))
		}
	}
}
