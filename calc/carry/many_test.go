package carry

import (
	"strconv"
	"strings"
	"testing"
	"time"

	"centrode/calc/body"
	"centrode/calc/character"
	"centrode/calc/gltf"
	"centrode/calc/rigid"
	"centrode/tests/hard/bound"
)

// crowd is a joint with so many children, each with keys of its own at these times and a ball below it.
func crowd(t *testing.T, children int, times []float32) *body.Body {
	t.Helper()
	d := gltf.New("test")
	node := func(name string, parent, mesh int, x float64) int {
		return d.AddNode(gltf.Node{Name: name, Parent: parent, Mesh: mesh, Skin: -1, Translation: rigid.Vec{X: x}})
	}
	ball := d.AddMesh(gltf.Mesh{Name: "ball", Primitives: []gltf.Primitive{{Mode: 4, Material: -1, Indices: -1,
		Attributes: []gltf.Attribute{{Name: "POSITION", Accessor: d.AddFloats("VEC3", []float32{0, 0, 0, 0.02, 0, 0, 0, 0.02, 0})}}}}})
	elbow := node("elbow", node("root", -1, -1, 0), -1, 0.3)
	clip := d.AddAnimation("crowd")
	for i := range children {
		child := node("child "+strconv.Itoa(i), elbow, -1, 0.3)
		if i == 0 {
			node("ball", child, ball, 0)
		}
		values := make([]float32, 3*len(times))
		for k := range times {
			values[3*k] = 0.3 + float32(k%2)/10
		}
		if err := d.AddTrack(clip, child, "translation", times, values, "LINEAR"); err != nil {
			t.Fatal(err)
		}
	}
	return load(t, "crowd", d.GLB())
}

// Four times as many children take about four times as long to carry along, and not sixteen.
func TestManyChildrenTakeLinearTime(t *testing.T) {
	took := func(children int) time.Duration {
		b := crowd(t, children, []float32{0, 1})
		before := bound.Spent()
		p, err := Make(b, 1, Options{To: b.At(1).Add(rigid.Vec{Y: 3})})
		if err != nil {
			t.Fatal(err)
		}
		if _, _, err := p.GLB(); err != nil || len(p.Tracks) != children {
			t.Fatalf("%d tracks of %d children, %v", len(p.Tracks), children, err)
		}
		return bound.Spent() - before
	}
	took(200) // what runs for the first time is slow
	if few, many := took(1_500), took(6_000); many > 9*few {
		t.Errorf("1,500 children take %v and 6,000 take %v", few, many)
	}
}

// A move that would need keys without end is refused, and says what to do.
func TestKeysWithoutEndAreRefused(t *testing.T) {
	c, _ := character.Find("odalys-arm")
	b := load(t, c.ID, c.GLB())
	joint, err := b.Find(c.Flawed)
	if err != nil {
		t.Fatal(err)
	}
	to := b.At(joint).Add(rigid.Vec{X: 1, Y: -0.5})
	whole, err := Make(b, joint, Options{To: to})
	if err != nil || whole.keys == 0 {
		t.Fatalf("%d keys, %v", whole.keys, err)
	}
	b.Doc.Animations[0].Name = "" // a clip without a name is told by its number, as everywhere
	b.Clips[0].Name = "clip 0"
	p := &Plan{Body: b, Joint: joint, Options: Options{To: to}, From: b.At(joint), fine: whole.fine, keys: mostKeys - whole.keys}
	for _, want := range []string{"", `the clip "clip 0" would need more than 1048576 new keys to keep its motion; cut it into shorter clips, or keep its rotations alone`} {
		if err := p.stand(); err != nil {
			t.Fatal(err)
		}
		if err := p.tracks(); (err == nil) != (want == "") || err != nil && !strings.HasSuffix(err.Error(), want) {
			t.Errorf("%v, want %q", err, want)
		}
	}
}
