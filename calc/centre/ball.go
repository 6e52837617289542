package centre

import (
	"math"

	"centrode/calc/rigid"
)

// Ball fits one pivot about which every pose turns freely.
//
//	rest   at least 3 landmarks not on one line (2 when all poses lie in one plane)
//	poses  at least one, each with as many landmarks as rest
//
// The first guess solves Σ W·(I − R_i)ᵀ(I − R_i)·p = Σ W·(I − R_i)ᵀ·t_i with the free motions (the transformation
// technique; source: ehrig2006); Gauss–Newton steps with the rotations eliminated then reach the least-squares pivot.
// A direction counts as undetermined when its eigenvalue is lost in rounding (below 1e-14 of the largest), or when the
// rotations do not tell it from none by three times their own noise and a pivot moved along it does not leave clearly less. A single pose, and poses that share one axis, leave a line. The caller has checked the landmarks.
func Ball(rest []rigid.Vec, poses []Pose) Fit {
	pr := newProblem(rest, poses)
	fit := pr.freeFit()
	values, vectors := pr.turning(fit.Free)
	threshold := pr.rotationNoise(fit.FreeSquares)
	if values[1] <= threshold {
		return pr.finish(fit)
	}
	single := len(poses) == 1 || pr.flat || values[2] <= 1e-14*values[0]
	fit.Determined, fit.Axis = Line, vectors[2]
	if pr.flat {
		fit.Axis = pr.normal
	}
	u, v := rigid.Basis(fit.Axis)
	directions := []rigid.Vec{u, v}
	if single || values[2] <= threshold {
		pr.settle(&fit, directions)
	}
	if !single {
		open := fit
		pr.settle(&open, vectors[:])
		if values[2] > threshold || pr.better(open, fit) {
			fit, directions = open, vectors[:]
			fit.Determined, fit.Axis = Point, rigid.Vec{}
		}
	}
	pr.rotations(&fit)
	pr.ballSigma(&fit, directions)
	fit.Astray = pr.leftAstray(fit.Pivot, rigid.Vec{}, fit.Rotations)
	return pr.finish(fit)
}

// settle puts the pivot where, moved along the directions alone, it leaves least. A single pose has its answer in closed
// form. Where the first guess ends in a place that leaves much more than the free motions do, other starts are tried: the
// middle of the landmarks, what each pose and the next say by themselves, and places around the best of these.
func (pr *problem) settle(fit *Fit, directions []rigid.Vec) {
	fit.Pivot = pr.linearGuess(0, fit.Free, directions)
	if len(pr.pairs) == 1 {
		return
	}
	s := search{problem: pr, directions: directions}
	if few, part := pr.sample(fit); few != nil {
		few.settle(&part, directions)
		best, stalled := s.minimise(place{pivot: part.Pivot})
		fit.Pivot, fit.Stalled, fit.least = best.pivot, stalled, s.least
		return
	}
	best, stalled := s.minimise(place{pivot: fit.Pivot})
	fit.Pivot, fit.Stalled, fit.least = best.pivot, stalled, s.least
	if !pr.suspicious(fit) {
		return
	}
	try := func(start rigid.Vec) {
		if at, stalled := s.minimise(place{pivot: start}); s.least < fit.least {
			fit.Pivot, fit.Stalled, fit.least = at.pivot, stalled, s.least
		}
	}
	try(rigid.Vec{})
	for k := range min(len(pr.pairs)-1, otherStarts) {
		try(pr.linearGuess(k, fit.Free[k:k+2], directions))
	}
	around := fit.Pivot
	if around.Len() > 0.1*pr.bound {
		around = rigid.Vec{}
	}
	for _, u := range directions {
		try(around.Add(u.Scale(2 * pr.size)))
		try(around.Sub(u.Scale(2 * pr.size)))
	}
}

// otherStarts bounds how many more starts of its poses a bad fit gets, whatever the number of poses.
const otherStarts = 8

// suspicious reports whether the pivot leaves more than three times what the free motions leave, or was not found.
func (pr *problem) suspicious(fit *Fit) bool {
	return fit.Stalled || fit.least > 9*sum(fit.FreeSquares)+pr.weight*pr.eps*pr.eps*100
}

// better reports whether the freedom of one more direction removes more than noise would. A pivot at the middle of the
// landmarks asks every pose not to slide along the axis, one far off not to tilt, so what noise can remove is a χ² of as
// many degrees as there are poses; its five-sigma point is taken from Wilson and Hilferty's cube. Poses that are astray are so together: a pivot
// moved to where they are least so, as beside the parent that misled them, may remove all that this leaves, in every direction.
func (pr *problem) better(open, held Fit) bool {
	coordinates, angles := pr.dimensions()
	variance, known := pr.noise(open.least, coordinates*pr.count-angles*len(pr.pairs)-3)
	m := float64(len(pr.pairs))
	root := 1 - 2/(9*m) + 5*math.Sqrt(2/(9*m))
	return known && held.least-open.least > root*root*root*(m*variance+pr.leftAstray(held.Pivot, rigid.Vec{}, nil))
}

// turning returns the eigenvalues and eigenvectors of the information, and sets how far a search may go: a hundred times as
// far as a pivot whose rotations move the landmarks as far as they moved. Beyond that the objective may fall for ever,
// because turning about a place at infinity is a mere translation.
func (pr *problem) turning(free []rigid.Motion) ([3]float64, [3]rigid.Vec) {
	values, vectors := pr.information(free).Eigen()
	pr.bound = math.Inf(1)
	if values[0] > 0 {
		pr.bound = 100 * pr.reach * math.Sqrt(pr.weight/values[0])
	}
	return values, vectors
}

// information is Σ W·(I − R)ᵀ(I − R): how strongly the free rotations tie the pivot, direction by direction.
func (pr *problem) information(free []rigid.Motion) rigid.Sym {
	var a rigid.Sym
	for i, m := range free {
		a = addNormal(a, pr.pairs[i].W, m.R)
	}
	return a
}

// addNormal returns a + w·(I − R)ᵀ(I − R), row by row of I − R.
func addNormal(a rigid.Sym, w float64, r rigid.Rot) rigid.Sym {
	d := fromIdentity(r)
	for i := range 3 {
		a = a.AddOuter(w, rigid.Vec{X: d[i][0], Y: d[i][1], Z: d[i][2]})
	}
	return a
}

func fromIdentity(r rigid.Rot) rigid.Rot {
	for i := range 3 {
		for j := range 3 {
			r[i][j] = -r[i][j]
		}
		r[i][i]++
	}
	return r
}

// rotationNoise is what noise alone would add to an eigenvalue of the information: nine times (three sigma, squared)
// Σ W·(variance of a rotation about two axes).
func (pr *problem) rotationNoise(freeSquares []float64) float64 {
	coordinates, angles := pr.dimensions()
	variance, _ := pr.noise(sum(freeSquares), coordinates*pr.count-(coordinates+angles)*len(pr.pairs))
	total := 0.0
	for i := range pr.pairs {
		pair := &pr.pairs[i]
		inertia := pair.Inertia(pair.RestMean)
		if pr.flat { // the only turn is about the normal; two landmarks have no inertia along their own line
			total += pair.W * variance / pr.normal.Dot(inertia.Apply(pr.normal))
		} else if values, _ := inertia.Eigen(); values[2] > 0 {
			total += pair.W * variance * (1/values[1] + 1/values[2])
		}
	}
	return 9 * (total + pr.twisted())
}

// linearGuess solves the transformation technique for the pivot's coordinates along the given directions, from the free
// motions of the pose first and those after it.
func (pr *problem) linearGuess(first int, free []rigid.Motion, directions []rigid.Vec) rigid.Vec {
	system := rigid.Dense{N: len(directions)}
	for i, m := range free {
		d, weight := fromIdentity(m.R), pr.pairs[first+i].W
		for r, u := range directions {
			du := d.Apply(u)
			system.B[r] += weight * du.Dot(m.T)
			for c, v := range directions {
				system.A[r][c] += weight * du.Dot(d.Apply(v))
			}
		}
	}
	x, _ := system.Solve(0)
	return combine(x, directions)
}

func combine(x [4]float64, directions []rigid.Vec) rigid.Vec {
	var p rigid.Vec
	for i, u := range directions {
		p = p.Add(u.Scale(x[i]))
	}
	return p
}

// about returns the best rotation of pose i about the pivot: free, or about the normal of a flat problem.
func (pr *problem) about(i int, pivot rigid.Vec) rigid.Rot {
	if pr.flat {
		_, best := pr.pairs[i].AboutAxis(pivot, pr.normal)
		return best.R
	}
	return pr.pairs[i].TurnAbout(pivot)
}

// reduced builds the Gauss–Newton system for the pivot along the directions, rotations eliminated: with K = I − R and
// ū = R(x̄ − p), A = Σ W·Kᵀ(I − W·[ū]ᵀ·J⁻¹·[ū])·K and b = −Σ W·Kᵀ·ē. turns are the best rotations about the pivot.
// exact adds what the residuals contribute to the second derivatives (Newton's system): ē × R·e to each torque, and the
// stiffness instead of the inertia J.
func (pr *problem) reduced(pivot rigid.Vec, directions []rigid.Vec, turns []rigid.Rot, exact bool) rigid.Dense {
	system := rigid.Dense{N: len(directions)}
	var ku, torque [3]rigid.Vec
	for i := range pr.pairs {
		pair := &pr.pairs[i]
		r, back := turns[i], turns[i].Transpose()
		k, arm, miss := fromIdentity(r), pair.RestMean.Sub(pivot), pair.Miss(pivot, r)
		inertia := pair.Inertia(pivot)
		if exact {
			inertia = pair.Stiffness(pivot, r)
		}
		for a, u := range directions {
			ku[a] = k.Apply(u)
			system.B[a] -= pair.W * ku[a].Dot(miss)
			// [ū]·K·u lives in the posed frame; Rᵀ takes it to the rest frame, where the inertia is.
			torque[a] = arm.Cross(back.Apply(ku[a]))
			if exact {
				torque[a] = torque[a].Add(back.Apply(miss).Cross(u))
			}
		}
		yields := pr.compliance(inertia)
		for a := range directions {
			for b := range directions {
				system.A[a][b] += pair.W * (ku[a].Dot(ku[b]) - pair.W*torque[a].Dot(yields.Apply(torque[b])))
			}
		}
	}
	return system
}

// compliance is J⁻¹, or in a flat problem, where only turns about the normal are free, n·nᵀ/(n·J·n). About a line through
// pivot and landmarks nothing resists and nothing pulls, so there it is zero.
func (pr *problem) compliance(inertia rigid.Sym) rigid.Sym {
	if pr.flat {
		if about := pr.normal.Dot(inertia.Apply(pr.normal)); about > 0 {
			return rigid.Sym{}.AddOuter(1/about, pr.normal)
		}
		return rigid.Sym{}
	}
	if inverse, ok := inertia.Inverse(); ok {
		return inverse
	}
	var yields rigid.Sym
	values, vectors := inertia.Eigen()
	for i, v := range values {
		if v > 1e-14*values[0] {
			yields = yields.AddOuter(1/v, vectors[i])
		}
	}
	return yields
}

// rotations fills the rotation, angle and residual of each pose about the fitted pivot.
func (pr *problem) rotations(fit *Fit) {
	fit.makeRoom(len(pr.pairs))
	turned := 0.0
	for i := range pr.pairs {
		r := pr.about(i, fit.Pivot)
		if len(pr.pairs) == 1 {
			r = fit.Free[i].R // a single pose turns about its screw axis; anything else would hide the slide
		}
		axis, angle := r.AxisAngle()
		if fit.Determined == Line && axis.Dot(fit.Axis) < 0 {
			angle = -angle
		}
		fit.Rotations[i], fit.Angles[i] = r, angle
		fit.Squares[i] = rigid.Residual(rigid.TurnAbout(fit.Pivot, r), pr.rest, pr.poses[i].Points, pr.poses[i].Weights)
		turned += pr.pairs[i].W * angle
	}
	if fit.Determined == Line && turned < 0 { // the axis points so that the poses turn by positive angles on the whole
		fit.Axis = fit.Axis.Scale(-1)
		for i := range fit.Angles {
			fit.Angles[i] = -fit.Angles[i]
		}
	}
}

// ballSigma estimates the pivot's largest standard deviation from the covariance s²·A⁻¹.
func (pr *problem) ballSigma(fit *Fit, directions []rigid.Vec) {
	if len(pr.pairs) == 1 && !pr.flat {
		pr.screwSigma(fit)
		return
	}
	coordinates, angles := pr.dimensions()
	if pr.flat {
		angles = 1
	}
	squares, freedom := sum(fit.Squares), coordinates*pr.count-angles*len(pr.pairs)-len(directions)
	if len(pr.pairs) == 1 {
		squares, freedom = sum(fit.FreeSquares), coordinates*pr.count-angles-coordinates
	}
	pr.sigma(fit, func(pr *problem, turns []rigid.Rot) rigid.Dense {
		if turns == nil {
			turns = []rigid.Rot{pr.about(0, fit.Pivot)}
		}
		return pr.reduced(fit.Pivot, directions, turns, false)
	}, directions, squares, freedom)
}

// roundings is how many times the rounding of one coordinate the arithmetic of a fit may come to; the sweep in tests/hard holds it.
const roundings = 16

// sigma finds the largest principal axis of s²·A⁻¹ over the first len(directions) unknowns, with what the poses' being astray adds to it.
// at is the system of a problem with the rotations given, or of one pose with its best.
func (pr *problem) sigma(fit *Fit, at func(*problem, []rigid.Rot) rigid.Dense, directions []rigid.Vec, squares float64, freedom int) {
	system := at(pr, fit.Rotations)
	variance, known := pr.noise(squares, freedom)
	// Rounding is no noise: it is the same in every pose, and does not cancel over many.
	variance = math.Max(variance, roundings*roundings*pr.eps*pr.eps*pr.meanWeight())
	inverse, ok := system.Inverse()
	if !ok || !known {
		return
	}
	var covariance rigid.Sym
	for a, u := range directions {
		for b, v := range directions {
			c := inverse[a][b] * variance
			covariance.XX += c * u.X * v.X
			covariance.XY += c * (u.X*v.Y + u.Y*v.X) / 2
			covariance.XZ += c * (u.X*v.Z + u.Z*v.X) / 2
			covariance.YY += c * u.Y * v.Y
			covariance.YZ += c * (u.Y*v.Z + u.Z*v.Y) / 2
			covariance.ZZ += c * u.Z * v.Z
		}
	}
	pr.pulls(at, func(pull [4]float64) {
		var moved rigid.Vec
		for a, u := range directions {
			for b := range system.N {
				moved = moved.Add(u.Scale(inverse[a][b] * pull[b]))
			}
		}
		covariance = covariance.AddOuter(1, moved)
	})
	values, vectors := covariance.Eigen()
	fit.Sigma, fit.Size, fit.Known = vectors[0], math.Sqrt(math.Max(0, values[0])), true
}

// screwSigma is the largest standard deviation of a single pose's screw axis across itself, where it passes the rest centroid.
// The free motion has six unknowns, and all of them move the axis, for what looks like slide may be turn: three turns about the
// landmarks' mean and three moves of it, independent of each other. How far each moves the axis is taken as a difference.
func (pr *problem) screwSigma(fit *Fit) {
	pair, free := &pr.pairs[0], fit.Free[0]
	variance, known := pr.noise(sum(fit.FreeSquares), 3*pr.count-6)
	variance = math.Max(variance, roundings*roundings*pr.eps*pr.eps*pr.meanWeight())
	screw, ok := free.Screw()
	if !ok || !known {
		return
	}
	var covariance rigid.Sym
	add := func(up, down rigid.Motion, perStep float64) {
		a, okA := up.Screw()
		b, okB := down.Screw()
		ok = ok && okA && okB
		d := a.Point.Sub(b.Point).Scale(perStep / 2)
		covariance = covariance.AddOuter(1, d.Sub(screw.Axis.Scale(screw.Axis.Dot(d))))
	}
	values, vectors := pair.Inertia(pair.RestMean).Eigen()
	if values[2] <= 1e-14*values[0] { // landmarks on one line do not tell a turn about it
		return
	}
	step := 1e-4 * screw.Angle
	for i, v := range vectors {
		turned := func(by float64) rigid.Motion {
			turn, _ := rigid.Turn(v, by)
			r := free.R.Mul(turn)
			return rigid.Motion{R: r, T: pair.PosedMean.Sub(r.Apply(pair.RestMean))}
		}
		add(turned(step), turned(-step), math.Sqrt(variance/values[i])/step)
		moved := v.Scale(math.Sqrt(variance / pair.W))
		add(rigid.Motion{R: free.R, T: free.T.Add(moved)}, rigid.Motion{R: free.R, T: free.T.Sub(moved)}, 1)
	}
	for _, m := range pr.poses[0].Astray {
		add(m.Then(free), m.Inverse().Then(free), 1)
	}
	if spread, across := covariance.Eigen(); ok {
		fit.Sigma, fit.Size, fit.Known = across[0], math.Sqrt(math.Max(0, spread[0])), true
	}
}

// finish adds what every fit has and moves it back to where the character stands.
func (pr *problem) finish(fit Fit) Fit {
	fit.Weight, fit.Flat = pr.weight, pr.flat
	if len(pr.pairs) == 1 && fit.Determined == Line {
		fit.Slide = fit.Axis.Dot(fit.Free[0].T)
	}
	if fit.Determined == Line { // the point of the line nearest the rest centroid, which is the origin here
		fit.Pivot = fit.Pivot.Sub(fit.Axis.Scale(fit.Axis.Dot(fit.Pivot)))
	}
	fit.Pivot = fit.Pivot.Add(pr.centre)
	for i, m := range fit.Free { // x' = R(x − c) + t + c
		fit.Free[i].T = m.T.Add(pr.centre).Sub(m.R.Apply(pr.centre))
	}
	return fit
}
