package room

import (
	"encoding/json"
	"math"
	"testing"

	"centrode/calc/rigid"
)

// derived: the dial's axis lies in the world, so about it the right-hand rule holds, whatever mirrors the limb.
func TestTheDialTurnsByTheRightHandUnderAMirror(t *testing.T) {
	mirrored := newLimb()
	mirrored.scale = -1
	for name, l := range map[string]limb{"plain": newLimb(), "mirrored": mirrored} {
		r := open(t, l.file(t))
		joint, hand := elbow(t, r), 0
		hand, _ = r.body.Find("hand")
		axis := rigid.Vec{X: 0.2, Y: -0.3, Z: 1}
		turn, _ := rigid.Turn(axis, 40*math.Pi/180)
		pivot := r.body.At(joint).Add(rigid.Vec{Y: 1})
		if err := r.Pose(Ask{Joint: joint, Axis: axis, Angle: 40, Clip: -1, Point: -1, Candidate: true, Pivot: pivot}); err != nil {
			t.Fatal(err)
		}
		for i, about := range []rigid.Vec{r.body.At(joint), pivot} {
			want := rigid.TurnAbout(about, turn).Apply(r.body.At(hand))
			if off := r.worlds[i][hand].T.Sub(want).Len(); !(off < 1e-9) {
				t.Errorf("%s, view %d: the hand is %.3g cm from where a turn by the right hand has it", name, i, off)
			}
		}
	}
}

// derived: about an axis of the joint's own, and about that of a clip, the dial does what a key of the joint's rotation does.
func TestTheDialTurnsAsKeysDo(t *testing.T) {
	straight, mirrored := newLimb(), newLimb()
	straight.flawed.Y = 0 // so that the skeleton has no bend, and a clip says what it folds about
	mirrored.flawed.Y, mirrored.scale = 0, -1
	for name, l := range map[string]limb{"plain": straight, "mirrored": mirrored} {
		r := open(t, l.file(t))
		joint := elbow(t, r)
		var told struct{ Joints []struct{ Frame [9]float64 } }
		if err := json.Unmarshal(r.Describe(), &told); err != nil {
			t.Fatal(err)
		}
		frame := told.Joints[joint].Frame
		turned := func(axis rigid.Vec, degrees float64) rigid.Rot {
			if err := r.Pose(Ask{Joint: joint, Axis: axis, Angle: degrees, Clip: -1, Point: -1}); err != nil {
				t.Fatal(err)
			}
			return r.locals[joint].L
		}
		for k := range 3 {
			want, _ := rigid.Turn(rigid.Identity().Column(k), 40*math.Pi/180)
			if off := rigid.Apart(turned(rigid.Vec{X: frame[3*k], Y: frame[3*k+1], Z: frame[3*k+2]}, 40), want); off > 1e-9 {
				t.Errorf("%s: about its own axis %d the elbow is turned otherwise than by a key, by %.3g", name, k, off)
			}
		}
		want, _ := rigid.Turn(rigid.Vec{Y: 0.2, Z: 1}, 2) // the last key of the clip
		if off := rigid.Apart(turned(rigid.Vec{}, 2*180/math.Pi), want); off > 1e-6 {
			t.Errorf("%s: the fold is turned otherwise than the clip's widest turn, by %.3g", name, off)
		}
	}
}

// derived: the arc is the radius times the angle of the dial, past half a turn too.
func TestTheArcIsAsLongAsTheDialTurns(t *testing.T) {
	r := open(t, newLimb().file(t))
	joint := elbow(t, r)
	arc := func(angle float64) (long float64) {
		if err := r.Pose(Ask{Joint: joint, Axis: rigid.Vec{Z: 1}, Angle: angle, Clip: -1, Point: -1}); err != nil {
			t.Fatal(err)
		}
		if !json.Valid(r.Measure()) {
			t.Fatal("no JSON")
		}
		_, long = r.way(&r.views[0], r.point())
		return long
	}
	quarter := arc(90)
	for _, quarters := range []float64{0, 0.5, 2, 2.5, 3, 4, -1, -3} {
		if got, want := arc(90*quarters), math.Abs(quarters)*quarter; !(math.Abs(got-want) < 1e-9) {
			t.Errorf("turned by %v°, the arc is %.3f cm, want %.3f", 90*quarters, got, want)
		}
	}
}
