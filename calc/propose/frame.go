package propose

import (
	"math"

	"centrode/calc/affine"
	"centrode/calc/body"
	"centrode/calc/centre"
	"centrode/calc/posefit"
	"centrode/calc/rigid"
)

// frame is where a joint turns rigidly. Its place in its parent changes from L to L′ by a turn and a shift alone, so what it
// carries moves by P·(L′·L⁻¹)·P⁻¹ in the world, with P the place of the parent: rigid as long as P scales evenly, whatever
// the joint's own scale is. Where P does not, or shears, the same motion is rigid in the parent's frame alone, so there the
// fit is made, in lengths that are those of the world in the geometric mean. What it leaves is measured in the world.
type frame struct {
	uneven    bool
	out, back affine.Map // to the world and from it; of no use, and the identity, where all scales evenly
}

// frameOf returns the frame in which a joint turns rigidly. It must have a place there: see body.Placed.
func frameOf(b *body.Body, joint int) frame {
	parent := b.ParentFrame(joint)
	size := math.Cbrt(math.Abs(parent.Det()))
	for i := range 3 {
		for j := range 3 {
			parent.L[i][j] /= size
		}
	}
	if back, ok := parent.Inverse(); ok && !parent.Even() {
		return frame{true, parent, back}
	}
	return frame{out: affine.Identity(), back: affine.Identity()}
}

// inward returns places of the world in the frame.
func (f *frame) inward(points []rigid.Vec) []rigid.Vec {
	if !f.uneven {
		return points
	}
	list := make([]rigid.Vec, len(points))
	for i, x := range points {
		list[i] = f.back.Apply(x)
	}
	return list
}

// along returns a direction of the frame in the world, so that a turn about it goes by the right hand there too, and how long a unit of it is.
func (f *frame) along(axis rigid.Vec) (unit rigid.Vec, length float64) {
	if !f.uneven {
		return axis, 1
	}
	axis = f.out.L.Apply(axis)
	return axis.Unit().Scale(math.Copysign(1, f.out.Det())), axis.Len()
}

// left is the sum of squared distances in the world that a motion in the frame leaves of a pose.
func (f *frame) left(m rigid.Motion, rest []rigid.Vec, pose centre.Pose) float64 {
	sum := 0.0
	for i, x := range rest {
		sum += pose.Weights[i] * lengths(f.out).square(m.Apply(x).Sub(pose.Points[i]))
	}
	return sum
}

// seen measures in the world what a fit in an uneven frame leaves.
func (p *Proposal) seen(poses posefit.Poses, fit centre.Fit, hinge bool) {
	p.Noise = p.in.free(poses, fit.Free)
	p.Sigma, p.Known = p.sigma(poses, hinge)
	if world := p.in.freeInWorld(poses); p.Noise > 3*world && p.Noise > 1e-4*p.size {
		p.Warnings = append(p.Warnings, "What carries the joint is scaled unevenly, and the target turns rigidly in the world, which no rotation of the joint does there; the pivot is no more than near. Scale evenly what carries the joint, or sculpt the target from a rotation of the joint.")
	}
}

// free is the root mean square distance in the world that the best motions of all poses leave in the frame.
func (f *frame) free(poses posefit.Poses, motions []rigid.Motion) float64 {
	squares, weight := 0.0, 0.0
	for i, pose := range poses.Targets {
		squares += f.left(motions[i], poses.Rest, pose)
		for _, w := range pose.Weights {
			weight += w
		}
	}
	return math.Sqrt(squares / weight)
}

// freeInWorld is what free motions would leave that are rigid in the world, which no turn in the frame is.
func (f *frame) freeInWorld(poses posefit.Poses) float64 {
	world := frame{out: affine.Identity()}
	outward := func(points []rigid.Vec) []rigid.Vec {
		back := frame{uneven: true, back: f.out}
		return back.inward(points)
	}
	seen, motions := posefit.Poses{Rest: outward(poses.Rest)}, []rigid.Motion(nil)
	for _, pose := range poses.Targets {
		pose.Points = outward(pose.Points)
		pair := rigid.NewPair(seen.Rest, pose.Points, pose.Weights)
		seen.Targets, motions = append(seen.Targets, pose), append(motions, pair.Free())
	}
	return world.free(seen, motions)
}

// parts is into how many parts landmarks are split to learn how sure a pivot is; fewer where there are few.
const parts = 20

// sigma is one standard deviation of the pivot in the world, in the least certain direction: of the line, across it. Noise that is alike in all
// directions of the world is not in the frame, so the fit's own would be wrong. Source of the way: the jackknife, in which the
// fit is made again and again, each time without one part of the landmarks, and what the pivot then strays is summed. known
// is false where too few landmarks stay, or what is determined depends on a part.
func (p *Proposal) sigma(poses posefit.Poses, hinge bool) (size float64, known bool) {
	n := len(poses.Rest)
	split := min(parts, n)
	if n < 2*fewest {
		return 0, false
	}
	var mean rigid.Vec
	places := make([]rigid.Vec, split)
	for k := range places {
		some := posefit.Poses{IDs: poses.IDs}
		for i, x := range poses.Rest {
			if i%split != k {
				some.Rest = append(some.Rest, x)
			}
		}
		for _, pose := range poses.Targets {
			var left centre.Pose
			for i, y := range pose.Points {
				if i%split != k {
					left.Points, left.Weights = append(left.Points, y), append(left.Weights, pose.Weights[i])
				}
			}
			some.Targets = append(some.Targets, left)
		}
		fit := posefit.Fit(some, hinge)
		if fit.Determined != p.Determined || !fit.Known {
			return 0, false
		}
		axis, _ := p.in.along(fit.Axis)
		places[k] = nearest(p.in.out.Apply(fit.Pivot), axis, p.from)
		mean = mean.Add(places[k].Scale(1 / float64(split)))
	}
	var spread rigid.Sym
	for _, at := range places {
		off := at.Sub(mean)
		off = off.Sub(p.Axis.Scale(p.Axis.Dot(off)))
		spread = spread.AddOuter(float64(split-1)/float64(split), off)
	}
	values, _ := spread.Eigen()
	return math.Sqrt(math.Max(0, values[0])), true
}

// nearest is the point of a line that lies nearest a place; the point itself where the axis is zero.
func nearest(point, axis, place rigid.Vec) rigid.Vec {
	return point.Add(axis.Scale(axis.Dot(place.Sub(point))))
}

// lengths tells how long in the world what a map carries there is.
type lengths affine.Map

func (l lengths) square(v rigid.Vec) float64 {
	v = l.L.Apply(v)
	return v.Dot(v)
}
