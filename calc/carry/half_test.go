package carry

import (
	"strings"
	"testing"

	"centrode/calc/character"
	"centrode/calc/gltf"
	"centrode/calc/rigid"
)

// TestHalfATurnGoesTheSameWayRound: between two keys that lie half a turn apart both ways are the shorter one, and a last digit
// that is rounded when the keys are turned must not send the joint round the other way.
func TestHalfATurnGoesTheSameWayRound(t *testing.T) {
	c, _ := character.Find("odalys-arm")
	for _, axis := range [][3]float32{{1, 0, 0}, {0, 1, 0}, {0, 0, 1}, {0.6, 0.8, 0}, {0, -0.6, 0.8}, {-0.8, 0, 0.6}} {
		doc, err := gltf.Read(c.GLB(), nil)
		if err != nil {
			t.Fatal(err)
		}
		for k := range doc.Animations[0].Channels {
			if track := doc.Track(0, k); track.Path == "rotation" {
				values := []float32{0, 0, 0, 1, axis[0], axis[1], axis[2], 0, 0, 0, 0, -1, -axis[0], -axis[1], -axis[2], 0}
				if err := doc.SetTrack(0, k, []float32{0, 0.5, 1, 2}, values, "LINEAR"); err != nil {
					t.Fatal(err)
				}
			}
		}
		before, p, glb, _ := movedIn(t, c, doc.GLB(), Options{To: rigid.Vec{X: 1, Y: -0.5, Z: 2}, Aim: true})
		if worst, told := strays(before, load(t, c.ID, glb), p.Joint), told(p); !(worst <= told+1e-4) {
			t.Errorf("about %v: a joint strays by %g cm; told %g", axis, worst, told)
		}
		if will := strings.Join(p.Will(), "\n"); !strings.Contains(will, "4 keys get new values, exactly; 3 keys are new, between two that lie half a turn apart.") {
			t.Errorf("about %v: told %q", axis, will)
		}
	}
}
