package rigid

import "math"

// Pair is what a fit must know of one pose: the moments of two weighted point sets, so that every residual about any
// pivot costs the same however many landmarks there are.
type Pair struct {
	W            float64 // sum of the weights
	RestMean     Vec
	PosedMean    Vec
	rest         Sym   // Σ w·x·xᵀ of the rest landmarks about their mean
	cross        Cross // Σ w·x·yᵀ about the means
	restSquares  float64
	posedSquares float64
}

// NewPair takes the moments of one pose. weights may be nil for equal weights; the three slices have one length.
func NewPair(rest, posed []Vec, weights []float64) Pair {
	var p Pair
	weight := func(i int) float64 {
		if weights == nil {
			return 1
		}
		return weights[i]
	}
	for i := range rest {
		w := weight(i)
		p.W += w
		p.RestMean = p.RestMean.Add(rest[i].Scale(w))
		p.PosedMean = p.PosedMean.Add(posed[i].Scale(w))
	}
	if p.W > 0 {
		p.RestMean, p.PosedMean = p.RestMean.Scale(1/p.W), p.PosedMean.Scale(1/p.W)
	}
	for i := range rest {
		w, a, b := weight(i), rest[i].Sub(p.RestMean), posed[i].Sub(p.PosedMean)
		p.rest = p.rest.AddOuter(w, a)
		p.cross.Add(w, a, b)
		p.restSquares += w * a.Dot(a)
		p.posedSquares += w * b.Dot(b)
	}
	return p
}

// Moved returns the pair with its posed landmarks moved.
func (p Pair) Moved(m Motion) Pair {
	p.PosedMean = m.Apply(p.PosedMean)
	var cross Cross
	for i := range 3 {
		for j := range 3 {
			cross[i][j] = m.R[j][0]*p.cross[i][0] + m.R[j][1]*p.cross[i][1] + m.R[j][2]*p.cross[i][2]
		}
	}
	p.cross = cross
	return p
}

// Spread returns the three principal root-mean-square extents of the rest landmarks, falling: the second is 0 when they
// lie on one line.
func (p Pair) Spread() [3]float64 {
	values, _ := p.rest.Eigen()
	for i, v := range values {
		values[i] = math.Sqrt(math.Max(0, v/p.W))
	}
	return values
}

// Free returns the best unconstrained rigid motion of the pose.
func (p *Pair) Free() Motion {
	r := p.cross.BestTurn()
	return Motion{r, p.PosedMean.Sub(r.Apply(p.RestMean))}
}

// FreeAbout returns the best rigid motion of the pose whose rotation is about the direction of the unit axis.
func (p *Pair) FreeAbout(axis Vec) Motion {
	_, best := p.cross.BestAbout(axis)
	return Motion{best.R, p.PosedMean.Sub(best.R.Apply(p.RestMean))}
}

// crossAbout returns Σ w·(x − pivot)·(y − pivot)ᵀ.
func (p *Pair) crossAbout(pivot Vec) Cross {
	m := p.cross
	m.Add(p.W, p.RestMean.Sub(pivot), p.PosedMean.Sub(pivot))
	return m
}

// About returns the best rotation of the pose about the pivot, free in direction.
func (p *Pair) About(pivot Vec) Best {
	m := p.crossAbout(pivot)
	return m.Best()
}

// TurnAbout returns the rotation of About alone, at a fifth of its cost.
func (p *Pair) TurnAbout(pivot Vec) Rot {
	m := p.crossAbout(pivot)
	return m.BestTurn()
}

// AboutAxis returns the best rotation of the pose about the line through pivot along the unit axis.
func (p *Pair) AboutAxis(pivot, axis Vec) (float64, Best) {
	m := p.crossAbout(pivot)
	return m.BestAbout(axis)
}

// Miss returns ē = R(x̄ − pivot) + pivot − ȳ, how far the mean misses its place.
func (p *Pair) Miss(pivot Vec, r Rot) Vec {
	return r.Apply(p.RestMean.Sub(pivot)).Add(pivot).Sub(p.PosedMean)
}

// Inertia returns Σ w·(|v|²·I − v·vᵀ) of the rest landmarks v = x − pivot: the resistance to turning about it.
func (p *Pair) Inertia(pivot Vec) Sym {
	s := p.rest.AddOuter(p.W, p.RestMean.Sub(pivot))
	t := s.XX + s.YY + s.ZZ
	return Sym{t - s.XX, -s.XY, -s.XZ, t - s.YY, -s.YZ, t - s.ZZ}
}

// Stiffness returns tr(K)·I − (K + Kᵀ)/2 with K = Σ w·v·(Rᵀz)ᵀ, v = x − pivot, z = y − pivot: how much half of the weighted
// squared distances grows, to second order, when the rotation R about the pivot is turned on. Inertia is the same
// where nothing is left over.
func (p *Pair) Stiffness(pivot Vec, r Rot) Sym {
	k := p.turnedCross(pivot, r)
	t := k[0][0] + k[1][1] + k[2][2]
	return Sym{t - k[0][0], -(k[0][1] + k[1][0]) / 2, -(k[0][2] + k[2][0]) / 2, t - k[1][1], -(k[1][2] + k[2][1]) / 2, t - k[2][2]}
}

// turnedCross is Σ w·v·(Rᵀz)ᵀ.
func (p *Pair) turnedCross(pivot Vec, r Rot) (k [3][3]float64) {
	m := p.crossAbout(pivot)
	for i := range 3 {
		for j := range 3 {
			k[i][j] = m[i][0]*r[0][j] + m[i][1]*r[1][j] + m[i][2]*r[2][j]
		}
	}
	return k
}

// Torque returns Σ w·v × Rᵀ(y − pivot), with v = x − pivot: it vanishes at the best rotation.
func (p *Pair) Torque(pivot Vec, r Rot) Vec {
	k := p.turnedCross(pivot, r)
	return Vec{k[1][2] - k[2][1], k[2][0] - k[0][2], k[0][1] - k[1][0]}
}

// Residual returns Σ w·|motion(x) − y|², summed landmark by landmark. Motion.Apply is written out: called, it would copy the rotation
// for each landmark, which took a sixth of a whole fit.
func Residual(m Motion, rest, posed []Vec, weights []float64) float64 {
	sum, r, t := 0.0, &m.R, m.T
	for i, y := range posed[:len(rest)] {
		x := rest[i]
		d := Vec{
			r[0][0]*x.X + r[0][1]*x.Y + r[0][2]*x.Z + t.X - y.X,
			r[1][0]*x.X + r[1][1]*x.Y + r[1][2]*x.Z + t.Y - y.Y,
			r[2][0]*x.X + r[2][1]*x.Y + r[2][2]*x.Z + t.Z - y.Z,
		}
		w := 1.0
		if weights != nil {
			w = weights[i]
		}
		sum += w * d.Dot(d)
	}
	return sum
}

// far is how many times the landmarks' own squares those of their means about a pivot may be: from thirty sizes off on, a fit
// leaves a part of the latter that their own digits no longer hold. Nearer ones lose digits with the square of that, which tells only
// where the rotation leaves next to nothing; thin is how little that is, as a part of the two.
const (
	far  = 1000
	thin = 1e-10
)

// LeastSquares returns the weighted sum of squared distances that the best rotation about the pivot leaves. Its root is good to about
// 1e-8 of the landmarks' own size about their means, for a pivot up to a thousand times that away; use Residual for the last digits.
// The fast path of a map; Turning is its like for a rotation about one direction. Allocates nothing.
func (p *Pair) LeastSquares(pivot Vec) float64 {
	m := p.crossAbout(pivot)
	a, b := p.RestMean.Sub(pivot), p.PosedMean.Sub(pivot)
	own, means := p.restSquares+p.posedSquares, p.W*(a.Dot(a)+b.Dot(b))
	bound := (own + means) / 2
	if means <= far*own {
		if squares := 2 * (bound - m.BestSum(bound)); squares > 0 && !(squares*own < thin*means*means) {
			return squares
		}
	}
	return p.left(pivot, m.BestTurn())
}

// left is what the rotation about the pivot leaves: of the landmarks about their means, and of the means. Neither is the
// difference of numbers that grow with the distance of the pivot.
func (p *Pair) left(pivot Vec, r Rot) float64 {
	sum, miss := 0.0, p.Miss(pivot, r)
	for i := range 3 {
		for j := range 3 {
			sum += p.cross[i][j] * r[j][i]
		}
	}
	return max(0, p.restSquares+p.posedSquares-2*sum) + p.W*miss.Dot(miss)
}
