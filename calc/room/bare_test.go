package room

import (
	"strings"
	"testing"

	"centrode/calc/character"
)

// The room poses and measures a surface; a skeleton with its clips alone is refused, also as a target, with what can be done.
func TestAFileOfMotionAloneIsRefusedWithWhatTheRoomNeeds(t *testing.T) {
	motion := []File{{Name: "motion.gltf", Data: []byte(`{"asset":{"version":"2.0"},"nodes":[{"name":"hip","children":[1]},{"name":"knee"}]}`)}}
	refused := func(err error) {
		t.Helper()
		if err == nil || !strings.HasPrefix(err.Error(), "motion.gltf: shows no surface of triangles") || !strings.Contains(err.Error(), "take the file that holds the surface too") || !strings.Contains(err.Error(), "centrode rig move") {
			t.Errorf("refused with %v", err)
		}
	}
	_, err := Open(motion)
	refused(err)
	c := character.All()[0]
	r, err := Open([]File{{Name: c.ID + ".glb", Data: c.GLB()}})
	if err != nil {
		t.Fatal(err)
	}
	refused(r.AddTarget(motion))
}
