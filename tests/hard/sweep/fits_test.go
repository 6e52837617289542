package sweep

import (
	"hash"
	"math"
	"math/rand/v2"

	"centrode/calc/catalog"
	"centrode/calc/keyfit"
	"centrode/calc/posefit"
	"centrode/calc/rigid"
	"centrode/tests/scatter"
)

// sigmas is how many of the stated standard deviations the truth may lie away. With more than fifty degrees of freedom six
// are left behind once in 1e8; a stated sigma that is wrong by its condition number is left behind at once.
const sigmas = 6

// ulps forgives the last digits of the coordinates in which an answer is written: no number can say more than its digits hold.
const ulps = 4e-15

// poses is landmarks that turn about a pivot.
type poses struct {
	rest          []rigid.Vec
	turns         []rigid.Rot
	pivot, axis   rigid.Vec
	shift         rigid.Vec   // where the character stands
	parent        []rigid.Vec // landmarks on a parent that moves as well; none where it holds still
	hinge, shared bool        // asked for as a hinge; all turns truly share the axis
}

func scene(r *rand.Rand, kind string) poses {
	p := poses{pivot: random(r, 3), axis: random(r, 1).Unit(), hinge: kind == "hinge", shared: kind == "hinge"}
	for range 8 {
		p.rest = append(p.rest, p.pivot.Add(rigid.Vec{X: 8}).Add(random(r, 4)))
	}
	for range 6 {
		about := p.axis
		if !p.shared {
			about = random(r, 1)
		}
		turn, _ := rigid.Turn(about, 0.3+1.2*r.Float64())
		p.turns = append(p.turns, turn)
	}
	return p
}

func (p poses) values(r *rand.Rand, noise float64) (v catalog.Values, largest float64) {
	rows, own := catalog.Rows{Numbers: map[string][]float64{}}, catalog.Rows{Numbers: map[string][]float64{}}
	put := func(rows *catalog.Rows, pose int, at rigid.Vec) {
		at = at.Add(p.shift)
		for id, x := range map[string]float64{"pose": float64(pose), "x": at.X, "y": at.Y, "z": at.Z} {
			rows.Numbers[id] = append(rows.Numbers[id], x)
		}
		rows.Len++
		largest = math.Max(largest, at.Len())
	}
	add := func(pose int, at rigid.Vec) { put(&rows, pose, at) }
	for _, x := range p.rest {
		add(0, x)
	}
	for _, x := range p.parent {
		put(&own, 0, x)
	}
	for i, turn := range p.turns {
		carried := rigid.Motion{R: rigid.Identity()}
		if p.parent != nil {
			carried.R, _ = rigid.Turn(random(r, 1), 3*r.Float64())
			carried.T = random(r, 20)
		}
		for _, x := range p.rest {
			add(i+1, carried.Apply(p.pivot.Add(turn.Apply(x.Sub(p.pivot)))).Add(scatter.Vec(r, noise)))
		}
		for _, x := range p.parent {
			put(&own, i+1, carried.Apply(x).Add(scatter.Vec(r, noise)))
		}
	}
	v = catalog.NewValues()
	v.Tables["parent"] = own
	v.Choices["kind"], v.Tables["landmarks"] = "ball", rows
	if p.hinge {
		v.Choices["kind"] = "hinge"
	}
	return v, largest
}

// judge holds the fitted pivot to the true one: across the axis where it may slide along it.
func (p poses) judge(r *rand.Rand, noise float64, digest hash.Hash) verdict {
	v, largest := p.values(r, noise)
	answer, ok := run(posefit.Calculator{}, v, digest)
	if !ok {
		return verdict{refused: true}
	}
	off := vector(answer.Numbers, "pivot").Sub(p.pivot.Add(p.shift))
	switch answer.Texts["determined"] {
	case "none":
		return verdict{open: true}
	case "line": // the given point lies by the true line or, where there is none, the given line by the true pivot
		if !answer.Has("sigma_across") {
			return verdict{open: true}
		}
		across := math.Min(off.Cross(p.axis).Len(), off.Cross(vector(answer.Numbers, "axis")).Len())
		return verdict{open: true, ratio: within(across, sigmas*answer.Numbers["sigma_across"]+ulps*largest)}
	}
	return verdict{ratio: within(off.Len(), sigmas*answer.Numbers["sigma_major"]+ulps*largest)}
}

// poseFamilies place landmarks and turns ill.
func poseFamilies(kind string) []family {
	make := func(name string, spoil func(r *rand.Rand, p *poses, s float64)) family {
		return family{"pose-fit " + kind + ", " + name, func(r *rand.Rand, exponent int, noise float64, digest hash.Hash) verdict {
			p := scene(r, kind)
			spoil(r, &p, small(exponent))
			return p.judge(r, noise, digest)
		}, []float64{0, 1e-3}}
	}
	list := []family{
		make("landmarks near one line", func(r *rand.Rand, p *poses, s float64) {
			along := random(r, 1).Unit()
			for i, x := range p.rest {
				d := x.Sub(p.rest[0])
				lie := along.Scale(along.Dot(d))
				p.rest[i] = p.rest[0].Add(lie).Add(d.Sub(lie).Scale(s))
			}
		}),
		make("landmarks near one place", func(_ *rand.Rand, p *poses, s float64) {
			for i, x := range p.rest {
				p.rest[i] = p.rest[0].Add(x.Sub(p.rest[0]).Scale(s))
			}
		}),
		make("tiny turns", func(_ *rand.Rand, p *poses, s float64) {
			for i, turn := range p.turns {
				axis, angle := turn.AxisAngle()
				p.turns[i], _ = rigid.Turn(axis, s*angle)
			}
		}),
		make("a parent near one line", func(r *rand.Rand, p *poses, s float64) {
			along := random(r, 1).Unit()
			for i := range 8 {
				p.parent = append(p.parent, p.pivot.Add(along.Scale(float64(2*i-20))).Add(random(r, 3*s)))
			}
		}),
		make("a parent near one place", func(r *rand.Rand, p *poses, s float64) {
			for range 8 {
				p.parent = append(p.parent, p.pivot.Add(rigid.Vec{Y: 10}).Add(random(r, 5*s)))
			}
		}),
		make("far from the origin", func(r *rand.Rand, p *poses, s float64) {
			p.shift = random(r, 1).Unit().Scale(math.Min(9e5, 1/s))
		}),
	}
	if kind == "ball" {
		list = append(list, make("axes nearly parallel", func(r *rand.Rand, p *poses, s float64) {
			for i := range p.turns {
				_, angle := p.turns[i].AxisAngle()
				p.turns[i], _ = rigid.Turn(p.axis.Add(random(r, s)), angle)
			}
		}))
	}
	return list
}

// keys asks key-fit about turns of the given size about axes that differ by spread, and an offset of the given length.
func keys(r *rand.Rand, size, spread, length, noise float64, digest hash.Hash) verdict {
	offset, shared := random(r, 1).Unit().Scale(length), random(r, 1).Unit()
	order, _ := rigid.ParseOrder("xyz")
	rows := catalog.Rows{Numbers: map[string][]float64{}}
	for range 20 {
		turn, _ := rigid.Turn(shared.Add(random(r, spread)), size*(0.3+1.2*r.Float64()))
		angles := order.Angles(turn).Scale(180 / math.Pi)
		// The truth turns by the angles that are written down, not by those that they were rounded from.
		turn = order.Rot(angles.Scale(math.Pi / 180))
		t := offset.Sub(turn.Apply(offset)).Add(scatter.Vec(r, noise))
		for id, x := range map[string]float64{"rx": angles.X, "ry": angles.Y, "rz": angles.Z, "tx": t.X, "ty": t.Y, "tz": t.Z} {
			rows.Numbers[id] = append(rows.Numbers[id], x)
		}
		rows.Len++
	}
	v := catalog.NewValues()
	v.Tables["keys"] = rows
	answer, ok := run(keyfit.Calculator{}, v, digest)
	if !ok {
		return verdict{refused: true}
	}
	off := vector(answer.Numbers, "offset").Sub(offset)
	switch answer.Texts["determined"] {
	case "none":
		return verdict{open: true}
	case "line":
		return verdict{open: true, ratio: within(off.Cross(shared).Len(), sigmas*answer.Numbers["sigma_major"]+ulps*length)}
	}
	return verdict{ratio: within(off.Len(), sigmas*answer.Numbers["sigma_major"]+ulps*length)}
}

func keyFamilies() []family {
	noises := []float64{0, 1e-3}
	return []family{
		{"key-fit, tiny turns", func(r *rand.Rand, e int, noise float64, d hash.Hash) verdict {
			return keys(r, small(e), 1, 3, noise, d)
		}, noises},
		{"key-fit, axes nearly parallel", func(r *rand.Rand, e int, noise float64, d hash.Hash) verdict {
			return keys(r, 1, small(e), 3, noise, d)
		}, noises},
		{"key-fit, offset far away", func(r *rand.Rand, e int, noise float64, d hash.Hash) verdict {
			return keys(r, 1, 1, math.Min(1/small(e), 3e5), noise, d)
		}, noises},
	}
}
