package carry

import (
	"testing"

	"centrode/calc/character"
	"centrode/calc/gltf"
	"centrode/calc/rigid"
)

// TestADroppedTranslationDoesNotShortenItsClip: a clip lasts as long as its longest track, and where that is the one whose keys
// go, the clip would end sooner and begin again sooner.
func TestADroppedTranslationDoesNotShortenItsClip(t *testing.T) {
	c, _ := character.Find("odalys-arm")
	for _, k := range []struct {
		times []float32
		left  int
	}{{[]float32{0, 1}, 1}, {[]float32{0, 9}, 2}, {[]float32{9}, 1}} {
		doc, err := gltf.Read(c.GLB(), nil)
		if err != nil {
			t.Fatal(err)
		}
		b := load(t, c.ID, c.GLB())
		joint, _ := b.Find(c.Flawed)
		for channel := range doc.Animations[0].Channels {
			if track := doc.Track(0, channel); track.Node == b.Joints[joint].Node && track.Path == "translation" {
				if err := doc.SetTrack(0, channel, k.times, track.Values[:3*len(k.times)], "LINEAR"); err != nil {
					t.Fatal(err)
				}
			}
		}
		before, p, glb, _ := movedIn(t, c, doc.GLB(), Options{To: rigid.Vec{X: 1}, Leave: true})
		if was, is := before.Clips[0].Seconds, load(t, c.ID, glb).Clips[0].Seconds; was != is {
			t.Errorf("keys at %v: the clip lasted %g s and lasts %g s", k.times, was, is)
		}
		for _, track := range p.Tracks {
			if track.How == "dropped" && track.After != k.left {
				t.Errorf("keys at %v: %d keys are left; want %d", k.times, track.After, k.left)
			}
		}
	}
}

// TestTheFarthestOfADroppedSplineIsTold: a spline whose handles are long turns the joint most within a small part of the time
// between two keys, and what is told is the farthest there, not the farthest of a few moments.
func TestTheFarthestOfADroppedSplineIsTold(t *testing.T) {
	c, _ := character.Find("odalys-arm")
	for _, handle := range []float32{-0.5, -3, -8} {
		doc, err := gltf.Read(c.GLB(), nil)
		if err != nil {
			t.Fatal(err)
		}
		b := load(t, c.ID, c.GLB())
		joint, _ := b.Find(c.Flawed)
		for k := range doc.Animations[0].Channels {
			track := doc.Track(0, k)
			if track.Node != b.Joints[joint].Node {
				continue
			}
			times, values := []float32{0, 2}, append([]float32{}, track.Values[:3]...)
			values, kind := append(values, values...), "LINEAR"
			if track.Path == "rotation" {
				kind = "CUBICSPLINE"
				values = []float32{0, 0, 0, 0, 0, 0, 0, 1, 0, 0, handle, 3 * handle, 0, 0, 0, 0, 0, 0, 0, 1, 0, 0, 0, 0}
			}
			if err := doc.SetTrack(0, k, times, values, kind); err != nil {
				t.Fatal(err)
			}
		}
		before, p, glb, _ := movedIn(t, c, doc.GLB(), Options{To: rigid.Vec{X: 3, Y: 1}, Leave: true})
		told := told(p)
		if worst := strays(before, load(t, c.ID, glb), p.Joint); !(worst <= 1.0001*told) || !(told <= 1.001*worst) || worst < 1 {
			t.Errorf("handle %g: told %g cm, but a joint strays by %g", handle, told, worst)
		}
	}
}

// TestASheetOfAMoveSaysWhatBecomesOfItsClips: on paper nothing else tells a lead what the move does to what is animated, and whoever carries it
// out which of two files was decided on.
func TestASheetOfAMoveSaysWhatBecomesOfItsClips(t *testing.T) {
	c, _ := character.Find("odalys-arm")
	for _, o := range []struct {
		Options
		orient, animation string
	}{{Options{}, "keep", "keep"}, {Options{Leave: true}, "keep", "leave"}, {Options{Aim: true}, "aim, +x", "keep"}, {Options{Aim: true, AimAxis: "-y", Leave: true}, "aim, -y", "leave"}} {
		o.To = rigid.Vec{X: 30, Y: 142, Z: 1.8}
		_, p, _, _ := movedIn(t, c, c.GLB(), o.Options)
		most := 0.0
		for _, track := range p.Tracks {
			most = max(most, track.Error)
		}
		if n := p.Entry(nil).Numbers; len(n) != 3 || n[0].Candidate.Text != o.orient || n[1].Candidate.Text != o.animation || n[2].Candidate.Number != most || most == 0 {
			t.Errorf("%+v: the sheet states %+v, want %g", o, n, most)
		}
	}
}
