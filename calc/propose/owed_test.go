package propose

import (
	"math/rand/v2"
	"testing"

	"centrode/calc/body"
	"centrode/calc/character"
	"centrode/calc/gltf"
)

// TestKeysLeaveNoMoreAboutThePivotTheyPropose: what is left about the pivot and about the current one is the same thing, so that
// the one that leaves least leaves less. Keys that only shake tell: no pivot explains them, and none is told to be worse than now.
func TestKeysLeaveNoMoreAboutThePivotTheyPropose(t *testing.T) {
	c, _ := character.Find("odalys-arm")
	r := rand.New(rand.NewPCG(1, 1))
	for range 5 {
		doc, err := gltf.Read(c.GLB(), nil)
		if err != nil {
			t.Fatal(err)
		}
		squares, keys := 0.0, 0
		for k := range doc.Animations[0].Channels {
			track := doc.Track(0, k)
			node := doc.Nodes[track.Node]
			if node.Name != c.Flawed || track.Path != "translation" {
				continue
			}
			var values []float32
			for range track.Times {
				x, y, z := 0.003*r.NormFloat64(), 0.003*r.NormFloat64(), 0.003*r.NormFloat64()
				values = append(values, float32(node.Translation.X+x), float32(node.Translation.Y+y), float32(node.Translation.Z+z))
				squares, keys = squares+1e4*(x*x+y*y+z*z), keys+1
			}
			if err := doc.SetTrack(0, k, track.Times, values, "LINEAR"); err != nil {
				t.Fatal(err)
			}
		}
		b, err := body.New(c.ID, doc)
		if err != nil {
			t.Fatal(err)
		}
		joint, _ := b.Find(c.Flawed)
		target, err := b.Target("clip:#0")
		if err != nil {
			t.Fatal(err)
		}
		p, err := Find(b, joint, []*body.Target{target}, false)
		if err != nil {
			t.Fatal(err)
		}
		if owed := squares / float64(keys); !(p.Left <= p.Now) || !(p.Now*p.Now > 0.999*owed && p.Now*p.Now < 1.001*owed) {
			t.Errorf("the pivot leaves %g cm, the current one %g; the keys shake by %g", p.Left, p.Now, owed)
		}
	}
}
