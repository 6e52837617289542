package carry

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"centrode/calc/character"
	"centrode/calc/quantity"
	"centrode/calc/rigid"
)

// TestASegmentStraysNoFartherThanItMay: the wider the bound, the fewer keys, until rotation alone does; and what is told is what the written
// file does.
func TestASegmentStraysNoFartherThanItMay(t *testing.T) {
	for _, c := range character.All() {
		for _, aim := range []bool{false, true} {
			keys, alone := math.MaxInt, 0
			// 5e-5 cm is what single precision leaves of a place metres away
			for _, within := range []float64{1e-4, 1e-3, 1e-2, 0.1, 1, 10, 100} {
				before, p, glb, _ := movedIn(t, c, c.GLB(), Options{To: rigid.Vec{X: 0.6, Y: 0.3, Z: -0.5}, Aim: aim, Within: within})
				worst := strays(before, load(t, c.ID, glb), p.Joint)
				if worst > 1.02*within || worst > 1.02*told(p)+5e-5 || told(p) > 1.02*within {
					t.Errorf("%s, aim %v: may stray by %g cm, is told to stray by %g and strays by %g", c.ID, aim, within, told(p), worst)
				}
				now := 0
				for _, track := range p.Tracks {
					if track.Node == p.node() && track.Path == "translation" {
						now += track.After
						if track.How == "dropped" {
							alone++
						}
					}
				}
				if now > keys {
					t.Errorf("%s, aim %v: %d keys for %g cm, more than %d for less", c.ID, aim, now, within, keys)
				}
				keys = now
			}
			if alone == 0 {
				t.Errorf("%s, aim %v: rotation alone keeps within a metre, and is not taken", c.ID, aim)
			}
		}
	}
}

// TestWhatRotationAloneWouldStrayIsABoundToTypeIn: the sentence names a bound, in two digits, with which the keys are gone; just below it they
// stay. What it says is what leaving the rotations alone says.
func TestWhatRotationAloneWouldStrayIsABoundToTypeIn(t *testing.T) {
	for _, c := range character.All() {
		to := rigid.Vec{X: 0.6, Y: 0.3, Z: -0.5}
		_, kept, _, _ := movedIn(t, c, c.GLB(), Options{To: to})
		_, left, _, _ := movedIn(t, c, c.GLB(), Options{To: to, Leave: true})
		i := 0
		for kept.Tracks[i].Node != kept.node() || kept.Tracks[i].Path != "translation" {
			i++
		}
		track := kept.Tracks[i]
		if track.Alone == nil || *track.Alone != told(left) {
			t.Fatalf("%s: rotation alone is told to stray by %v, and strays by %g", c.ID, track.Alone, told(left))
		}
		_, said, found := strings.Cut(track.say(), ", and would by ")
		bound, err := quantity.Parse(strings.TrimSuffix(said, " if it only turned."), quantity.Length)
		if !found || err != nil || bound < *track.Alone || bound > 1.1**track.Alone {
			t.Fatalf("%s: %q for %g cm", c.ID, track.say(), *track.Alone)
		}
		for within, want := range map[float64]string{bound: "dropped", 0.99 * *track.Alone: "compensated"} {
			_, p, _, _ := movedIn(t, c, c.GLB(), Options{To: to, Within: within})
			if got := p.Tracks[i].How; got != want {
				t.Errorf("%s: may stray by %g cm: %s; want %s", c.ID, within, got, want)
			}
			lost := fmt.Sprint(p.Lose())
			if says := strings.Contains(lost, "since rotation alone strays no farther than was allowed"); says != (want == "dropped" && p.Tracks[i].Before > 0) {
				t.Errorf("%s: may stray by %g cm: what could be lost is %s", c.ID, within, lost)
			}
		}
	}
}

func TestABoundThatIsNoneIsRefused(t *testing.T) {
	b := chain(t)
	for _, within := range []float64{-1, math.NaN(), math.Inf(1), 2e6} {
		if _, err := Make(b, 1, Options{To: b.At(1), Within: within}); err == nil || !strings.Contains(err.Error(), "how far a segment may stray") {
			t.Errorf("%g cm: %v", within, err)
		}
	}
}
