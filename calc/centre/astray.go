package centre

import (
	"math"

	"centrode/calc/rigid"
)

// Parent is what landmarks on a parent tell of its motion.
type Parent struct {
	Motions []rigid.Motion // from rest to each pose
	Squares []float64      // Σ w·d² that each leaves of the parent's own landmarks
	Weight  float64        // Σ w over all of them that are posed
}

// Back takes poses that were measured in the world back into the frame of a parent that moved as well: the frame is that of the world
// while the parent stood at rest. The parent's landmarks have the poses in the same order, and at least 3 not on one line in each. What
// they leave says how far each pose may still be astray, and the poses carry that on.
func Back(rest []rigid.Vec, parent, poses []Pose) ([]Pose, Parent) {
	pr := newProblem(rest, parent)
	fit := pr.finish(pr.freeFit())
	coordinates, angles := pr.dimensions()
	for _, pose := range poses {
		for _, y := range pose.Points { // which lose as many digits on their way back as they come with
			pr.eps = math.Max(pr.eps, 3e-16*y.Len())
		}
	}
	variance, _ := pr.noise(sum(fit.FreeSquares), coordinates*pr.count-(coordinates+angles)*len(parent))
	variance = math.Max(variance, roundings*roundings*pr.eps*pr.eps*pr.meanWeight())
	inside := make([]Pose, len(poses))
	for i, pose := range poses {
		back, points := fit.Free[i].Inverse(), make([]rigid.Vec, len(pose.Points))
		for k, y := range pose.Points {
			points[k] = back.Apply(y)
		}
		inside[i] = Pose{Points: points, Weights: pose.Weights, Astray: pr.astray(&pr.pairs[i], variance)}
	}
	return inside, Parent{fit.Free, fit.FreeSquares, fit.Weight}
}

// astray are the motions of one standard deviation by which the free motion of a pair may be wrong, where it starts: turns about the mean of
// its landmarks, about their principal axes, and moves of it.
func (pr *problem) astray(pair *rigid.Pair, variance float64) []rigid.Motion {
	var list []rigid.Motion
	values, vectors := pair.Inertia(pair.RestMean).Eigen()
	for i, v := range vectors {
		turn, _ := rigid.Turn(v, math.Sqrt(variance/values[i]))
		list = append(list, rigid.TurnAbout(pair.RestMean.Add(pr.centre), turn),
			rigid.Motion{R: rigid.Identity(), T: v.Scale(math.Sqrt(variance / pair.W))})
	}
	return list
}

// twist is the axis of a small motion times its angle.
func twist(m rigid.Motion) rigid.Vec {
	axis, angle := m.R.AxisAngle()
	return axis.Scale(angle)
}

// twisted is Σ W·(variance of a rotation about two axes) that the poses' being astray makes, at its largest two.
func (pr *problem) twisted() float64 {
	total := 0.0
	for i, pose := range pr.poses {
		var spread rigid.Sym
		for _, m := range pose.Astray {
			spread = spread.AddOuter(pr.pairs[i].W, twist(m))
		}
		values, _ := spread.Eigen()
		total += values[0] + values[1]
	}
	return total
}

// leftAstray is what turning cannot take up of the poses' being astray: how that moves the pivot and, where all turn about the axis of
// several poses, how it tilts them. A zero axis is for turns that are free.
func (pr *problem) leftAstray(pivot, axis rigid.Vec, turns []rigid.Rot) float64 {
	total := 0.0
	for i, pose := range pr.poses {
		pair := &pr.pairs[i]
		for _, m := range pose.Astray {
			d := m.Apply(pivot).Sub(pivot)
			total += pair.W * d.Dot(d)
			if axis != (rigid.Vec{}) && len(pr.poses) > 1 {
				tilt := twist(m)
				tilt = turns[i].Back(tilt.Sub(axis.Scale(axis.Dot(tilt))))
				total += tilt.Dot(pair.Inertia(pivot).Apply(tilt))
			}
		}
	}
	return total
}

// pulls tells, for each motion by which a pose may be astray, how it pulls at the unknowns of a fit.
func (pr *problem) pulls(at func(*problem, []rigid.Rot) rigid.Dense, tell func([4]float64)) {
	one := *pr
	one.pairs = make([]rigid.Pair, 1)
	for i, pose := range pr.poses {
		for _, m := range pose.Astray { // both ways, since which way an axis points is chance
			one.pairs[0] = pr.pairs[i].Moved(m)
			pull := at(&one, nil).B
			one.pairs[0] = pr.pairs[i].Moved(m.Inverse())
			back := at(&one, nil).B
			for k := range pull {
				pull[k] = (pull[k] - back[k]) / 2
			}
			tell(pull)
		}
	}
}
