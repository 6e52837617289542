package room

import (
	"bytes"
	"encoding/binary"
	"testing"

	"centrode/calc/rigid"
	"centrode/tests/hard/bound"
)

// FuzzOpen opens a file in which four bytes have been overwritten in two places, in its text or in its numbers; what opens
// must pose, measure, fit and plan without a panic and without a number that is none.
func FuzzOpen(f *testing.F) {
	sound := newLimb().file(f)
	f.Add(uint32(0), uint32(0), uint32(0), uint32(0))
	for _, at := range []uint32{13, 30, 200, 900, 1500, 4000, uint32(len(sound)) - 500, uint32(len(sound)) - 20} {
		f.Add(at, uint32(0x7f7fffff), at/2, uint32(0x31313131)) // the greatest float32; four ones in the text
	}
	f.Fuzz(func(t *testing.T, first, one, second, two uint32) {
		defer bound.Watch(t, len(sound))()
		data := append([]byte(nil), sound...)
		if first != 0 {
			binary.LittleEndian.PutUint32(data[int(first)%(len(data)-4):], one)
			binary.LittleEndian.PutUint32(data[int(second)%(len(data)-4):], two)
		}
		r, err := Open([]File{{"limb.glb", data}})
		if err != nil {
			return
		}
		for joint := range min(len(r.body.Joints), 4) {
			a := Ask{Joint: joint, Clip: len(r.body.Clips) - 1, Time: 0.3, Angle: 70, Candidate: true, Pivot: r.body.At(joint).Add(rigid.Vec{X: 1, Y: 2}), Passes: 2, Point: -1, Trial: joint == 1}
			if r.check(a) != nil {
				continue // a file may place its joints farther than a candidate may stand
			}
			if err := r.Pose(a); err != nil {
				t.Fatal(err)
			}
			r.Surface(true)
			for _, text := range [][]byte{r.Measure(), r.Describe()} {
				for _, bad := range []string{"NaN", "Inf", ":null", "[null"} {
					if bytes.Contains(text, []byte(bad)) {
						t.Fatalf("joint %d: %s", joint, text)
					}
				}
			}
			for _, target := range []string{"morph:#0", "clip:#0"} {
				_, _ = r.Propose(joint, []string{target}) // may be refused, in words
			}
			_, _ = r.Plan(a, Options{Orient: "aim"})
		}
	})
}
