package body

import (
	"strconv"
	"testing"

	"centrode/calc/gltf"
	"centrode/tests/hard/bound"
)

// TestManyTargetsAreListedSoon: a file of some megabytes can name hundreds of thousands of morph targets, and to look each name up in
// the list of all before would take minutes. Those of one name in several meshes are one.
func TestManyTargetsAreListedSoon(t *testing.T) {
	const meshes, each = 50, 4000
	b := &Body{Doc: &gltf.Document{}}
	for m := range meshes {
		names := make([]string, each)
		for k := range names {
			names[k] = "target " + strconv.Itoa(m*each+k) // told apart by their last letters alone
		}
		names[0] = "fist"
		b.Doc.Meshes = append(b.Doc.Meshes, gltf.Mesh{Primitives: []gltf.Primitive{{Targets: make([][]gltf.Attribute, each)}}, Weights: make([]float64, each), TargetNames: names})
		b.Doc.Nodes = append(b.Doc.Nodes, gltf.Node{Mesh: m})
		b.Parts = append(b.Parts, Part{Node: m, Mesh: m})
	}
	end := bound.Watch(t, meshes*each*16)
	b.morphs()
	end()
	if len(b.Targets) != meshes*(each-1)+1 || b.Targets[0].Name != "fist" || len(b.Targets[0].shift) != meshes {
		t.Errorf("%d targets, the first %q of %d parts; want %d, fist, %d", len(b.Targets), b.Targets[0].Name, len(b.Targets[0].shift), meshes*(each-1)+1, meshes)
	}
}
