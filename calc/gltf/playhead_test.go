package gltf

import (
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"centrode/tests/hard/bound"
)

// turning is a track with so many keys of a rotation, ten a second, neither all of one sign nor of length 1.
func turning(kind string, keys int) Track {
	r := rand.New(rand.NewPCG(3, uint64(keys)))
	t := Track{Path: "rotation", Interpolation: kind, Width: 4}
	each := 4
	if kind == "CUBICSPLINE" {
		each = 12
	}
	for i := range keys {
		t.Times = append(t.Times, float32(i)/10)
		for range each {
			t.Values = append(t.Values, float32(r.NormFloat64()))
		}
	}
	return t
}

// TestAPlayheadReadsWhatTheTrackReads, whatever moment it was asked for before.
func TestAPlayheadReadsWhatTheTrackReads(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	for _, kind := range interpolations() {
		for _, keys := range []int{1, 2, 9} {
			track := turning(kind, keys)
			head := Playhead{Track: track}
			for i := range 2000 {
				at := r.Float64()*1.2 - 0.1
				switch i % 4 {
				case 0:
					at = float64(track.Times[r.IntN(keys)])
				case 1:
					at = math.Nextafter(float64(track.Times[r.IntN(keys)]), -1)
				}
				var want, got [4]float64
				if track.At(at, want[:]); i%3 == 0 {
					head.At(at+0.001, got[:])
				}
				if head.At(at, got[:]); got != want {
					t.Fatalf("%s, %d keys, at %v: %v, want %v", kind, keys, at, got, want)
				}
			}
		}
	}
}

// TestAPlayheadIsQuickBetweenTwoKeys: it works out the way from one rotation to the next once.
func TestAPlayheadIsQuickBetweenTwoKeys(t *testing.T) {
	track := turning("LINEAR", 1000)
	head := Playhead{Track: track}
	took := func(at func(float64, []float64)) time.Duration {
		best := time.Hour
		var out [4]float64
		for range 9 {
			before := bound.Spent()
			for i := range 16 * (len(track.Times) - 1) {
				at(float64(i)/160, out[:])
			}
			best = min(best, bound.Spent()-before)
		}
		return best
	}
	if quick, slow := took(head.At), took(track.At); quick > slow*7/10 {
		t.Errorf("%v, and %v of the track itself", quick, slow)
	}
}
