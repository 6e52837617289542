package room

import (
	"math"
	"testing"

	"centrode/calc/rigid"
)

// derived: a limb and its mirror image, turned alike, squash the same flesh, and their normals are mirror images.
// A scale of −1 leaves the corners of triangles in their order.
func TestAMirroredLimbIsSquashedAndLitLikeTheOther(t *testing.T) {
	plain, mirrored := newLimb(), newLimb()
	mirrored.scale = -1
	var changes [2]change
	var normals [2][]float32
	for i, l := range []limb{plain, mirrored} {
		r := open(t, l.file(t))
		if err := r.Pose(Ask{Joint: elbow(t, r), Angle: 100, Clip: -1, Point: -1}); err != nil {
			t.Fatal(err)
		}
		changes[i], _ = r.changed(&r.views[0])
		r.Surface(false)
		normals[i] = r.normals
	}
	if off := math.Abs(changes[1].overlap - changes[0].overlap); !(changes[0].overlap > 1) || !(off < 1e-3) {
		t.Errorf("the squash is %.3f cm³, of the mirror image %.3f", changes[0].overlap, changes[1].overlap)
	}
	for k, x := range normals[0] {
		if sum := math.Abs(float64(x + normals[1][k])); !(sum < 1e-4) {
			t.Fatalf("vertex %d: a normal and its mirror image differ by %g", k/3, sum)
		}
	}
}

// derived: a scale of −1 mirrors at a point, and what nobody says how to fold folds like its mirror image.
func TestAMirroredLimbFoldsTheWayOfTheOther(t *testing.T) {
	mirrored := newLimb()
	mirrored.scale = -1
	var ends []rigid.Vec
	for _, l := range []limb{newLimb(), mirrored} {
		r := open(t, l.file(t))
		shoulder, err := r.body.Find("shoulder") // nothing stands above it, and no clip turns it
		if err != nil {
			t.Fatal(err)
		}
		if err := r.Pose(Ask{Joint: shoulder, Angle: 60, Clip: -1, Point: -1}); err != nil {
			t.Fatal(err)
		}
		hand, _ := r.body.Find("hand")
		ends = append(ends, r.worlds[0][hand].T)
	}
	if off := ends[0].Add(ends[1]).Len(); !(off < 1e-6) {
		t.Errorf("the hand ends at %v, that of the mirror image at %v: %.3g cm from its place", ends[0], ends[1], off)
	}
}
