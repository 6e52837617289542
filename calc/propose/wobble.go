package propose

import (
	"math"

	"centrode/calc/centre"
	"centrode/calc/posefit"
	"centrode/calc/rigid"
)

// wobble is how sure the motion of the segment above the joint is, which is taken back from a shape before the pivot is fitted: a motion that is
// off by a little takes the pivot along. Of several such segments it is that of the lowest: its own fit makes up for those above.
type wobble struct {
	in       frame
	variance float64   // of one coordinate of a vertex of weight one
	mean     rigid.Vec // of its vertices at rest, in the frame
	weight   float64   // of all of them
	turns    rigid.Sym // the inverse of their inertia about it
}

// wobbleOf judges a motion that was fitted to vertices by what it leaves.
func wobbleOf(in frame, rest, posed []rigid.Vec, kept []float64, rms float64) *wobble {
	pair, count := rigid.NewPair(rest, posed, kept), 0
	for _, weight := range kept {
		if weight > 0 {
			count++
		}
	}
	inertia := pair.Inertia(pair.RestMean)
	turns, _ := inertia.Inverse() // they do not lie in a line: see spread
	return &wobble{in, rms * rms * pair.W / float64(max(1, 3*count-6)), pair.RestMean, pair.W, turns}
}

// at is the covariance of where the motion has a place of the world, with the motion itself taken back.
func (w *wobble) at(place rigid.Vec) rigid.Rot {
	arm := w.in.back.Apply(place).Sub(w.mean)
	lever := rigid.Rot{{0, arm.Z, -arm.Y}, {-arm.Z, 0, arm.X}, {arm.Y, -arm.X, 0}} // of a turn: turn × arm
	c := carriedBy(lever, full(w.turns))
	for i := range 3 {
		c[i][i] += 1 / w.weight
		for j := range 3 {
			c[i][j] *= w.variance
		}
	}
	return carriedBy(w.in.out.L, c)
}

// carriedBy is m·c·mᵀ: a covariance after a map.
func carriedBy(m, c rigid.Rot) rigid.Rot { return m.Mul(c).Mul(m.Transpose()) }

func full(s rigid.Sym) rigid.Rot {
	return rigid.Rot{{s.XX, s.XY, s.XZ}, {s.XY, s.YY, s.YZ}, {s.XZ, s.YZ, s.ZZ}}
}

// shake adds to the deviation of the pivot what comes from the segment above, whose own motion in a shape is known no better than its skin
// tells it. derived: a motion of a pose that is off by e at the pivot moves that by −(I − R)⁻¹·e, and over several poses by the same weighted
// mean by which centre.Ball finds its first guess.
func (p *Proposal) shake(poses posefit.Poses, fit centre.Fit) {
	var normal rigid.Sym
	covariance := rigid.Rot{}
	for i, pose := range poses.Targets {
		weight, k := 0.0, rigid.Identity()
		for _, w := range pose.Weights {
			weight += w
		}
		for a := range 3 {
			for b := range 3 {
				k[a][b] -= fit.Rotations[i][a][b]
			}
		}
		for _, row := range k {
			normal = normal.AddOuter(weight, rigid.Vec{X: row[0], Y: row[1], Z: row[2]})
		}
		var off rigid.Rot
		if p.above[i] != nil {
			off = carriedBy(k.Transpose().Mul(p.in.back.L), p.above[i].at(p.Pivot))
		}
		for a := range 3 {
			for b := range 3 {
				covariance[a][b] += weight * weight * off[a][b]
			}
		}
	}
	values, vectors := normal.Eigen()
	rank := 3
	if p.Determined == centre.Line {
		rank = 2
	}
	var back rigid.Sym
	for i := range rank {
		back = back.AddOuter(1/values[i], vectors[i])
	}
	covariance = carriedBy(p.in.out.L.Mul(full(back)), covariance)
	var across rigid.Sym
	for _, u := range basis(p.Axis) {
		for _, v := range basis(p.Axis) {
			c := u.Dot(covariance.Apply(v)) / 4 // of u·vᵀ + v·uᵀ, which is met twice
			across = across.AddOuter(c, u.Add(v)).AddOuter(-c, u.Sub(v))
		}
	}
	most, _ := across.Eigen()
	p.Sigma = math.Sqrt(p.Sigma*p.Sigma + math.Max(0, most[0]))
}

// basis are the directions across an axis; all, where it is zero.
func basis(axis rigid.Vec) []rigid.Vec {
	if axis == (rigid.Vec{}) {
		return []rigid.Vec{{X: 1}, {Y: 1}, {Z: 1}}
	}
	u, v := rigid.Basis(axis)
	return []rigid.Vec{u, v}
}
