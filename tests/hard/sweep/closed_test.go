package sweep

import (
	"hash"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"centrode/calc/bendsection"
	"centrode/calc/catalog"
	"centrode/calc/catalog/list"
	"centrode/calc/hingearc"
	"centrode/calc/pivotoffset"
	"centrode/calc/placementmap"
	"centrode/calc/rigid"
)

// chordOf is 2·lever·sin(turn/2) from the 200-bit series; turn in degrees, from 0 to 180.
func chordOf(lever, turn float64) float64 {
	_, sin := circle(turn / 2)
	chord, _ := sin.Mul(sin, exact(2*lever)).Float64()
	return chord
}

// owed asks pivot-offset about an offset that lies off the axis by off, and beside it along the axis by along. The owed
// translation is a chord; what it may miss is counted in last digits of the offset, since the lever is a difference of them.
func owed(r *rand.Rand, off, along, turn float64, digest hash.Hash) verdict {
	axis := random(r, 1).Unit()
	side, _ := rigid.Basis(axis)
	offset := axis.Scale(along).Add(side.Scale(off))
	v := catalog.NewValues()
	v.Numbers = map[string]float64{"axis_x": axis.X, "axis_y": axis.Y, "axis_z": axis.Z, "offset_x": offset.X, "offset_y": offset.Y, "offset_z": offset.Z, "angle": turn}
	answer, ok := run(pivotoffset.Calculator{}, v, digest)
	if !ok {
		return verdict{refused: true}
	}
	half := math.Sin(turn * math.Pi / 360)
	return verdict{ratio: math.Max(
		within(math.Abs(answer.Numbers["lever"]-off), 2*ulps*offset.Len()),
		within(math.Abs(answer.Numbers["owed_length"]-chordOf(off, turn)), 4*ulps*half*offset.Len()))}
}

// sweepOf asks hinge-arc about a tip that moves along an arc: its chord, and the shift between two tips that turn alike.
func sweepOf(radius, shift, turn float64, digest hash.Hash) verdict {
	v := catalog.NewValues()
	v.Numbers = map[string]float64{"tip_x": radius, "candidate_x": 0, "candidate_y": -shift, "to_angle": turn}
	answer, ok := run(hingearc.Calculator{}, v, digest)
	if !ok {
		return verdict{refused: true}
	}
	half := math.Sin(turn * math.Pi / 360)
	return verdict{ratio: math.Max(
		within(math.Abs(answer.Numbers["current_chord"]-chordOf(radius, turn)), 2*ulps*half*radius),
		within(math.Abs(answer.Numbers["shift_length"]-chordOf(shift, turn)), 2*ulps*half*shift))}
}

// thinned asks bend-section for the thickness that even weights leave at the joint: the cosine of half the bend.
func thinned(flex float64, digest hash.Hash) verdict {
	v := catalog.NewValues()
	v.Numbers["flex"], v.Numbers["passes"] = flex, 0
	answer, ok := run(bendsection.Calculator{}, v, digest)
	if !ok {
		return verdict{refused: true}
	}
	cos, _ := circle(flex / 2)
	want, _ := cos.Float64()
	return verdict{ratio: within(math.Abs(answer.Numbers["thickness_ratio"]-want), 2*ulps)}
}

// mapError is to how much of the landmarks' distance from the pivot a cell of a map is known; places that differ by less are
// equally good to it.
const mapError = 2e-8

// mapped asks placement-map about a region whose middle cell has its centre on the true pivot, where rotation leaves nothing.
func mapped(r *rand.Rand, p poses, digest hash.Hash) verdict {
	v, largest := p.values(r, 0)
	size := 0.0
	for _, x := range p.rest {
		size = math.Max(size, x.Sub(p.pivot).Len())
	}
	at := p.pivot.Add(p.shift)
	v.Numbers = map[string]float64{"min_u": at.X - 4, "max_u": at.X + 4, "min_v": at.Y - 4, "max_v": at.Y + 4, "level": at.Z, "cells": 5}
	answer, ok := run(placementmap.Calculator{}, v, digest)
	if !ok {
		return verdict{refused: true}
	}
	return verdict{ratio: within(answer.Numbers["best_rms"], mapError*size+4*ulps*largest)}
}

func closedFamilies() []family {
	plain := []float64{0}
	return []family{
		{"pivot-offset, tiny turn", func(r *rand.Rand, e int, _ float64, d hash.Hash) verdict {
			return owed(r, 1+r.Float64(), 0, small(e)*180*r.Float64(), d)
		}, plain},
		{"pivot-offset, nearly on the axis", func(r *rand.Rand, e int, _ float64, d hash.Hash) verdict {
			return owed(r, small(e), 5, 180*r.Float64(), d)
		}, plain},
		{"hinge-arc, tiny sweep", func(r *rand.Rand, e int, _ float64, d hash.Hash) verdict {
			return sweepOf(10+10*r.Float64(), 1+r.Float64(), small(e)*180*r.Float64(), d)
		}, plain},
		{"hinge-arc, pivots nearly in one place", func(r *rand.Rand, e int, _ float64, d hash.Hash) verdict {
			return sweepOf(10+10*r.Float64(), small(e), 180*r.Float64(), d)
		}, plain},
		{"bend-section, nearly folded flat", func(r *rand.Rand, e int, _ float64, d hash.Hash) verdict {
			return thinned(180-small(e)*90*r.Float64(), d)
		}, plain},
		{"placement-map, tiny turns", func(r *rand.Rand, e int, _ float64, d hash.Hash) verdict {
			p := scene(r, "ball")
			for i, turn := range p.turns {
				axis, angle := turn.AxisAngle()
				p.turns[i], _ = rigid.Turn(axis, small(e)*angle)
			}
			return mapped(r, p, d)
		}, plain},
		{"placement-map, far from the origin", func(r *rand.Rand, e int, _ float64, d hash.Hash) verdict {
			p := scene(r, "ball")
			p.shift = random(r, 1).Unit().Scale(math.Min(1/small(e), 9e5))
			return mapped(r, p, d)
		}, plain},
	}
}

func TestEveryCalculatorIsSwept(t *testing.T) {
	swept := families()
	for _, id := range list.IDs() {
		found := false
		for _, f := range swept {
			found = found || strings.HasPrefix(f.name, id)
		}
		if !found {
			t.Errorf("%s is in no family; add one to families", id)
		}
	}
}
