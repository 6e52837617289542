package room

import (
	"errors"
	"math"
	"strconv"

	"centrode/calc/affine"
	"centrode/calc/rigid"
	"centrode/calc/skin"
)

// Ask is all that a pose depends on, beside the file.
type Ask struct {
	Joint     int       // the joint that is looked at
	Axis      rigid.Vec // of the dial, in the world at rest; zero for the joint's own fold
	Angle     float64   // of the dial, in degrees by the right hand about the axis, on top of the clip
	Clip      int       // −1 for none
	Time      float64   // in the clip, in seconds
	Pivot     rigid.Vec // the candidate, in the world at rest
	Candidate bool      // whether there is one
	Trial     bool      // hard-edged trial weights instead of the file's
	Passes    int       // of smoothing after skinning, 0 for none
	Point     int       // the vertex whose reach and arc are told; −1 for the farthest of the segment
}

// strength is how far a point moves toward the mean of its neighbours in one pass of smoothing, and mostPasses how many
// passes there may be.
const (
	strength   = 0.5
	mostPasses = 40
)

func (r *Room) check(a Ask) error {
	for _, x := range []float64{a.Axis.X, a.Axis.Y, a.Axis.Z, a.Angle, a.Time, a.Pivot.X, a.Pivot.Y, a.Pivot.Z} {
		if !(math.Abs(x) <= 1e6) {
			return errors.New("every number of the pose must lie within a million of nought")
		}
	}
	switch {
	case a.Joint < 0 || a.Joint >= len(r.body.Joints):
		return errors.New("joint " + strconv.Itoa(a.Joint) + " does not exist; there are " + strconv.Itoa(len(r.body.Joints)))
	case a.Clip < -1 || a.Clip >= len(r.body.Clips):
		return errors.New("clip " + strconv.Itoa(a.Clip) + " does not exist; there are " + strconv.Itoa(len(r.body.Clips)))
	case a.Passes < 0 || a.Passes > mostPasses:
		return errors.New("smoothing takes from 0 to " + strconv.Itoa(mostPasses) + " passes")
	case a.Point < -1 || a.Point >= len(r.body.Rest)/3:
		return errors.New("vertex " + strconv.Itoa(a.Point) + " does not exist")
	}
	return nil
}

// Pose poses the surface about the current pivot and, where there is one, about the candidate: the same rotations, without
// what the clip keys of the joint's translation.
func (r *Room) Pose(a Ask) error {
	if err := r.check(a); err != nil {
		return err
	}
	if a.Axis == (rigid.Vec{}) {
		a.Axis = r.body.Fold(a.Joint)
	}
	r.prepare(a)
	still := about(a) == about(r.ask) // a hand that drags the candidate leaves the current surface as it is
	if a.Joint != r.ask.Joint {
		r.fold = r.foldOf(a.Joint)
	}
	r.ask = a
	r.stand()
	if !still {
		r.draw(0)
	}
	if a.Candidate {
		r.draw(1)
	}
	return nil
}

// about is what the surface about the current pivot depends on.
func about(a Ask) Ask {
	a.Pivot, a.Candidate, a.Point = rigid.Vec{}, false, 0
	return a
}

// prepare makes the posing anew when other weights or passes are asked for.
func (r *Room) prepare(a Ask) {
	if r.posing != nil && r.trialP == a.Trial && r.passes == a.Passes {
		return
	}
	held := r.body.Held
	if a.Trial {
		if r.trial == nil {
			trial := r.surface.Trial(r.segments(), held)
			r.trial = &trial
		}
		held = *r.trial
	}
	r.posing = skin.NewPosing(r.surface, held, r.body.RestMotions(), a.Passes, strength)
	r.trialP, r.passes = a.Trial, a.Passes
}

// segments are those of all binds, each in the space of the mesh that it holds.
func (r *Room) segments() []skin.Segment {
	b, rest := r.body, r.body.Worlds(r.body.Locals(), nil)
	children := make([][]int, len(b.Joints))
	for i, j := range b.Joints {
		if j.Parent >= 0 {
			children[j.Parent] = append(children[j.Parent], i)
		}
	}
	var list []skin.Segment
	for i, bind := range b.Binds {
		inverse, ok := rest[bind.Joint].Then(bind.Inverse).Inverse()
		if !ok {
			continue
		}
		at := b.At(bind.Joint)
		add := func(to rigid.Vec) {
			from, to := inverse.Apply(at), inverse.Apply(to)
			list = append(list, skin.Segment{Joint: uint16(i), From: [3]float64{from.X, from.Y, from.Z}, To: [3]float64{to.X, to.Y, to.Z}})
		}
		ends := len(children[bind.Joint])
		for _, child := range children[bind.Joint] {
			add(b.At(child))
		}
		if p := b.Joints[bind.Joint].Parent; ends == 0 && p >= 0 {
			add(at.Add(at.Sub(b.At(p)).Unit().Scale(b.Joints[bind.Joint].Length)))
		} else if ends == 0 {
			add(at)
		}
	}
	return list
}

// stand finds where the joints stand.
func (r *Room) stand() {
	b, a := r.body, r.ask
	rest := b.Locals()
	copy(r.locals, rest)
	if a.Clip >= 0 {
		b.Play(&b.Clips[a.Clip], a.Time, r.locals)
	}
	frame := b.ParentFrame(a.Joint)
	back, _ := frame.Inverse()
	turn, _ := rigid.Turn(back.L.Apply(a.Axis), b.Sense(a.Joint)*a.Angle*math.Pi/180)
	at := r.locals[a.Joint].T
	r.locals[a.Joint] = affine.Map{L: turn, T: at.Sub(turn.Apply(at))}.Then(r.locals[a.Joint])
	b.Worlds(r.locals, r.worlds[0])

	inverse, _ := rest[a.Joint].Inverse()
	motion := r.locals[a.Joint].Then(inverse)
	r.views[0].turn, r.views[0].pivot = motion, rest[a.Joint].T
	if !a.Candidate {
		return
	}
	pivot := back.Apply(a.Pivot)
	about := affine.Map{L: motion.L, T: pivot.Sub(motion.L.Apply(pivot))}
	r.views[1].turn, r.views[1].pivot = about, pivot
	parent := r.parentNow()
	was, ok := r.worlds[0][a.Joint].Inverse()
	if !ok {
		copy(r.worlds[1], r.worlds[0])
		return
	}
	change := parent.Then(about).Then(rest[a.Joint]).Then(was)
	for i, below := range b.Below(a.Joint) {
		if r.worlds[1][i] = r.worlds[0][i]; below {
			r.worlds[1][i] = change.Then(r.worlds[0][i])
		}
	}
}

// parentNow is where the parent of the joint stands in the pose.
func (r *Room) parentNow() affine.Map {
	if p := r.body.Joints[r.ask.Joint].Parent; p >= 0 {
		return r.worlds[0][p]
	}
	return affine.Identity()
}

// posedPivot is where a view's pivot is in the pose. The current one goes where its translation is keyed to; the candidate
// stays where its parent carries it.
func (r *Room) posedPivot(v *view) rigid.Vec { return r.parentNow().Apply(v.turn.Apply(v.pivot)) }

// Carried takes a move of the candidate in the pose, which a reader's hand makes, back to rest, row by row: identity unless a clip moves what the
// joint hangs on, or flattens it, so that there is no way back.
func (r *Room) Carried() [9]float64 {
	back := affine.Identity()
	if now, ok := r.parentNow().Inverse(); ok {
		back = r.body.ParentFrame(r.ask.Joint).Then(now)
	}
	m := back.L
	return [9]float64{m[0][0], m[0][1], m[0][2], m[1][0], m[1][1], m[1][2], m[2][0], m[2][1], m[2][2]}
}

// inverseOf is the way back, or none where space is flattened.
func inverseOf(m affine.Map) affine.Map {
	back, ok := m.Inverse()
	if !ok {
		return affine.Identity()
	}
	return back
}

func (r *Room) draw(i int) {
	r.motions = r.body.Motions(r.worlds[i], r.motions)
	r.posing.Pose(r.views[i].positions, r.motions)
	r.views[i].shaded = false
}
