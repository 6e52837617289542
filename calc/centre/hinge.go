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
	directions := [2]rigid.Vec{u, w}
	system := rigid.Dense{N: pr.unknowns()}
	for i := range pr.pairs {
		pair := &pr.pairs[i]
		r, back := turns[i], turns[i].Transpose()
		k, kt := fromIdentity(r), fromIdentity(back)
		arm, inertia := pair.RestMean.Sub(pivot), pair.Inertia(pivot)
		miss, torque := pair.Miss(pivot, r), pair.Torque(pivot, r)
		swing := axis.Cross(r.Apply(arm)).Scale(pair.W)
		about := axis.Dot(inertia.Apply(axis))
		var ku, tilt [2]rigid.Vec // K·e and Kᵀ·e
		var slope [4]float64      // coupling of each unknown with this pose's angle
		for a, e := range directions {
			ku[a], tilt[a] = k.Apply(e), kt.Apply(e)
			slope[a] = ku[a].Dot(swing)
			slope[a+2] = -tilt[a].Dot(inertia.Apply(axis))
		}
		for a := range 2 {
			system.B[a] -= pair.W * ku[a].Dot(miss)
			system.B[a+2] -= tilt[a].Dot(torque)
			for b := range 2 {
				system.A[a][b] += pair.W * ku[a].Dot(ku[b])
				system.A[a+2][b+2] += tilt[a].Dot(inertia.Apply(tilt[b]))
				// Σ w (R[v]×Kᵀe_a)·(K e_b) = W (v̄ × Kᵀe_a)·(Rᵀ K e_b)
				coupling := pair.W * arm.Cross(tilt[a]).Dot(back.Apply(ku[b]))
				system.A[a+2][b] += coupling
				system.A[b][a+2] += coupling
			}
		}
		if about > 0 {
			for a := range 4 {
				for b := range 4 {
					system.A[a][b] -= slope[a] * slope[b] / about
				}
			}
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
	pr.sigma(fit, pr.hingeSystem(place{fit.Pivot, fit.Axis}, fit.Rotations), []rigid.Vec{u, w}, squares, freedom)
}
