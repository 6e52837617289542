package propose

import (
	"math"
	"math/rand/v2"
	"testing"

	"centrode/calc/body"
	"centrode/calc/character"
	"centrode/calc/gltf"
	"centrode/calc/rigid"
)

// load reads a demo character, its flawed joint, and where that joint belongs, in cm in the world.
func load(t *testing.T, c character.Character) (b *body.Body, joint int, truth rigid.Vec, segment float64) {
	t.Helper()
	doc, err := gltf.Read(c.GLB(), nil)
	if err != nil {
		t.Fatal(err)
	}
	return read(t, c, doc)
}

func read(t *testing.T, c character.Character, doc *gltf.Document) (b *body.Body, joint int, truth rigid.Vec, segment float64) {
	t.Helper()
	var err error
	if b, err = body.New(c.ID, doc); err != nil {
		t.Fatal(err)
	}
	if joint, err = b.Find(c.Flawed); err != nil {
		t.Fatal(err)
	}
	told := doc.Root().Member("nodes").At(b.Joints[joint].Node).Member("extras").Member("centrode")
	var at [3]float64
	for i := range at {
		x, ok := told.Member("true").At(i).Float()
		if !ok {
			t.Fatalf("%s: the file does not tell where %s belongs", c.ID, c.Flawed)
		}
		at[i] = x * gltf.CmPerUnit
	}
	length, _ := told.Member("segment").Float()
	return b, joint, b.ParentFrame(joint).Apply(rigid.Vec{X: at[0], Y: at[1], Z: at[2]}), length * gltf.CmPerUnit
}

// TestEveryFlawIsFoundFromShapesAndFromKeys: within 1 % of the segment from each sculpted shape that turns the joint, from
// all of them together, and within 0.1 % from the clip. A single shape leaves the pivot free along its axis, so there the
// distance counts across it.
func TestEveryFlawIsFoundFromShapesAndFromKeys(t *testing.T) {
	for _, c := range character.All() {
		b, joint, truth, segment := load(t, c)
		var shapes, clips []*body.Target
		for i := range b.Targets {
			if target := &b.Targets[i]; target.Kind == "morph" {
				shapes = append(shapes, target)
			} else {
				clips = append(clips, target)
			}
		}
		if len(shapes) == 0 || len(clips) == 0 {
			t.Fatalf("%s has %d shapes and %d clips", c.ID, len(shapes), len(clips))
		}
		asks := map[string][]*body.Target{"all shapes": shapes}
		for _, target := range append(shapes[:len(shapes):len(shapes)], clips...) {
			asks[target.Kind+":"+target.Name] = []*body.Target{target}
		}
		for name, targets := range asks {
			p, err := Find(b, joint, targets, false)
			if err != nil {
				t.Errorf("%s, %s: %v", c.ID, name, err)
				continue
			}
			within := 0.01
			if p.FromKeys {
				within = 0.001
			}
			miss := p.Pivot.Sub(truth)
			if p.Axis != (rigid.Vec{}) {
				miss = miss.Sub(p.Axis.Scale(p.Axis.Dot(miss)))
			}
			t.Logf("%s, %s: %s missed by %.2g of the segment, off %.2g cm; left %.3g of %.3g, noise %.3g", c.ID, name, p.Kind(), miss.Len()/segment, p.Pivot.Sub(truth).Len(), p.Left, p.Now, p.Noise)
			if !(miss.Len() <= within*segment) {
				t.Errorf("%s, %s: missed by %g of the segment; want %g", c.ID, name, miss.Len()/segment, within)
			}
			if p.Now < 10*p.Left || math.IsNaN(p.Sigma) {
				t.Errorf("%s, %s: the current pivot leaves %g, the candidate %g", c.ID, name, p.Now, p.Left)
			}
		}
	}
}

// TestNoiseAndBulgesDoNotLeadAstray: a shape whose vertices a hand has moved by 0.02 cm at random, and every tenth of them
// by a centimetre outward, as a muscle that bulges. The pivot must lie within five of its own standard deviations across
// the axis, and within 1 % of the segment.
func TestNoiseAndBulgesDoNotLeadAstray(t *testing.T) {
	for _, c := range character.All() {
		for seed := range uint64(5) {
			random := rand.New(rand.NewPCG(seed, 7))
			doc, err := gltf.Read(c.GLB(), nil)
			if err != nil {
				t.Fatal(err)
			}
			for _, m := range doc.Meshes {
				for _, p := range m.Primitives {
					for _, target := range p.Targets {
						for _, a := range target {
							if a.Name != "POSITION" {
								continue
							}
							values := doc.Floats(a.Accessor)
							for i := range values {
								values[i] += float32(0.0002 * random.NormFloat64())
								if i/3%10 == 0 && i%3 == 1 {
									values[i] += 0.01
								}
							}
							if err := doc.SetFloats(a.Accessor, values); err != nil {
								t.Fatal(err)
							}
						}
					}
				}
			}
			b, joint, truth, segment := read(t, c, doc)
			target, err := b.Target("morph:#0")
			if err != nil {
				t.Fatal(err)
			}
			p, err := Find(b, joint, []*body.Target{target}, false)
			if err != nil {
				t.Fatal(err)
			}
			miss := p.Pivot.Sub(truth)
			miss = miss.Sub(p.Axis.Scale(p.Axis.Dot(miss)))
			if !(miss.Len() <= 5*p.Sigma) || !(miss.Len() <= 0.01*segment) || !p.Known {
				t.Errorf("%s, seed %d: missed by %.3g cm, %.2g of the segment; the standard deviation is told to be %.3g", c.ID, seed, miss.Len(), miss.Len()/segment, p.Sigma)
			}
		}
	}
}
