package body

import (
	"errors"
	"math"
	"slices"
	"strconv"

	"centrode/calc/affine"
	"centrode/calc/gltf"
	"centrode/calc/rigid"
)

// Clip is one of the file's animations.
type Clip struct {
	Name      string // no other clip's, see clipNames
	Animation int
	Seconds   float64 // time of its last key
	Moves     []Moved

	place map[int]int // in Moves, by joint: every joint is asked for in every clip
}

// Moved is what a clip does to one joint. A track without keys leaves that part at rest.
type Moved struct {
	Joint                        int
	Translation, Rotation, Scale gltf.Track
}

func (b *Body) clips() {
	for i, name := range b.clipNames() {
		a, c := b.Doc.Animations[i], Clip{Name: name, Animation: i, place: map[int]int{}}
		for k := range a.Channels {
			t := b.Doc.Track(i, k)
			if len(t.Times) > 0 {
				c.Seconds = max(c.Seconds, float64(t.Times[len(t.Times)-1]))
			}
			if joint := b.JointOf(t.Node); joint >= 0 && t.Width > 0 {
				c.add(joint, t)
			}
		}
		b.Clips = append(b.Clips, c)
	}
}

// clipNames are those in the file, with numbers for what has none, or has one that an earlier clip has: a name finds one clip.
func (b *Body) clipNames() []string {
	names, taken := make([]string, len(b.Doc.Animations)), map[string]bool{}
	for i, a := range b.Doc.Animations {
		if names[i] = a.Name; a.Name == "" {
			names[i] = "clip " + strconv.Itoa(i)
		}
		taken[names[i]] = true
	}
	next := map[string]int{} // the number to try
	for i, name := range names {
		if next[name] == 0 {
			next[name] = 2
			continue
		}
		for taken[names[i]] {
			names[i] = name + " (" + strconv.Itoa(next[name]) + ")"
			next[name]++
		}
		taken[names[i]] = true
	}
	return names
}

func (c *Clip) add(joint int, t gltf.Track) {
	at, ok := c.place[joint]
	if !ok {
		at = len(c.Moves)
		c.place[joint] = at
		c.Moves = append(c.Moves, Moved{Joint: joint})
	}
	switch t.Path {
	case "translation":
		c.Moves[at].Translation = t
	case "rotation":
		c.Moves[at].Rotation = t
	case "scale":
		c.Moves[at].Scale = t
	}
}

// Of returns what the clip does to a joint; ok is false when it leaves it alone.
func (c *Clip) Of(joint int) (m Moved, ok bool) {
	if at, ok := c.place[joint]; ok {
		return c.Moves[at], true
	}
	return Moved{}, false
}

// Play writes where a clip has its joints at a time, in their parents' frames, over locals.
func (b *Body) Play(c *Clip, seconds float64, locals []affine.Map) {
	for i := range c.Moves {
		m := &c.Moves[i]
		locals[m.Joint] = b.local[m.Joint]
		if m.keyed() {
			t, r, s := b.Apart(m, seconds)
			locals[m.Joint] = affine.FromTRS(t, r, s)
		}
	}
}

func (m *Moved) keyed() bool {
	return len(m.Translation.Times)+len(m.Rotation.Times)+len(m.Scale.Times) > 0
}

// Apart returns translation (cm), rotation and scale of a moved joint at a time.
func (b *Body) Apart(m *Moved, seconds float64) (t rigid.Vec, r rigid.Quat, s rigid.Vec) {
	n := b.Doc.Nodes[b.Joints[m.Joint].Node].Keyed(seconds, m.Translation, m.Rotation, m.Scale)
	return n.Translation.Scale(gltf.CmPerUnit), n.Rotation, n.Scale
}

// Times lists the times of all keys of translation and rotation, rising, each once.
func (m *Moved) Times() []float64 {
	var list []float64
	for _, t := range [2]gltf.Track{m.Translation, m.Rotation} {
		for _, at := range t.Times {
			list = append(list, float64(at))
		}
	}
	slices.Sort(list)
	return slices.Compact(list)
}

// RestRotation is the rotation of a joint in its parent's frame at rest.
func (b *Body) RestRotation(joint int) rigid.Quat {
	return b.Doc.Nodes[b.Joints[joint].Node].Rotation
}

// widest is the axis, in the world at rest, about which the widest turn that any clip gives the joint goes by the right hand.
func (b *Body) widest(joint int) (axis rigid.Vec, ok bool) {
	most, rest, frame := 0.05, b.RestRotation(joint).Rot().Transpose(), b.ParentFrame(joint).L
	for i := range b.Clips {
		m, _ := b.Clips[i].Of(joint)
		for k := range m.Rotation.Times {
			r, _ := gltf.Quat(m.Rotation.Key(k)).Unit()
			if a, angle := r.Rot().Mul(rest).AxisAngle(); angle > most {
				most, axis, ok = angle, frame.Apply(a).Unit().Scale(b.Sense(joint)), true
			}
		}
	}
	return axis, ok
}

// ParentFrame is where the parent of a joint stands at rest; the world for a root.
func (b *Body) ParentFrame(joint int) affine.Map {
	if p := b.Joints[joint].Parent; p >= 0 {
		return b.Joints[p].World
	}
	return affine.Identity()
}

// small is the least scale in the world at which a joint can be given a place: ten kilometres are then as many metres in its own frame as a
// file may hold.
const small = 1e-8

// Placed refuses a joint in whose frame places cannot be told apart, or are too large for a file, and names the node that makes them so.
func (b *Body) Placed(joint int) error {
	in := b.Joints[joint].World.Least()
	if in >= small {
		return nil
	}
	worst, own := joint, math.Inf(1)
	for at := joint; at >= 0; at = b.Joints[at].Parent {
		if s := b.local[at].Least(); s < own {
			worst, own = at, s
		}
	}
	number := func(v float64) string { return strconv.FormatFloat(v, 'g', 4, 64) }
	return errors.New(b.Joints[joint].Name + ": is scaled to " + number(in) + " at rest, so no place can be given to it; " + b.Joints[worst].Name +
		" (#" + strconv.Itoa(b.Joints[worst].Node) + ") is scaled to " + number(own) + "; allowed are scales that come to " + number(small) + " or more together")
}

// Sense is −1 where what a joint hangs on mirrors it, so that a turn by the right hand in its parent's frame is one by the left in
// the world; else 1.
func (b *Body) Sense(joint int) float64 {
	return math.Copysign(1, b.ParentFrame(joint).Det())
}
