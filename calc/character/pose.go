package character

import (
	"math"

	"centrode/calc/rigid"
)

const radian = math.Pi / 180 // in a degree

// motions is what each joint does when the turns are made about the true pivots: the motion of a joint is that of its
// parent after its own.
func (f figure) motions(turns []turn) []rigid.Motion {
	list := make([]rigid.Motion, len(f.joints))
	for i, j := range f.joints {
		own := rigid.Motion{R: rigid.Identity()}
		for _, t := range turns {
			if t.joint == j.name {
				own = j.bent(t.by)
			}
		}
		list[i] = own
		if j.parent >= 0 {
			list[i] = list[j.parent].Then(own)
		}
	}
	return list
}

// bent is the motion of what hangs on the joint when it turns about its true pivot by an angle in degrees.
func (j joint) bent(by float64) rigid.Motion {
	r, _ := rigid.Turn(j.hinge, by*radian)
	return rigid.TurnAbout(j.at, r)
}

// posed is the surface moved by blending the motions of the joints that each vertex hangs on.
func (f figure) posed(turns []turn) []rigid.Vec {
	motions := f.motions(turns)
	out := make([]rigid.Vec, len(f.surface.points))
	for i, p := range f.surface.points {
		b := f.surface.bonds[i]
		w, _ := b.shares()
		out[i] = motions[b.first].Apply(p).Scale(w).Add(motions[b.second].Apply(p).Scale(1 - w))
	}
	return out
}

// shares are the two weights as the file holds them: what is read there must give what is posed here.
func (b bond) shares() (first, second float64) {
	w := float64(float32(b.share))
	return w, float64(float32(1 - w))
}

// orientation is the frame of a joint at rest: x along its segment, z along its hinge.
func (f figure) orientation(i int) rigid.Rot {
	j := f.joints[i]
	if j.parent >= 0 && (j.end || j.hinge == (rigid.Vec{})) {
		return f.orientation(j.parent)
	}
	if j.hinge == (rigid.Vec{}) {
		return rigid.Identity()
	}
	x := rigid.Vec{X: 1}
	for k := range f.joints {
		if f.joints[k].parent == i {
			x = f.joints[k].at.Sub(j.at)
			break
		}
	}
	z := j.hinge.Unit()
	x = x.Sub(z.Scale(x.Dot(z))).Unit()
	return rigid.FromColumns(x, z.Cross(x), z)
}

// frame is where the file has a joint at rest, cm.
func (f figure) frame(i int) rigid.Motion {
	return rigid.Motion{R: f.orientation(i), T: f.joints[i].placed()}
}

// local is a motion of space seen as a place in the frame of a joint's parent.
func (f figure) local(i int, frame rigid.Motion) rigid.Motion {
	if p := f.joints[i].parent; p >= 0 {
		return f.frame(p).Inverse().Then(frame)
	}
	return frame
}
