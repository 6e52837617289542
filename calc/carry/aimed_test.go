package carry

import (
	"math"
	"slices"
	"testing"

	"centrode/calc/affine"
	"centrode/calc/body"
	"centrode/calc/character"
	"centrode/calc/gltf"
	"centrode/calc/rigid"
)

// TestWhatIsToldBelowAParentThatIsAimed: a miss is found in the new frame of the parent, and what stands above and is scaled unevenly by
// the clip makes another length of it than of the same numbers in the old frame.
func TestWhatIsToldBelowAParentThatIsAimed(t *testing.T) {
	c, _ := character.Find("odalys-arm")
	for _, to := range []rigid.Vec{{X: 1, Y: -12, Z: 2}, {X: -3, Y: 4, Z: 14}} {
		doc, err := gltf.Read(c.GLB(), nil)
		if err != nil {
			t.Fatal(err)
		}
		if err := doc.AddTrack(0, 0, "scale", []float32{0, 2}, []float32{1, 1, 1, 1, 8, 0.25}, "LINEAR"); err != nil {
			t.Fatal(err)
		}
		before, p, glb, _ := movedIn(t, c, doc.GLB(), Options{To: to, Aim: true, Leave: true})
		parent := before.Joints[before.Joints[p.Joint].Parent].Node
		if !slices.ContainsFunc(p.Places, func(place Place) bool { return place.Node == parent && place.Moved }) {
			t.Fatalf("to %v: the parent is not aimed, so the test shows nothing", to)
		}
		told := told(p)
		if worst := strays(before, load(t, c.ID, glb), p.Joint); !(math.Abs(worst-told) <= 0.01*worst) || worst < 1 {
			t.Errorf("to %v: told %g cm, but a joint strays by %g", to, told, worst)
		}
	}
}

// TestTheAxisOfATieDoesNotDependOnHowTheCharacterStands: a child that lies between two axes of its joint is pointed at by the one that
// is named first, whatever rounding a turn of the whole character leaves.
func TestTheAxisOfATieDoesNotDependOnHowTheCharacterStands(t *testing.T) {
	for _, c := range []struct {
		child rigid.Vec
		want  string
	}{{rigid.Vec{X: 0.3, Y: 0.3}, "+x"}, {rigid.Vec{X: -0.3, Z: 0.3}, "-x"}, {rigid.Vec{Y: -0.3, Z: -0.3}, "-y"}, {rigid.Vec{X: 0.3, Y: -0.3, Z: 0.3}, "+x"}} {
		for k := range 200 {
			turn, _ := rigid.Turn(rigid.Vec{X: 1, Y: 2, Z: float64(k % 7)}, float64(k))
			b := chain(t)
			b.Joints[1].World = affine.Map{L: turn, T: rigid.Vec{X: 30}}
			child := slices.IndexFunc(b.Joints, func(j body.Joint) bool { return j.Name == "hand" })
			b.Joints[child].World.T = b.Joints[1].World.Apply(c.child.Scale(gltf.CmPerUnit))
			if got := along(b, 1); got != c.want {
				t.Fatalf("child at %v, turned by %d: %s, want %s", c.child, k, got, c.want)
			}
		}
	}
}

// TestTheTangentsOfASplineAreNotShifted: below a joint that moves, the keys of a cubic track move the other way and both tangents stay, so
// that the joint goes its old way at every moment between the keys. derived: a tangent is a difference, in which a shift cancels.
func TestTheTangentsOfASplineAreNotShifted(t *testing.T) {
	b := chain(t)
	hand, err := b.Find("hand")
	if err != nil {
		t.Fatal(err)
	}
	clip := b.Doc.AddAnimation("slide")
	values := []float32{0, 0, 0, 0.3, 0, 0, 0.2, -0.1, 0.4, 0.1, 0.3, -0.2, 0.5, 0.1, 0, -0.3, 0, 0.2, 0, 0.1, 0.1, 0.3, 0, 0, 0, 0, 0}
	if err := b.Doc.AddTrack(clip, b.Joints[hand].Node, "translation", []float32{0, 1, 1.5}, values, "CUBICSPLINE"); err != nil {
		t.Fatal(err)
	}
	before := load(t, "chain", b.Doc.GLB())
	elbow, err := before.Find("elbow")
	if err != nil {
		t.Fatal(err)
	}
	for _, aim := range []bool{false, true} {
		p, err := Make(before, elbow, Options{To: rigid.Vec{X: 28, Y: 6, Z: -3}, Aim: aim})
		if err != nil {
			t.Fatal(err)
		}
		glb, _, err := p.GLB()
		if err != nil {
			t.Fatal(err)
		}
		if worst := strays(before, load(t, "chain", glb), elbow); !(worst <= 1e-4) || len(p.Tracks) != 1 || p.Tracks[0].How != "shifted" {
			t.Errorf("aim %v: a joint strays by %g cm; tracks %+v", aim, worst, p.Tracks)
		}
	}
}
