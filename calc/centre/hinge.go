package centre

import (
	"math"

	"centrode/calc/rigid"
)

// Hinge fits one line about which every pose turns. Inputs as for Ball. The first guess takes the axis that the free
// rotations move least and then the pivot across it; Gauss–Newton steps refine axis (two angles) and pivot (two
// coordinates) together, each pose's own angle eliminated. A hinge's pivot may always slide along its line, so
// Determined is Line, or None when nothing turns.
func Hinge(rest []rigid.Vec, poses []Pose) Fit {
	pr := newProblem(rest, poses)
	fit := pr.freeFit()
	values, vectors := pr.turning(fit.Free)
	if values[1] <= pr.rotationNoise(fit.FreeSquares) {
		return pr.finish(fit)
	}
	fit.Determined, fit.Axis = Line, vectors[2]
	if pr.flat {
		fit.Axis = pr.normal
	}
	pr.settleLine(&fit)
	pr.hingeAngles(&fit)
	pr.hingeSigma(&fit)
	fit.Astray = pr.leftAstray(fit.Pivot, fit.Axis, fit.Rotations)
	return pr.finish(fit)
}

// settleLine puts the line where it leaves least, from the axis that the free rotations move least and, where that ends
// badly, from the axis of each pose.
func (pr *problem) settleLine(fit *Fit) {
	start := pr.lineAlong(fit.Axis, fit.Free)
	if fit.Pivot = start.pivot; len(pr.pairs) == 1 {
		return
	}
	s := search{problem: pr, hinge: true}
	if few, part := pr.sample(fit); few != nil {
		few.settleLine(&part)
		start = place{part.Pivot, part.Axis}
		best, stalled := s.minimise(start)
		fit.Stalled, fit.least = stalled, s.least
		fit.Pivot, fit.Axis = best.pivot.Sub(best.axis.Scale(best.axis.Dot(best.pivot))), best.axis
		return
	}
	best, stalled := s.minimise(start)
	fit.Stalled, fit.least = stalled, s.least
	if pr.suspicious(fit) && !pr.flat {
		for _, m := range fit.Free[:min(len(fit.Free), otherStarts)] {
			axis, _ := m.R.AxisAngle()
			if axis == (rigid.Vec{}) {
				continue
			}
			if at, stalled := s.minimise(pr.lineAlong(axis, fit.Free)); s.least < fit.least {
				best, fit.Stalled, fit.least = at, stalled, s.least
			}
		}
	}
	// Where it is answered, nearest the middle of the landmarks: while the axis tilted the search slid along it, and how sure a
	// line is depends on where along it one asks.
	fit.Pivot, fit.Axis = best.pivot.Sub(best.axis.Scale(best.axis.Dot(best.pivot))), best.axis
}

// lineAlong is the linear guess of a line in the given direction.
func (pr *problem) lineAlong(axis rigid.Vec, free []rigid.Motion) place {
	u, v := rigid.Basis(axis)
	return place{pr.linearGuess(0, free, []rigid.Vec{u, v}), axis}
}

// unknowns is 2 in a plane, where the axis is the normal, and 4 in space.
func (pr *problem) unknowns() int {
	if pr.flat {
		return 2
	}
	return 4
}

// hingeSystem builds the Gauss–Newton system for (pivot along u, v; tilt of the axis about u, v). With K = I − R,
// v = x − p, J the inertia about p: ∂/∂p = K, ∂/∂tilt = R·[v]×·Kᵀ, ∂/∂θ = a × R·v, the last eliminated pose by pose.
// turns are the best rotations about the line.
func (pr *problem) hingeSystem(at place, turns []rigid.Rot) rigid.Dense {
	pivot, axis := at.pivot, at.axis
	u, w := rigid.Basis(axis)
	system := rigid.Dense{N: pr.unknowns()}
	a, b := &system.A, &system.B
	for i := range pr.pairs {
		pair, r := &pr.pairs[i], &turns[i]
		inertia, miss, torque := pair.Inertia(pivot), pair.Miss(pivot, *r), pair.Torque(pivot, *r)
		arm, heavy := pair.RestMean.Sub(pivot), inertia.Apply(axis)
		swing := axis.Cross(r.Apply(arm)).Scale(pair.W)
		ku, kw := u.Sub(r.Apply(u)), w.Sub(r.Apply(w)) // K·e
		tu, tw := u.Sub(r.Back(u)), w.Sub(r.Back(w))   // Kᵀ·e
		b[0] -= pair.W * ku.Dot(miss)
		b[1] -= pair.W * kw.Dot(miss)
		b[2] -= tu.Dot(torque)
		b[3] -= tw.Dot(torque)
		// How far each unknown turns this pose with it, and what is left of it when the pose turns back.
		s0, s1, s2, s3 := ku.Dot(swing), kw.Dot(swing), -tu.Dot(heavy), -tw.Dot(heavy)
		back := 0.0
		if about := axis.Dot(heavy); about > 0 {
			back = 1 / about
		}
		a[0][0] += pair.W*ku.Dot(ku) - s0*s0*back
		a[0][1] += pair.W*ku.Dot(kw) - s0*s1*back
		a[1][1] += pair.W*kw.Dot(kw) - s1*s1*back
		// Σ w (R[v]×Kᵀe)·(K f) = W (v̄ × Kᵀe)·(RᵀK f), and RᵀK = −Kᵀ: nothing for e = f, and for the others a volume.
		volume := pair.W * arm.Dot(tu.Cross(tw))
		a[0][2] -= s0 * s2 * back
		a[0][3] += volume - s0*s3*back
		a[1][2] -= volume + s1*s2*back
		a[1][3] -= s1 * s3 * back
		iu, iw := inertia.Apply(tu), inertia.Apply(tw)
		a[2][2] += tu.Dot(iu) - s2*s2*back
		a[2][3] += tw.Dot(iu) - s2*s3*back
		a[3][3] += tw.Dot(iw) - s3*s3*back
	}
	for i := range 4 {
		for j := range i {
			a[i][j] = a[j][i]
		}
	}
	return system
}

// hingeStep moves the line across itself and tilts it, by half a radian at most.
func (pr *problem) hingeStep(at place, x [4]float64) place {
	u, w := rigid.Basis(at.axis)
	next := place{at.pivot.Add(u.Scale(x[0])).Add(w.Scale(x[1])), at.axis}
	if pr.flat {
		return next
	}
	tilt := u.Scale(x[2]).Add(w.Scale(x[3]))
	if turn, ok := rigid.Turn(tilt, math.Min(tilt.Len(), 0.5)); ok {
		next.axis = turn.Apply(at.axis).Unit()
	}
	return next
}

func (pr *problem) hingeAngles(fit *Fit) {
	fit.makeRoom(len(pr.pairs))
	turned := 0.0
	for i := range pr.pairs {
		angle, best := pr.pairs[i].AboutAxis(fit.Pivot, fit.Axis)
		fit.Rotations[i], fit.Angles[i] = best.R, angle
		fit.Squares[i] = rigid.Residual(rigid.TurnAbout(fit.Pivot, best.R), pr.rest, pr.poses[i].Points, pr.poses[i].Weights)
		turned += pr.pairs[i].W * angle
	}
	if turned < 0 {
		fit.Axis = fit.Axis.Scale(-1)
		for i := range fit.Angles {
			fit.Angles[i] = -fit.Angles[i]
		}
	}
}

func (pr *problem) hingeSigma(fit *Fit) {
	if len(pr.pairs) == 1 && !pr.flat {
		pr.screwSigma(fit)
		return
	}
	coordinates, angles := pr.dimensions()
	squares, freedom := sum(fit.Squares), coordinates*pr.count-len(pr.pairs)-pr.unknowns()
	if len(pr.pairs) == 1 {
		squares, freedom = sum(fit.FreeSquares), coordinates*pr.count-angles-coordinates
	}
	u, w := rigid.Basis(fit.Axis)
	pr.sigma(fit, func(pr *problem, turns []rigid.Rot) rigid.Dense {
		if turns == nil {
			_, best := pr.pairs[0].AboutAxis(fit.Pivot, fit.Axis)
			turns = []rigid.Rot{best.R}
		}
		return pr.hingeSystem(place{fit.Pivot, fit.Axis}, turns)
	}, []rigid.Vec{u, w}, squares, freedom)
}
