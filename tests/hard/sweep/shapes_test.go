package sweep

import (
	"hash"
	"math"
	"math/big"
	"math/rand/v2"
	"strconv"

	"centrode/calc/catalog"
	"centrode/calc/fingercurl"
	"centrode/calc/hingeplane"
	"centrode/calc/limbfold"
	"centrode/calc/reseat"
	"centrode/calc/rigid"
)

// axisError is what hinge-plane states of its axis: within a millionth of a radian, or refused.
const axisError = 1e-6

// chain asks hinge-plane about four points bent by about s, each to the side given by turn, standing at shift.
func chain(r *rand.Rand, s float64, turns [2]float64, shift rigid.Vec, digest hash.Hash) verdict {
	along := random(r, 1).Unit()
	side, _ := rigid.Basis(along)
	rows := catalog.Rows{Len: 4, Numbers: map[string][]float64{}}
	heading, at := 0.0, shift
	for i := range 4 {
		for id, x := range map[string]float64{"x": at.X, "y": at.Y, "z": at.Z} {
			rows.Numbers[id] = append(rows.Numbers[id], x)
		}
		step := 2 + 8*r.Float64()
		if i == 2 { // the last segment as long as the one before the first bend's, so that opposite bends cancel
			step = 5
		}
		at = at.Add(along.Scale(step * math.Cos(heading))).Add(side.Scale(step * math.Sin(heading)))
		if i < 2 {
			heading += turns[i] * s
		}
	}
	v := catalog.NewValues()
	v.Tables["points"] = rows
	answer, ok := run(hingeplane.Calculator{}, v, digest)
	if !ok {
		return verdict{refused: true}
	}
	off := vector(answer.Numbers, "normal").Cross(side.Cross(along)).Len()
	return verdict{ratio: within(off, axisError)}
}

func chainFamilies() []family {
	return []family{
		{"hinge-plane, nearly straight", func(r *rand.Rand, e int, _ float64, d hash.Hash) verdict {
			return chain(r, small(e), [2]float64{1, 0.7}, rigid.Vec{}, d)
		}, []float64{0}},
		{"hinge-plane, nearly straight, 9 km away", func(r *rand.Rand, e int, _ float64, d hash.Hash) verdict {
			return chain(r, small(e), [2]float64{1, 0.7}, random(r, 1).Unit().Scale(9e5), d)
		}, []float64{0}},
	}
}

// joints asks reseat to move a joint of a bent chain, and puts the skeleton together again from what it prints.
func joints(r *rand.Rand, s, far float64, orient string, digest hash.Hash) verdict {
	shift := random(r, 1).Unit().Scale(far)
	rows := catalog.Rows{Len: 5, Numbers: map[string][]float64{}, Texts: map[string][]string{}}
	var world []rigid.Vec
	at := shift
	for i := range rows.Len {
		parent := ""
		if i > 0 {
			parent = strconv.Itoa(i - 1)
		}
		rows.Texts["name"], rows.Texts["parent"] = append(rows.Texts["name"], strconv.Itoa(i)), append(rows.Texts["parent"], parent)
		q := [4]float64{r.NormFloat64(), r.NormFloat64(), r.NormFloat64(), r.NormFloat64()}
		for k, id := range []string{"x", "y", "z", "qx", "qy", "qz", "qw"} {
			x := [3]float64{at.X, at.Y, at.Z}
			if k < 3 {
				rows.Numbers[id] = append(rows.Numbers[id], x[k])
			} else {
				rows.Numbers[id] = append(rows.Numbers[id], q[k-3]*s)
			}
		}
		world = append(world, at)
		at = at.Add(random(r, 10))
	}
	to := world[3].Add(random(r, s)) // nearly onto the child that an aimed joint looks at
	v := catalog.NewValues()
	v.Tables["joints"], v.Choices["move"], v.Choices["orient"] = rows, "2", orient
	v.Numbers["to_x"], v.Numbers["to_y"], v.Numbers["to_z"] = to.X, to.Y, to.Z
	answer, ok := run(reseat.Calculator{}, v, digest)
	if !ok {
		return verdict{refused: true}
	}
	world[2] = to
	t := answer.Tables["joints"].Numbers
	drift, bind, largest, base := 0.0, 0.0, far, rigid.Motion{R: rigid.Identity()}
	for i := range world {
		q, _ := rigid.Quat{X: t["qx"][i], Y: t["qy"][i], Z: t["qz"][i], W: t["qw"][i]}.Unit()
		base = base.Then(rigid.Motion{R: q.Rot(), T: rigid.Vec{X: t["tx"][i], Y: t["ty"][i], Z: t["tz"][i]}})
		drift = math.Max(drift, base.T.Sub(world[i]).Len())
		cell := func(k int) float64 { return t["m"+strconv.Itoa(k)][i] }
		var home rigid.Vec // the bind matrix takes the joint's own place to the origin
		home.X = cell(0)*world[i].X + cell(4)*world[i].Y + cell(8)*world[i].Z + cell(12)
		home.Y = cell(1)*world[i].X + cell(5)*world[i].Y + cell(9)*world[i].Z + cell(13)
		home.Z = cell(2)*world[i].X + cell(6)*world[i].Y + cell(10)*world[i].Z + cell(14)
		bind, largest = math.Max(bind, home.Len()), math.Max(largest, world[i].Len())
	}
	return verdict{ratio: within(math.Max(drift, bind), answer.Numbers["drift"]+3*ulps*largest)}
}

func jointFamilies() []family {
	var list []family
	for _, orient := range []string{"keep", "aim"} {
		list = append(list,
			family{"reseat " + orient + ", a joint nearly on its child, short quaternions", func(r *rand.Rand, e int, _ float64, d hash.Hash) verdict {
				return joints(r, small(e), 0, orient, d)
			}, []float64{0}},
			family{"reseat " + orient + ", far from the origin", func(r *rand.Rand, e int, _ float64, d hash.Hash) verdict {
				return joints(r, 1, math.Min(1/small(e), 9e5), orient, d)
			}, []float64{0}})
	}
	return list
}

// spanError is what limb-fold states of its spans, as a part of the chain's length.
const spanError = 1e-13

// pair asks limb-fold about two segments, whose spans have a closed form: √((a − b)² + 4ab·cos²(θ/2)) at a bend θ.
func pair(a, b, from, to float64, digest hash.Hash) verdict {
	v := catalog.NewValues()
	v.Tables["segments"] = catalog.Rows{Len: 2, Numbers: map[string][]float64{"length": {a, b}, "rest": {0, 0}, "fold_min": {0, from}, "fold_max": {0, to}}}
	answer, ok := run(limbfold.Calculator{}, v, digest)
	if !ok {
		return verdict{refused: true}
	}
	span := func(degrees float64) float64 {
		half := math.Sin((180 - degrees) * math.Pi / 360) // cos(θ/2), exact near a full fold
		return math.Sqrt((a-b)*(a-b) + 4*a*b*half*half)
	}
	off := math.Max(math.Abs(answer.Numbers["span_max"]-span(from)), math.Abs(answer.Numbers["span_min"]-span(to)))
	return verdict{ratio: within(off, spanError*(a+b))}
}

func limbFamilies() []family {
	return []family{
		{"limb-fold, nearly closed", func(r *rand.Rand, e int, _ float64, d hash.Hash) verdict {
			a, s := 5+r.Float64(), small(e)
			return pair(a, a*(1+s*r.Float64()), 90*r.Float64(), 180-s*r.Float64(), d)
		}, []float64{0}},
		{"limb-fold, one segment tiny", func(r *rand.Rand, e int, _ float64, d hash.Hash) verdict {
			return pair(5+r.Float64(), small(e), 90*r.Float64(), 90+90*r.Float64(), d)
		}, []float64{0}},
		{"limb-fold, hardly any room", func(r *rand.Rand, e int, _ float64, d hash.Hash) verdict {
			from := 10 + 100*r.Float64()
			return pair(5+r.Float64(), 3, from, from+small(e), d)
		}, []float64{0}},
	}
}

// squash holds a finger's squash near a full fold, and its touching depth, to what they mean.
func squash(r *rand.Rand, s float64, digest hash.Hash) verdict {
	v := catalog.NewValues()
	degrees := 180 - s
	v.Numbers["pip_flex"], v.Numbers["pip_pivot"], v.Numbers["pip_depth"] = degrees, r.Float64(), 1+r.Float64()
	answer, ok := run(fingercurl.Calculator{}, v, digest)
	if !ok {
		return verdict{refused: true}
	}
	if degrees == 180 {
		return verdict{open: !answer.Has("pip_squash"), ratio: map[bool]float64{true: 1e300}[answer.Has("pip_squash")]}
	}
	want := 2 * (1 - v.Numbers["pip_pivot"]) * v.Numbers["pip_depth"] * cot((180-degrees)/2)
	return verdict{ratio: within(math.Abs(answer.Numbers["pip_squash"]-want), 3*ulps*math.Abs(want))}
}

// cot is the cotangent of an angle from 0 to 90 degrees: tan(flex/2) is cot((180° − flex)/2), and that difference is exact.
func cot(degrees float64) float64 {
	cos, sin := circle(degrees)
	answer, _ := cos.Quo(cos, sin).Float64()
	return answer
}

// circle is cosine and sine of an angle from 0 to 90 degrees, from their power series in 200 bits.
func circle(degrees float64) (cos, sin *big.Float) {
	pi, _ := exact(0).SetString("3.14159265358979323846264338327950288419716939937510582097494459") // to 62 digits, as printed everywhere
	x := exact(degrees)
	x.Mul(x, pi).Quo(x, exact(180))
	squared := exact(0).Mul(x, x)
	cos, sin = exact(0), exact(0)
	term := exact(1)
	for k := range 40 { // x ≤ π/2: the last terms are below 1e-70
		cos.Add(cos, term)
		term.Quo(term, exact(float64(2*k+1)))
		sin.Add(sin, term)
		term.Quo(term, exact(float64(2*k+2))).Mul(term, squared).Neg(term)
	}
	return cos, sin.Mul(sin, x)
}

func exact(x float64) *big.Float { return new(big.Float).SetPrec(200).SetFloat64(x) }

// touch asks at which common depth the pulp touches when hardly anything depends on it, and tries that depth.
func touch(r *rand.Rand, s float64, digest hash.Hash) verdict {
	v := catalog.NewValues()
	for _, id := range []string{"mcp", "pip", "dip"} {
		v.Numbers[id+"_flex"] = s * 30 * r.Float64()
	}
	v.Numbers["mcp_flex"] = 180 - s*10
	first, ok := run(fingercurl.Calculator{}, v, digest)
	depth, touches := first.Numbers["depth_to_touch"]
	if !ok {
		return verdict{refused: true}
	}
	if !touches {
		return verdict{open: true}
	}
	for _, id := range []string{"mcp", "pip", "dip"} {
		v.Numbers[id+"_pivot"] = depth
	}
	again, _ := run(fingercurl.Calculator{}, v, digest)
	return verdict{ratio: within(math.Abs(again.Numbers["pulp_gap"]), 1e-10)}
}

func fingerFamilies() []family {
	return []family{
		{"finger-curl, nearly folded flat", func(r *rand.Rand, e int, _ float64, d hash.Hash) verdict { return squash(r, small(e), d) }, []float64{0}},
		{"finger-curl, depth hardly matters", func(r *rand.Rand, e int, _ float64, d hash.Hash) verdict { return touch(r, small(e), d) }, []float64{0}},
	}
}
