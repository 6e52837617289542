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
	free, freeSquares := pr.freeMotions()
	fit := Fit{Free: free, FreeSquares: freeSquares}
	values, vectors := pr.information(free).Eigen()
	if values[1] <= pr.rotationNoise(freeSquares) {
		return pr.finish(fit)
	}
	fit.Determined, fit.Axis = Line, vectors[2]
	if pr.flat {
		fit.Axis = pr.normal
	}
	u, v := rigid.Basis(fit.Axis)
	fit.Pivot = pr.linearGuess(free, []rigid.Vec{u, v})
	if len(poses) > 1 {
		pr.refine(&fit)
	}
	pr.hingeAngles(&fit)
	pr.hingeSigma(&fit)
	return pr.finish(fit)
}

// unknowns is 2 in a plane, where the axis is the normal, and 4 in space.
func (pr *problem) unknowns() int {
	if pr.flat {
		return 2
	}
	return 4
}

// hingeSquares is the objective for a line.
func (pr *problem) hingeSquares(pivot, axis rigid.Vec) float64 {
	total := 0.0
	for i := range pr.pairs {
		_, best := pr.pairs[i].AboutAxis(pivot, axis)
		total += rigid.Residual(rigid.TurnAbout(pivot, best.R), pr.rest, pr.poses[i].Points, pr.poses[i].Weights)
	}
	return total
}

// hingeSystem builds the Gauss–Newton system for (pivot along u, v; tilt of the axis about u, v). With K = I − R,
// v = x − p, J the inertia about p: ∂/∂p = K, ∂/∂tilt = R·[v]×·Kᵀ, ∂/∂θ = a × R·v, the last eliminated pose by pose.
func (pr *problem) hingeSystem(pivot, axis rigid.Vec) rigid.Dense {
	u, w := rigid.Basis(axis)
	directions := []rigid.Vec{u, w}
	system := rigid.Dense{N: pr.unknowns()}
	for i := range pr.pairs {
		pair := &pr.pairs[i]
		_, best := pair.AboutAxis(pivot, axis)
		r, back := best.R, best.R.Transpose()
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

// refine takes damped Gauss–Newton steps over pivot and axis.
func (pr *problem) refine(fit *Fit) {
	value, damping := pr.hingeSquares(fit.Pivot, fit.Axis), 0.0
	for range 100 {
		system := pr.hingeSystem(fit.Pivot, fit.Axis)
		x, ok := system.Solve(damping)
		if !ok {
			damping = math.Max(1e-9, 10*damping)
			if damping > 1e9 {
				fit.Stalled = true
				return
			}
			continue
		}
		pivot, axis := pr.hingeStep(fit.Pivot, fit.Axis, x)
		change := pivot.Sub(fit.Pivot).Len() + axis.Sub(fit.Axis).Len()*pr.size
		scale := pr.size + fit.Pivot.Len()
		if change <= 1e-15*scale+pr.eps {
			return
		}
		v := pr.hingeSquares(pivot, axis)
		flat := math.Abs(v-value) <= 1e-13*value
		if v <= value || flat && change <= 1e-6*scale {
			fit.Pivot, fit.Axis = pivot, axis
			value, damping = math.Min(v, value), damping/10
			if damping < 1e-12 {
				damping = 0
			}
			if flat && change <= 1e-11*scale || v > value {
				return
			}
			continue
		}
		damping = math.Max(1e-6, 10*damping)
		if damping > 1e9 {
			fit.Stalled = change > 1e-7*scale
			return
		}
	}
	fit.Stalled = true
}

func (pr *problem) hingeStep(pivot, axis rigid.Vec, x [4]float64) (rigid.Vec, rigid.Vec) {
	u, w := rigid.Basis(axis)
	moved := pivot.Add(u.Scale(x[0])).Add(w.Scale(x[1]))
	if pr.flat {
		return moved, axis
	}
	tilt := u.Scale(x[2]).Add(w.Scale(x[3]))
	turn, ok := rigid.Turn(tilt, math.Min(tilt.Len(), 0.5))
	if !ok {
		return moved, axis
	}
	return moved, turn.Apply(axis).Unit()
}

func (pr *problem) hingeAngles(fit *Fit) {
	turned := 0.0
	for i := range pr.pairs {
		angle, best := pr.pairs[i].AboutAxis(fit.Pivot, fit.Axis)
		fit.Rotations = append(fit.Rotations, best.R)
		fit.Angles = append(fit.Angles, angle)
		fit.Squares = append(fit.Squares, rigid.Residual(rigid.TurnAbout(fit.Pivot, best.R), pr.rest, pr.poses[i].Points, pr.poses[i].Weights))
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
	coordinates, angles := pr.dimensions()
	squares, freedom := sum(fit.Squares), coordinates*pr.count-len(pr.pairs)-pr.unknowns()
	if len(pr.pairs) == 1 {
		squares, freedom = sum(fit.FreeSquares), coordinates*pr.count-angles-coordinates
	}
	u, w := rigid.Basis(fit.Axis)
	pr.sigma(fit, pr.hingeSystem(fit.Pivot, fit.Axis), []rigid.Vec{u, w}, squares, freedom)
}
