package propose

import (
	"math"
	"testing"

	"centrode/calc/body"
	"centrode/calc/centre"
	"centrode/calc/keyfit"
	"centrode/calc/rigid"
)

// derived: keys stand in the frame of the parent, so the line about which they turn is carried into the world by that frame.
func TestTheAxisOfKeysIsOneOfTheWorld(t *testing.T) {
	b, joint := demo(t, "odalys-arm")
	frame := b.ParentFrame(joint)
	for _, local := range []rigid.Vec{{X: 1}, {Y: 1}, {X: 0.6, Z: -0.8}} {
		offset := rigid.Vec{X: 0.5, Y: -0.25, Z: 1}
		var keys []keyfit.Key
		for _, angle := range []float64{0.4, 0.9, 1.5} {
			turn, _ := rigid.Turn(local, angle)
			keys = append(keys, keyfit.Key{R: turn, T: offset.Sub(turn.Apply(offset)), Weight: 1})
		}
		p := Proposal{Joint: joint, frame: frame}
		p.fromKeys(b, keys)
		want := frame.L.Apply(local).Unit()
		if p.Determined != centre.Line || !(math.Abs(p.Axis.Dot(want)) > 1-1e-9) {
			t.Errorf("about %v of the parent: determined %v, axis %v, want %v", local, p.Determined, p.Axis, want)
		}
	}
	if turned := frame.L.Apply(rigid.Vec{X: 1}).Unit().Sub(rigid.Vec{X: 1}).Len(); !(turned > 1e-6) {
		t.Fatalf("the parent stands as the world does, so the test shows nothing")
	}
}

// Landmarks that are left out take their weights with them.
func TestThinnedLandmarksKeepTheirWeights(t *testing.T) {
	b, joint := demo(t, "odalys-arm")
	n := len(b.Rest) / 3
	vertices, weights := make([]int, mostPosed/2), make([]float64, mostPosed/2)
	for i := range vertices {
		vertices[i] = i % n
		weights[i] = float64(i % n)
	}
	p := Proposal{Joint: joint}
	some, counts, err := p.thin(b, []*body.Target{{Kind: "morph"}, {Kind: "morph"}, {Kind: "morph"}}, vertices, weights)
	if err != nil || len(some) != mostPosed/3 || len(counts) != len(some) {
		t.Fatalf("%d landmarks, %d weights, %v; want %d", len(some), len(counts), err, mostPosed/3)
	}
	for i, v := range some {
		if counts[i] != float64(v) {
			t.Fatalf("landmark %d is vertex %d and counts %v", i, v, counts[i])
		}
	}
}
