package words

import (
	"encoding/json"
	"strings"
	"testing"

	"centrode/calc/character"
	"centrode/calc/gltf"
	"centrode/calc/jsontree"
	"centrode/calc/room"
)

// A clip may key the morph targets of a mesh that was left out of the file.
func TestWeightsOfANodeWithoutAMeshAreToldInTheLanguageOfThePage(t *testing.T) {
	german := hearer(t, "scripts/roomsaid.js", "said")
	doc, err := gltf.Read(character.All()[0].GLB(), nil)
	if err != nil {
		t.Fatal(err)
	}
	node, clip := doc.AddNode(gltf.Node{Name: "face", Parent: -1, Mesh: -1, Skin: -1}), doc.AddAnimation("smile")
	if err := doc.AddTrack(clip, node, "rotation", []float32{1}, []float32{0, 0, 0, 1}, "LINEAR"); err != nil {
		t.Fatal(err)
	}
	doc.Root().Member("animations").At(clip).Member("channels").At(0).Member("target").Set("path", jsontree.NewString("weights"))
	r, err := room.Open([]room.File{{Name: "smile.glb", Data: doc.GLB()}})
	if err != nil {
		t.Fatal(err)
	}
	var scene struct{ Notes []string }
	if err := json.Unmarshal(r.Describe(), &scene); err != nil || len(scene.Notes) != 1 || !strings.HasSuffix(scene.Notes[0], "path: weights of a node without a mesh; they are kept and not played") {
		t.Fatalf("notes %q, %v", scene.Notes, err)
	}
	if own := german(scene.Notes[0]); !strings.HasSuffix(own, "keyt Gewichte an einem Knoten ohne Mesh; sie bleiben und werden nicht abgespielt.") {
		t.Errorf("in German %q is %q", scene.Notes[0], own)
	}
}
