package words

import (
	"encoding/json"
	"strconv"
	"strings"
	"testing"
	"unicode"

	"centrode/calc/affine"
	"centrode/calc/character"
	"centrode/calc/gltf"
	"centrode/calc/jsontree"
	"centrode/calc/rigid"
	"centrode/calc/room"
)

// spokenInRoom are the members of the room's answers that hold words for a reader.
var spokenInRoom = []string{"say", "label", "text", "warnings", "will", "lose", "notes"}

// gather collects the texts of these members anywhere in an answer; what begins as a number or a place is none.
func gather(v any, under string, found map[string]bool) {
	switch v := v.(type) {
	case map[string]any:
		for key, inner := range v {
			gather(inner, key, found)
		}
	case []any:
		for _, inner := range v {
			gather(inner, under, found)
		}
	case string:
		for _, key := range spokenInRoom {
			if key == under && strings.Trim(v, "-+−(0123456789., \u00a0cm³°%)") != "" {
				found[v] = true
			}
		}
	}
}

// visit does with a character what a reader does, and collects what the room says and refuses.
func visit(t *testing.T, c character.Character, said, refused map[string]bool) {
	hear := func(answer []byte, err error) {
		var v any
		if err != nil {
			refused[err.Error()] = true
		} else if err := json.Unmarshal(answer, &v); err != nil {
			t.Error(err)
		}
		gather(v, "", said)
	}
	r, err := room.Open([]room.File{{Name: c.ID + ".glb", Data: c.GLB()}})
	if err != nil {
		t.Fatal(err)
	}
	hear(r.Describe(), nil)
	var scene struct {
		Joints  []struct{ At [3]float64 }
		Clips   []struct{ Seconds float64 }
		Targets []struct{ ID string }
	}
	if err := json.Unmarshal(r.Describe(), &scene); err != nil {
		t.Fatal(err)
	}
	for joint, j := range scene.Joints {
		pivot := rigid.Vec{X: j.At[0] + 0.3, Y: j.At[1] - 0.2, Z: j.At[2] + 0.1}
		asks := []room.Ask{{Angle: 40, Clip: -1}, {Angle: 40, Clip: -1, Pivot: pivot, Candidate: true}, {Clip: -1, Pivot: pivot, Candidate: true},
			{Clip: -1, Pivot: pivot.Add(rigid.Vec{X: 900}), Candidate: true}, {Clip: -1, Pivot: rigid.Vec{X: 9e9}, Candidate: true}}
		if len(scene.Clips) > 0 {
			half := scene.Clips[0].Seconds / 2
			asks = append(asks, room.Ask{Time: half}, room.Ask{Time: half, Pivot: pivot, Candidate: true})
		}
		for _, ask := range asks {
			ask.Joint, ask.Point = joint, -1
			if err := r.Pose(ask); err != nil {
				refused[err.Error()] = true
				continue
			}
			hear(r.Measure(), nil)
			for _, o := range []room.Options{{}, {Orient: "aim"}, {Animation: "leave"}, {Within: 30}, {Within: -1}} {
				hear(r.Plan(ask, o))
			}
		}
		hear(r.Propose(joint, nil))
		for _, target := range scene.Targets {
			hear(r.Propose(joint, []string{target.ID}))
		}
	}
	other := character.All()[0]
	if other.ID == c.ID {
		other = character.All()[1]
	}
	if err := r.AddTarget([]room.File{{Name: "second.glb", Data: other.GLB()}}); err != nil {
		refused[err.Error()] = true
	}
}

// spoilt are files that a reader may bring by mistake.
func spoilt(glb []byte) []room.File {
	newer := append([]byte{}, glb...)
	newer[4] = 3
	return []room.File{{Name: "picture.png", Data: glb}, {Name: "empty.glb"}, {Name: "picture.glb", Data: []byte("\x89PNG and so on, for a while")}, {Name: "cut.glb", Data: glb[:len(glb)/2]},
		{Name: "begun.glb", Data: glb[:16]}, {Name: "newer.glb", Data: newer},
		{Name: "scene.gltf", Data: []byte(`{"asset":{"version":"2.0"}}`)}, {Name: "motion.gltf", Data: []byte(`{"asset":{"version":"2.0"},"nodes":[{"name":"hip"}]}`)},
		{Name: "packed.gltf", Data: []byte(`{"asset":{"version":"2.0"},"extensionsUsed":["KHR_draco_mesh_compression"],"extensionsRequired":["KHR_draco_mesh_compression"]}`)},
		{Name: "apart.gltf", Data: []byte(`{"asset":{"version":"2.0"},"buffers":[{"byteLength":4,"uri":"apart.bin"}]}`)}}
}

// TestWhatTheFittingRoomSaysIsSaidInTheLanguageOfThePage holds theme/words/de.room.json to the engine of the room, on all characters of the cast.
func TestWhatTheFittingRoomSaysIsSaidInTheLanguageOfThePage(t *testing.T) {
	german := hearer(t, "scripts/roomsaid.js", "said")
	said, refused := map[string]bool{}, map[string]bool{}
	for _, c := range character.All() {
		visit(t, c, said, refused)
	}
	for _, file := range spoilt(character.All()[0].GLB()) {
		if _, err := room.Open([]room.File{file}); err == nil {
			t.Errorf("%s was opened", file.Name)
		} else {
			refused[err.Error()] = true
		}
	}
	for _, heard := range []map[string]bool{said, refused} {
		for text := range heard {
			own := german(text)
			if strings.Contains(own, `"`) {
				t.Errorf("in German %s is %s, with quotes that are not German", text, own)
			}
			for _, word := range english {
				if own == text || strings.Contains(own, word) {
					t.Errorf("in German %q is %q", text, own)
					break
				}
			}
		}
	}
	if len(said) < 100 || len(refused) < 15 {
		t.Errorf("only %d sentences and %d refusals heard", len(said), len(refused))
	}
	t.Logf("%d sentences and %d refusals heard", len(said), len(refused))
}

// odd is a character with everything that is odd in a file and can be used all the same.
func odd(t *testing.T) []byte {
	t.Helper()
	doc, err := gltf.Read(character.All()[0].GLB(), nil)
	if err != nil {
		t.Fatal(err)
	}
	root, nodes := doc.Root(), doc.Root().Member("nodes")
	value := func(text string) *jsontree.Value {
		v, err := jsontree.Parse([]byte(text), jsontree.Limits{})
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
	add := func(text string) string { return strconv.Itoa(nodes.Append(value(text))) }
	long, sheared, skin := add(`{"rotation": [0, 0, 0, 2]}`), add(`{"matrix": [1,0,0,0, 1,1,0,0, 0,0,1,0, 0,0,0,1]}`), add(`{"skin": 0}`)
	square := add(`{"matrix": [1,0,0,0, 0,1,0,0, 0,0,1,0, 0,0,0,1]}`)
	top := add(`{"children": [` + long + `,` + sheared + `,` + square + `,` + skin + `]}`)
	root.Member("scenes").At(0).Member("nodes").Append(value(top))
	root.Member("scenes").At(0).Member("nodes").Append(value(long))
	loose := root.Member("meshes").At(0).Member("primitives").At(0).Copy()
	loose.Remove("targets")
	positions := loose.Member("attributes").Member("POSITION")
	loose.Set("attributes", jsontree.NewObject().Set("POSITION", positions))
	nodes.At(0).Member("children").Append(value(add(`{"skin": 0, "mesh": ` + strconv.Itoa(root.List("meshes").Append(jsontree.NewObject().Set("primitives", jsontree.NewArray(loose)))) + `}`)))
	channels := root.Member("animations").At(0).Member("channels")
	channels.Append(channels.At(0).Copy())
	for _, node := range []string{sheared, square} {
		channels.Append(channels.At(0).Copy().Set("target", channels.At(0).Member("target").Copy().Set("node", value(node))))
	}
	channels.Append(value(`{"sampler": 0, "target": {"node": 0, "path": "pointer"}}`))
	channels.Append(value(`{"sampler": 0, "target": {"node": 0, "path": "weights"}}`))
	binds := doc.InverseBinds(0)
	binds[1] = affine.Map{}
	if err := doc.SetInverseBinds(0, binds); err != nil {
		t.Fatal(err)
	}
	for _, mesh := range doc.Meshes {
		for _, part := range mesh.Primitives {
			if at := part.Attribute("WEIGHTS_0"); at >= 0 {
				weights := doc.Floats(at)
				weights[0] += 0.5
				if err := doc.SetFloats(at, weights); err != nil {
					t.Fatal(err)
				}
			}
		}
	}
	return doc.GLB()
}

// TestWhatIsOddInAFileIsNotedInTheLanguageOfThePage: every kind of note that the reader of files makes, each once at least.
func TestWhatIsOddInAFileIsNotedInTheLanguageOfThePage(t *testing.T) {
	german := hearer(t, "scripts/roomsaid.js", "said")
	doc, err := gltf.Read(odd(t), nil)
	if err != nil {
		t.Fatal(err)
	}
	kinds := map[string]bool{}
	for _, n := range doc.Notes {
		text := n.Path + ": " + n.Text
		kinds[strings.Map(func(r rune) rune {
			if unicode.IsLetter(r) {
				return r
			}
			return -1
		}, n.Text)] = true
		own := german(text)
		for _, word := range english {
			if own == text || strings.Contains(own, word) {
				t.Errorf("in German %q is %q", text, own)
				break
			}
		}
	}
	if len(kinds) != 12 { // as many as calls of note in calc/gltf, and one of these tells two things
		t.Errorf("%d kinds of notes: %v", len(kinds), kinds)
	}
}

// TestTheMapOfTheFittingRoomIsInTheLanguageOfThePage: its texts go to where it is drawn, before room is made for them.
func TestTheMapOfTheFittingRoomIsInTheLanguageOfThePage(t *testing.T) {
	german := hearer(t, "scripts/roomsaid.js", "said")
	found, words := errorMap(t), 0
	for text := range found {
		own := german(text)
		if own == text && !plain.MatchString(text) {
			t.Errorf("%q stays English on the map", text)
		}
		if own != text {
			words++
		}
	}
	if words < 5 {
		t.Errorf("only %d texts on maps: %v", words, found)
	}
}

// errorMap are the texts of the map that the fitting room draws.
func errorMap(t *testing.T) listener {
	found := listener{}
	c := character.All()[0]
	r, err := room.Open([]room.File{{Name: c.ID + ".glb", Data: c.GLB()}})
	if err != nil {
		t.Fatal(err)
	}
	for joint := range 12 {
		for axis := -1; axis < 3; axis++ {
			if _, err := r.ErrorMap(joint, []string{"morph:#0"}, axis, 0, 12, 480, found.words); err != nil {
				break
			}
		}
	}
	return found
}
