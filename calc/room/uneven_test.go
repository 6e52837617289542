package room

import (
	"math"
	"testing"

	"centrode/calc/affine"
	"centrode/calc/gltf"
	"centrode/calc/rigid"
)

// uneven is the limb with a shoulder that scales by other amounts along its axes and is turned askew, so that it shears as well.
func uneven(t *testing.T) *Room {
	t.Helper()
	doc, err := gltf.Read(newLimb().file(t), nil)
	if err != nil {
		t.Fatal(err)
	}
	q, _ := rigid.Quat{X: 0.2, Y: -0.3, Z: 0.4, W: 0.8}.Unit()
	doc.SetLocal(0, affine.FromTRS(rigid.Vec{}, rigid.Quat{W: 1}, rigid.Vec{X: 1, Y: 2.5, Z: 1.5}))
	doc.SetLocal(1, affine.FromTRS(rigid.Vec{}, q, rigid.Vec{X: 1, Y: 0.6, Z: -1}))
	return open(t, doc.GLB())
}

// A turn below an uneven scale leads along an ellipse. derived: the way is followed in small steps of the dial, in the world.
func TestAnArcBelowAnUnevenScaleIsThatOfAnEllipse(t *testing.T) {
	r := uneven(t)
	joint := elbow(t, r)
	hand, err := r.body.Find("hand")
	if err != nil {
		t.Fatal(err)
	}
	nearest, off := 0, math.Inf(1) // a vertex that the elbow holds wholly moves as the hand does
	for v := range len(r.body.Rest) / 3 {
		if d := r.body.Vertex(v).Sub(r.body.At(hand)).Len(); d < off && r.body.Share(v, joint) == 1 {
			nearest, off = v, d
		}
	}
	for _, whole := range []float64{120, -70, 400} {
		const steps = 2000
		back, _ := r.body.Joints[joint].World.Inverse()
		own, want := back.Apply(r.body.Vertex(nearest)), 0.0
		last := r.body.Vertex(nearest)
		for k := 1; k <= steps; k++ {
			if err := r.Pose(Ask{Joint: joint, Axis: rigid.Vec{X: 0.3, Z: 1}, Angle: whole * float64(k) / steps, Clip: -1, Point: nearest}); err != nil {
				t.Fatal(err)
			}
			at := r.worlds[0][joint].Apply(own)
			want, last = want+at.Sub(last).Len(), at
		}
		if _, arc := r.way(&r.views[0], nearest); !(math.Abs(arc-want) <= 1e-4*want) || !(want > 5) {
			t.Errorf("turned by %v°, the arc is %v cm, want %v", whole, arc, want)
		}
	}
}

// derived: what lies in a plane of the frame lies in its image, so differences of images stand square on the normal.
func TestAPlaneBelowAnUnevenScaleStaysAPlane(t *testing.T) {
	frame := affine.FromTRS(rigid.Vec{X: 3, Y: 1}, rigid.Quat{X: 0.6, W: 0.8}, rigid.Vec{X: 1, Y: 3, Z: -0.5})
	pivot, normal := rigid.Vec{X: 1, Y: 2, Z: 3}, rigid.Vec{X: 2, Y: -1, Z: 0.5}.Unit()
	f := side(frame, pivot, normal)
	n := rigid.Vec{X: f.Normal[0], Y: f.Normal[1], Z: f.Normal[2]}
	u, v := rigid.Basis(normal)
	for _, in := range []rigid.Vec{u, v} {
		if d := frame.Apply(pivot.Add(in)).Sub(rigid.Vec{X: f.Pivot[0], Y: f.Pivot[1], Z: f.Pivot[2]}); !(math.Abs(d.Dot(n)) <= 1e-12) {
			t.Errorf("%v of the plane is %v off it", in, d.Dot(n))
		}
	}
	if ahead := frame.L.Apply(normal).Dot(n); !(ahead > 0) {
		t.Errorf("the normal points back: %v", ahead)
	}
}
