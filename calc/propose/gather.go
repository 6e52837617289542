package propose

import (
	"errors"

	"centrode/calc/affine"
	"centrode/calc/body"
	"centrode/calc/centre"
	"centrode/calc/keyfit"
	"centrode/calc/posefit"
	"centrode/calc/rigid"
)

// gather makes poses of the landmarks from all targets, and the keys alone where every target is a clip.
func gather(p *Proposal, b *body.Body, targets []*body.Target, vertices []int, weights []float64) (posefit.Poses, []keyfit.Key, error) {
	world, onlyKeys := at(b, vertices), true
	poses := posefit.Poses{Rest: p.in.inward(world)}
	var keys []keyfit.Key
	add := func(points []rigid.Vec, weights []float64, above *wobble) {
		p.above = append(p.above, above)
		poses.IDs = append(poses.IDs, len(poses.IDs)+1)
		poses.Targets = append(poses.Targets, centre.Pose{Points: points, Weights: weights})
	}
	for _, t := range targets {
		if t.Kind != "clip" {
			onlyKeys = false
			add(p.sculpted(b, t, vertices, poses.Rest, weights))
			continue
		}
		list, err := keyed(b, p.Joint, t)
		if err != nil {
			return poses, nil, err
		}
		keys = append(keys, list...)
		frame, start := b.ParentFrame(p.Joint), b.Locals()[p.Joint].T // once: the second copies all joints' places
		for _, k := range list {
			add(p.in.inward(carried(frame, start, k, world)), weights, nil)
		}
	}
	if !onlyKeys {
		keys = nil
	}
	return poses, keys, nil
}

// sculpted returns where a shape has the landmarks, in the frame of the fit, seen from the segment that carries the joint: what that segment
// does itself is taken back; and how sure that is.
func (p *Proposal) sculpted(b *body.Body, t *body.Target, vertices []int, rest []rigid.Vec, weights []float64) (posed []rigid.Vec, kept []float64, above *wobble) {
	all := b.Posed(t)
	motion, above := p.carrier(b, all)
	back, _ := motion.Inverse()
	posed = make([]rigid.Vec, len(vertices))
	for i, v := range vertices {
		posed[i] = back.Apply(all[v])
	}
	posed = p.in.inward(posed)
	kept, _, _ = trim(rest, posed, weights, b.Size())
	return posed, kept, above
}

// carrier is how the nearest segment above the joint that has skin moves in a shape, no motion where there is none; and how sure that is, where it
// moves.
func (p *Proposal) carrier(b *body.Body, all []rigid.Vec) (motion affine.Map, above *wobble) {
	chain := carriers(b, p.Joint)
	if len(chain) == 0 {
		p.Warnings = append(p.Warnings, "No segment above the joint has skin of its own, so the target is read as if what carries the joint stood still.")
	}
	motion = affine.Identity()
	for k := len(chain) - 1; k >= 0; k-- { // from above: below an uneven scale a motion is rigid only once that of what is above is taken back
		if own, w := chain[k].moved(b, all, motion); w != nil {
			motion, above = motion.Then(own), w
		}
	}
	return motion, above
}

// carrier is a segment above a joint that has skin of its own.
type carrier struct {
	in       frame
	vertices []int
	weights  []float64
}

// carriers lists the segments with skin above a joint: the nearest one, and beyond it those without which its motion cannot be told.
func carriers(b *body.Body, joint int) (list []carrier) {
	own := halves(b)
	for parent := b.Joints[b.Segment(joint)].Parent; parent >= 0; parent = b.Joints[parent].Parent {
		vertices, weights := held(b, parent, own[parent])
		if !spread(b, vertices) {
			continue
		}
		list = append(list, carrier{frameOf(b, parent), vertices, weights})
		if evenAbove(b, parent) {
			break
		}
	}
	return list
}

// evenAbove reports whether all that stands above a joint scales evenly, so that whatever moves there moves it rigidly in the world.
func evenAbove(b *body.Body, joint int) bool {
	for joint = b.Joints[joint].Parent; joint >= 0; joint = b.Joints[joint].Parent {
		if !b.Joints[joint].World.Even() {
			return false
		}
	}
	return true
}

// moved is how a segment moves in a shape beside the motion of what is above it; w is nil where that is no more than its own noise.
func (c *carrier) moved(b *body.Body, all []rigid.Vec, above affine.Map) (own affine.Map, w *wobble) {
	back, _ := above.Inverse()
	rest, posed := c.in.inward(at(b, c.vertices)), make([]rigid.Vec, len(c.vertices))
	for i, v := range c.vertices {
		posed[i] = back.Apply(all[v])
	}
	posed = c.in.inward(posed)
	kept, motion, rms := trim(rest, posed, c.weights, b.Size())
	moved, count := 0.0, 0.0
	for i := range rest {
		if kept[i] > 0 {
			moved += posed[i].Sub(rest[i]).Dot(posed[i].Sub(rest[i]))
			count++
		}
	}
	if moved <= 9*count*rms*rms+1e-12*count*b.Size()*b.Size() {
		return affine.Identity(), nil
	}
	return c.in.out.Then(affine.Map{L: motion.R, T: motion.T}).Then(c.in.back), wobbleOf(c.in, rest, posed, kept, rms)
}

// keyed reads a clip's keys of a joint: rotation and translation relative to rest, in the parent's frame.
func keyed(b *body.Body, joint int, t *body.Target) ([]keyfit.Key, error) {
	name := b.Joints[joint].Name
	m, ok := b.Clips[t.Clip].Of(joint)
	if !ok || len(m.Rotation.Times) == 0 {
		return nil, errors.New("clip:" + t.Name + ": keys no rotation of " + name + ", so nothing can be learnt from it about this joint")
	}
	if len(m.Translation.Times) == 0 {
		return nil, errors.New("clip:" + t.Name + ": keys no translation of " + name + ", so it says nothing about its pivot: about the current one, rotation alone already gives it")
	}
	back := b.RestRotation(joint).Rot().Transpose()
	start := b.Locals()[joint].T
	var keys []keyfit.Key
	for _, at := range m.Times() {
		shift, turn, _ := b.Apart(&m, at)
		keys = append(keys, keyfit.Key{R: turn.Rot().Mul(back), T: shift.Sub(start), Weight: 1})
	}
	return keys, nil
}

// carried is where a key has the landmarks, in the world, with the parent at rest; start is the joint's place in its frame.
func carried(frame affine.Map, start rigid.Vec, k keyfit.Key, rest []rigid.Vec) []rigid.Vec {
	inverse, _ := frame.Inverse()
	local := affine.Map{L: k.R, T: start.Add(k.T).Sub(k.R.Apply(start))}
	whole := frame.Then(local).Then(inverse)
	posed := make([]rigid.Vec, len(rest))
	for i, x := range rest {
		posed[i] = whole.Apply(x)
	}
	return posed
}
