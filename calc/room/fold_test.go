package room

import (
	"math"
	"strings"
	"testing"

	"centrode/calc/affine"
	"centrode/calc/gltf"
	"centrode/calc/rigid"
)

// derived: a segment that goes straight on and is bent by an angle leaves a wedge, and the plane that halves it stands square on the
// direction half-way; of a segment that is folded flat that is a quarter turn from where it came.
func TestTheHalvingPlaneStandsHalfWay(t *testing.T) {
	straight := fold{before: rigid.Vec{X: 1}, after: rigid.Vec{X: 1}}
	tilted := fold{before: rigid.Vec{X: 1, Z: 0.3}.Unit(), after: rigid.Vec{X: 1, Z: -0.7}.Unit()} // what lies along the axis does not count
	for _, f := range []fold{straight, tilted} {
		for _, degrees := range []float64{-179.99, -175, -120, -30, 0.5, 60, 90, 150, 174, 179, 179.99} {
			angle := degrees * math.Pi / 180
			turn, _ := rigid.Turn(rigid.Vec{Z: 1}, angle)
			normal, ok := f.halving(affine.Map{L: turn})
			sin, cos := math.Sincos(angle / 2)
			if off := normal.Sub(rigid.Vec{X: cos, Y: sin}).Len(); !ok || !(off < 1e-9) {
				t.Errorf("bent by %v°: %v, %v; want %v, %v", degrees, normal, ok, cos, sin)
			}
		}
	}
	for name, f := range map[string]fold{"both along the axis": {before: rigid.Vec{Z: 1}, after: rigid.Vec{Z: 1}},
		"the segment alone": {before: rigid.Vec{X: 1}, after: rigid.Vec{Z: 1}}, "the one above alone": {before: rigid.Vec{Z: 1}, after: rigid.Vec{X: 1}}} {
		turn, _ := rigid.Turn(rigid.Vec{Z: 1}, 1)
		if _, ok := f.halving(affine.Map{L: turn}); ok {
			t.Errorf("%s: what twists has a fold", name)
		}
	}
}

// derived: a point beside the plane of the turn goes round a circle about the axis, whose radius is its distance from that line.
func TestAnArcIsAboutTheAxis(t *testing.T) {
	r := open(t, newLimb().file(t))
	joint := elbow(t, r)
	at := r.body.At(joint)
	for vertex := range len(r.body.Rest) / 3 {
		if err := r.Pose(Ask{Joint: joint, Axis: rigid.Vec{Z: 2}, Angle: 60, Clip: -1, Point: vertex}); err != nil {
			t.Fatal(err)
		}
		d := r.body.Vertex(vertex).Sub(at)
		want := math.Sqrt(d.X*d.X+d.Y*d.Y) * math.Pi / 3
		if _, arc := r.way(&r.views[0], r.point()); !(math.Abs(arc-want) < 1e-9) {
			t.Fatalf("vertex %d, %v from the joint: an arc of %v, want %v", vertex, d, arc, want)
		}
	}
}

// derived: keys that the truth explains, t = (I − R)·(truth − current), leave (I − R)·(truth − candidate) to any other candidate.
func TestWhatRemainsAboutAnotherCandidate(t *testing.T) {
	l := newLimb()
	r := open(t, l.file(t))
	for _, time := range []float64{0.5, 1, 1.5, 2} { // at keys: between them a straight translation is not what the turn asks for
		for _, beside := range []rigid.Vec{{X: 0.02}, {Y: -0.03, Z: 0.01}} {
			a := Ask{Joint: elbow(t, r), Clip: 0, Time: time, Candidate: true, Pivot: l.world(l.truth.Add(beside)), Point: -1}
			if err := r.Pose(a); err != nil {
				t.Fatal(err)
			}
			_, candidate := r.Owed()
			d := l.world(beside).Scale(-1)
			if want := d.Sub(r.views[0].turn.L.Apply(d)); !(candidate.Sub(want).Len() < 1e-4) {
				t.Errorf("at %v s, %v beside the truth: %v remains, want %v", time, beside, candidate, want)
			}
		}
	}
}

func TestTheSentenceIsOfWhatIsOwed(t *testing.T) {
	r := open(t, newLimb().file(t))
	r.ask.Joint = elbow(t, r)
	for _, c := range []struct {
		candidate, current, owed float64
		want                     string
	}{
		{0, 0, 0, "nothing else is keyed"}, {0, 2, 0, "keys 2.00 cm of translation"}, {1, 0, 0, "lead to the same pose"},
		{1, 2, 0, "rotation alone is enough"}, {1, 2, 1, "owes 2.00 cm of translation here, about the candidate 1.00 cm"},
		{1, 0, 1, "owes 0.00 cm of translation here, about the candidate 1.00 cm"},
	} {
		r.ask.Candidate = c.candidate > 0
		if got := strings.ReplaceAll(r.sentence(rigid.Vec{Y: c.current}, rigid.Vec{X: c.owed}), "\u00a0", " "); !strings.Contains(got, c.want) {
			t.Errorf("%v cm and %v cm: %q; want %q", c.current, c.owed, got, c.want)
		}
	}
}

// A joint without a child carries a piece as long as it is said to be, straight on from its parent.
func TestASegmentGoesOnPastTheLastJoint(t *testing.T) {
	for name, l := range limbs() {
		doc, err := gltf.Read(l.file(t), nil)
		if err != nil {
			t.Fatal(err)
		}
		doc.Root().Member("nodes").At(2).Remove("children") // the hand
		r := open(t, doc.GLB())
		b, joint := r.body, elbow(t, r)
		want := b.At(joint).Sub(b.At(b.Joints[joint].Parent)).Unit().Scale(b.Joints[joint].Length)
		ends := 0
		for _, s := range r.segments() {
			if b.Binds[s.Joint].Joint != joint {
				continue
			}
			ends++
			back := b.Worlds(b.Locals(), nil)[joint].Then(b.Binds[s.Joint].Inverse)
			from, to := back.Apply(rigid.Vec{X: s.From[0], Y: s.From[1], Z: s.From[2]}), back.Apply(rigid.Vec{X: s.To[0], Y: s.To[1], Z: s.To[2]})
			if off := from.Sub(b.At(joint)).Len() + to.Sub(from).Sub(want).Len(); !(off < 1e-4) || !(want.Len() > 1) {
				t.Errorf("%s: the piece goes from %v by %v, want by %v", name, from, to.Sub(from), want)
			}
		}
		if ends != 1 || b.Child(joint) >= 0 {
			t.Errorf("%s: the elbow has %d pieces and the child %d", name, ends, b.Child(joint))
		}
	}
}
