package room

import (
	"testing"

	"centrode/calc/rigid"
)

// FuzzOpen opens broken files; what opens must pose, measure and plan without a panic and without a number that is none.
func FuzzOpen(f *testing.F) {
	sound := newLimb().file(f)
	f.Add(sound)
	f.Add(sound[:len(sound)/2])
	for _, at := range []int{13, 30, 200, 900, 1500, len(sound) - 500, len(sound) - 20} {
		broken := append([]byte(nil), sound...)
		broken[at] ^= 0x55
		f.Add(broken)
	}
	f.Fuzz(func(t *testing.T, data []byte) {
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
			r.Measure()
			r.Describe()
			for _, target := range []string{"morph:0", "clip:0"} {
				_, _ = r.Propose(joint, []string{target}) // may be refused, in words
			}
			_, _ = r.Plan(a, Options{Orient: "aim"})
		}
	})
}
