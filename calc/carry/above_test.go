package carry

import (
	"math"
	"testing"
	"time"

	"centrode/calc/body"
	"centrode/calc/gltf"
	"centrode/calc/rigid"
	"centrode/tests/hard/bound"
)

// deep is an elbow so many nodes deep, that turns in so many keys. What size gives for a node and a key is keyed of the nodes above;
// those of which turns says so turn as the elbow does.
func deep(t *testing.T, depth, keys int, turns func(node int) bool, size func(node, key int) []float32) (*body.Body, int) {
	t.Helper()
	d := gltf.New("test")
	above := -1
	for range depth {
		above = d.AddNode(gltf.Node{Parent: above, Mesh: -1, Skin: -1, Translation: rigid.Vec{X: 0.01}})
	}
	ball := d.AddMesh(gltf.Mesh{Name: "ball", Primitives: []gltf.Primitive{{Mode: 4, Material: -1, Indices: -1,
		Attributes: []gltf.Attribute{{Name: "POSITION", Accessor: d.AddFloats("VEC3", []float32{0, 0, 0, 0.02, 0, 0, 0, 0.02, 0})}}}}})
	elbow := d.AddNode(gltf.Node{Name: "elbow", Parent: above, Mesh: -1, Skin: -1, Translation: rigid.Vec{X: 0.3}})
	d.AddNode(gltf.Node{Name: "hand", Parent: elbow, Mesh: ball, Skin: -1, Translation: rigid.Vec{X: 0.3}})
	clip := d.AddAnimation("deep")
	var times, turn []float32
	for i := range keys {
		half := math.Sin(float64(i)/10) / 2
		times = append(times, float32(i)/30)
		turn = append(turn, 0, 0, float32(math.Sin(half)), float32(math.Cos(half)))
	}
	add := func(node int, path string, values []float32) {
		if err := d.AddTrack(clip, node, path, times, values, "LINEAR"); err != nil {
			t.Fatal(err)
		}
	}
	add(elbow, "rotation", turn)
	for node := range depth {
		if turns(node) {
			add(node, "rotation", turn)
		}
		var values []float32
		for i := range keys {
			values = append(values, size(node, i)...)
		}
		if len(values) > 0 {
			add(node, "scale", values)
		}
	}
	b := load(t, "deep", d.GLB())
	joint, err := b.Find("elbow")
	if err != nil {
		t.Fatal(err)
	}
	return b, joint
}

// breath is a size that comes and goes.
func breath(key int) float32 { return 1 + 0.3*float32(math.Sin(float64(key)/17)) }

// A deep tree and many keys are followed, or refused, in little time: where the sizes above tell well enough how long a miss becomes, no
// piece asks all nodes; where each must, it is foreseen.
func TestADeepTreeTakesLittleTime(t *testing.T) {
	for _, c := range []struct {
		name    string
		turns   func(node int) bool
		size    func(node, key int) []float32
		refused bool
	}{
		{"a root that breathes", func(int) bool { return false }, func(node, key int) []float32 {
			return map[bool][]float32{true: {breath(key), breath(key), breath(key)}}[node == 0]
		}, false},
		{"every joint turns and has a size that stays", func(int) bool { return true }, func(int, int) []float32 { return []float32{1, 1, 1} }, false},
		{"every joint turns below a root that breathes along one axis", func(int) bool { return true }, func(node, key int) []float32 {
			return map[bool][]float32{true: {breath(key), 1, 1}}[node == 0]
		}, false},
		{"every joint turns and breathes along one axis", func(int) bool { return true }, func(_, key int) []float32 { return []float32{breath(key), 1, 1} }, true},
		{"every joint turns, fifteen breathe along one axis", func(int) bool { return true }, func(node, key int) []float32 {
			return map[bool][]float32{true: {breath(key), 1, 1}}[node < 15]
		}, true},
	} {
		keys := 500
		if c.refused {
			keys = 2000
		}
		b, joint := deep(t, 1000, keys, c.turns, c.size)
		before := bound.Spent()
		p, err := Make(b, joint, Options{To: b.At(joint).Add(rigid.Vec{Y: 3})})
		if took := bound.Spent() - before; took > 2*time.Second {
			t.Errorf("%s: %v of a core", c.name, took)
		}
		if (err != nil) != c.refused || err != nil && err.Error() != `the clip "deep" scales what carries elbow, and has more keys there than can be followed through all the nodes above it; cut it into shorter clips` {
			t.Errorf("%s: %v, want refused %v", c.name, err, c.refused)
		}
		if err == nil && !(p.Tracks[0].Error > 0 && p.Tracks[0].Error < 0.0015) {
			t.Errorf("%s: told to stray by %g cm", c.name, p.Tracks[0].Error)
		}
	}
}

// What is found by bounds is what is found when all nodes are asked: as many keys, and the same error.
func TestBoundsOfLengthsChangeNoAnswer(t *testing.T) {
	for name, size := range map[string]func(node, key int) []float32{
		"even":           func(_, key int) []float32 { return []float32{breath(key), breath(key), breath(key)} },
		"along one axis": func(_, key int) []float32 { return []float32{breath(key), 1, 1} },
		"now and then":   func(node, key int) []float32 { return []float32{1, breath(key * node), 1 + float32(node*key%5)} },
		"mirrored":       func(node, key int) []float32 { return []float32{-1, 1 - float32(key%3), breath(node)} },
		"of two": func(node, key int) []float32 {
			return map[bool][]float32{true: {breath(key), 1, 2}}[node == 3 || node == 6]
		},
	} {
		b, joint := deep(t, 9, 40, func(node int) bool { return node%3 > 0 }, size)
		b.Doc.Nodes[4].Scale, b.Doc.Nodes[1].Scale = rigid.Vec{X: 0.5, Y: 2, Z: 1}, rigid.Vec{X: 3, Y: 3, Z: 3}
		for _, o := range []Options{{}, {Leave: true}} {
			o.To = b.At(joint).Add(rigid.Vec{Y: 3})
			p, err := Make(b, joint, o)
			if err != nil {
				t.Fatal(err)
			}
			by := channelsOf(b.Doc.Animations[0])
			k := p.keyed(0, p.node(), by)
			for up := b.Doc.Nodes[p.node()].Parent; up >= 0; up = b.Doc.Nodes[up].Parent {
				at, n := p.keyed(0, up, by), b.Doc.Nodes[up]
				k.above = append(k.above, lift{turn: gltf.Playhead{Track: at.track[rotation]}, size: gltf.Playhead{Track: at.track[scale]}, rotation: n.Rotation, scale: n.Scale})
			}
			k.above = append(k.above, lift{still: &rigid.Rot{{1}, {0, 1}, {0, 0, 1}}, reach: reach{0, math.Inf(1)}}) // of which no bound tells anything
			told := p.Tracks[len(p.Tracks)-1]
			slow := &Plan{Body: b, Joint: joint, Options: o, From: p.From, own: p.own, back: p.back, fine: p.fine}
			slow.shift(0, p.node(), k)
			if is := slow.Tracks[0]; is.After != told.After || math.Abs(is.Error-told.Error) > 1e-9*is.Error || is.How != told.How {
				t.Errorf("%s, %+v: %d keys and %.12g cm by bounds, %d and %.12g by asking all", name, o, told.After, told.Error, is.After, is.Error)
			}
		}
	}
}
