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
	poses, onlyKeys := posefit.Poses{Rest: at(b, vertices)}, true
	var keys []keyfit.Key
	add := func(points []rigid.Vec, weights []float64) {
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
			add(carried(frame, start, k, poses.Rest), weights)
		}
	}
	if !onlyKeys {
		keys = nil
	}
	return poses, keys, nil
}

// sculpted returns where a shape has the landmarks, seen from the segment that carries the joint: what that segment does
// itself is taken back.
func (p *Proposal) sculpted(b *body.Body, t *body.Target, vertices []int, rest []rigid.Vec, weights []float64) ([]rigid.Vec, []float64) {
	all := b.Posed(t)
	back := p.carrier(b, all).Inverse()
	posed := make([]rigid.Vec, len(vertices))
	for i, v := range vertices {
		posed[i] = back.Apply(all[v])
	}
	kept, _, _ := trim(rest, posed, weights, b.Size())
	return posed, kept
}

// carrier is how the nearest segment above the joint that has skin moves in a shape; no motion where it moves by no more
// than its own noise, or where there is none.
func (p *Proposal) carrier(b *body.Body, all []rigid.Vec) rigid.Motion {
	still, own := rigid.Motion{R: rigid.Identity()}, halves(b)
	for parent := b.Joints[b.Segment(p.Joint)].Parent; parent >= 0; parent = b.Joints[parent].Parent {
		vertices, weights := held(b, parent, own[parent])
		if !spread(b, vertices) {
			continue
		}
		rest, posed := at(b, vertices), make([]rigid.Vec, len(vertices))
		for i, v := range vertices {
			posed[i] = all[v]
		}
		kept, motion, rms := trim(rest, posed, weights, b.Size())
		moved, count := 0.0, 0.0
		for i := range rest {
			if kept[i] > 0 {
				moved += posed[i].Sub(rest[i]).Dot(posed[i].Sub(rest[i]))
				count++
			}
		}
		if moved <= 9*count*rms*rms+1e-12*count*b.Size()*b.Size() {
			return still
		}
		return motion
	}
	p.Warnings = append(p.Warnings, "No segment above the joint has skin of its own, so the target is read as if what carries the joint stood still.")
	return still
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
