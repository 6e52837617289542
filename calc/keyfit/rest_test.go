package keyfit

import (
	"math/rand/v2"
	"testing"

	"centrode/calc/rigid"
	"centrode/tests/scatter"
)

// The lesson "when animation exists" says how the rotation of a channel becomes the turn from rest in the parent's frame. Here a
// segment is posed about the pivot that it should have, and read off a joint that misses that pivot and rests turned by O.
func TestKeysCountFromRestInTheParentsFrame(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 21))
	for i := range 300 {
		rests, _ := rigid.Turn(scatter.Vec(r, 1), 0.5+2*r.Float64())
		offset := scatter.Vec(r, 3)
		var taken, apart, asTheyStand []Key
		for range 3 + r.IntN(5) {
			posed, _ := rigid.Turn(scatter.Vec(r, 1), 0.3+2*r.Float64()) // of the segment, in the parent's frame
			whole := posed.Mul(rests)                                    // what a channel holds that rests at O
			keyed := rests.Transpose().Mul(whole)                        // what it holds where O is kept apart: O·keyed is the whole
			moved := offset.Sub(posed.Apply(offset))
			taken = append(taken, Key{whole.Mul(rests.Transpose()), moved, 1})
			apart = append(apart, Key{rests.Mul(keyed).Mul(rests.Transpose()), moved, 1})
			asTheyStand = append(asTheyStand, Key{whole, moved, 1})
		}
		for what, keys := range map[string][]Key{"R = R_key·O⁻¹": taken, "R = O·R_key·O⁻¹": apart} {
			if off := Fit(keys).Offset.Sub(offset).Len(); !(off < 1e-9) {
				t.Errorf("case %d, %s: off by %.1e, allowed 1e-9", i, what, off)
			}
		}
		if off := Fit(asTheyStand).Offset.Sub(offset).Len(); off < 1e-3 {
			t.Errorf("case %d: the channels as they stand are off by only %.1e, so nothing needs to be taken out", i, off)
		}
	}
}
