package carry

import (
	"strings"
	"testing"

	"centrode/calc/jsontree"
	"centrode/calc/rigid"
)

// TestWhatHangsOnAParentThatTurnsIsTold: a camera there looks elsewhere afterwards.
func TestWhatHangsOnAParentThatTurnsIsTold(t *testing.T) {
	for _, aim := range []bool{false, true} {
		b := chain(t)
		b.Doc.Root().Member("nodes").At(b.Joints[0].Node).Set("camera", jsontree.NewInt(0))
		p, err := Make(b, 1, Options{To: rigid.Vec{X: 30, Y: 4}, Aim: aim})
		if err != nil {
			t.Fatal(err)
		}
		if told := strings.Contains(strings.Join(p.Lose(), "\n"), "on root; it turns with the joint and is not adjusted."); told != aim {
			t.Errorf("aim %v: told %v: %q", aim, told, p.Lose())
		}
	}
}
