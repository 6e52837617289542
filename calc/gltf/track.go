package gltf

import (
	"math"
	"slices"

	"centrode/calc/rigid"
)

// Track is a channel of an animation, decoded.
type Track struct {
	Node          int
	Path          string
	Interpolation string
	Width         int       // numbers a key
	Times         []float32 // seconds, rising
	Values        []float32 // Width a key; with CUBICSPLINE three times as many: in-tangent, value, out-tangent
}

// Track decodes a channel. One whose path is not of the standard has Width 0 and no keys.
func (d *Document) Track(animation, channel int) Track {
	a := d.Animations[animation]
	c := a.Channels[channel]
	t := Track{Node: c.Node, Path: c.Path, Interpolation: a.Samplers[c.Sampler].Interpolation}
	if c.Node < 0 || d.pathWidth(c) <= 0 {
		return t
	}
	t.Width = d.pathWidth(c)
	t.Times, t.Values = d.Floats(a.Samplers[c.Sampler].Input), d.Floats(a.Samplers[c.Sampler].Output)
	return t
}

// Key returns the value at key i, without its tangents.
func (t Track) Key(i int) []float32 {
	if t.Interpolation == "CUBICSPLINE" {
		i = 3*i + 1
	}
	return t.Values[i*t.Width : (i+1)*t.Width]
}

// tangent is the incoming (0) or outgoing (2) tangent of key i of a cubic track, a unit a second.
func (t Track) tangent(i, side int) []float32 {
	return t.Values[(3*i+side)*t.Width : (3*i+side+1)*t.Width]
}

// At writes the value at a time in seconds into out, which has room for Width numbers: before the first key the first
// value, after the last the last, between keys as Interpolation says. Rotations are turned along the shorter way at an
// even pace, or, when cubic, made of length 1 after. It allocates nothing.
// Source: gltf2, appendix C.
func (t Track) At(seconds float64, out []float64) {
	p := Playhead{Track: t}
	p.At(seconds, out)
}

// Playhead reads a track at many moments: from one to the next between the same two keys it keeps which these are, and the way from
// one rotation to the other. It reads what the track reads.
type Playhead struct {
	Track
	next int // key before which the last moment lay
	arc  arc // to that key, once it was asked for
	had  int // the key to which arc leads, 0 for none
}

// At is Track.At.
func (p *Playhead) At(seconds float64, out []float64) {
	t := &p.Track
	if len(t.Times) == 0 {
		return
	}
	if n := p.next; n == 0 || n == len(t.Times) || seconds < float64(t.Times[n-1]) || seconds >= float64(t.Times[n]) {
		p.next = t.after(seconds)
	}
	i := max(p.next-1, 0)
	from := t.Key(i)
	if p.next == 0 || p.next == len(t.Times) || t.Interpolation == "STEP" {
		for k, x := range from {
			out[k] = float64(x)
		}
		return
	}
	start := float64(t.Times[i])
	span := float64(t.Times[p.next]) - start
	u := (seconds - start) / span
	switch {
	case t.Interpolation == "CUBICSPLINE":
		t.cubic(i, u, span, out)
	case t.Path == "rotation":
		if p.had != p.next {
			p.arc, p.had = arcOf(Quat(from), Quat(t.Key(p.next))), p.next
		}
		q := p.arc.at(u)
		out[0], out[1], out[2], out[3] = q.X, q.Y, q.Z, q.W
	default:
		to := t.Key(p.next)
		for k, x := range from {
			out[k] = float64(x) + u*(float64(to[k])-float64(x))
		}
	}
}

// after is the first key that lies after a moment.
func (t *Track) after(seconds float64) int {
	next, _ := slices.BinarySearchFunc(t.Times, seconds, func(key float32, at float64) int {
		if float64(key) <= at {
			return -1
		}
		return 1
	})
	return next
}

// cubic is Hermite's form between key i and the next, u from 0 to 1.
func (t Track) cubic(i int, u, span float64, out []float64) {
	u2, u3 := u*u, u*u*u
	from, to, leave, reach := t.Key(i), t.Key(i+1), t.tangent(i, 2), t.tangent(i+1, 0)
	for k := range from {
		out[k] = (2*u3-3*u2+1)*float64(from[k]) + span*(u3-2*u2+u)*float64(leave[k]) +
			(3*u2-2*u3)*float64(to[k]) + span*(u3-u2)*float64(reach[k])
	}
	if t.Path == "rotation" {
		q, _ := rigid.Quat{X: out[0], Y: out[1], Z: out[2], W: out[3]}.Unit()
		out[0], out[1], out[2], out[3] = q.X, q.Y, q.Z, q.W
	}
}

// arc is the shorter way from one rotation to another.
type arc struct {
	from, to   rigid.Quat
	angle, sin float64 // 0 where they are so near that the chord is the arc to all digits of a float32
}

func arcOf(from, to rigid.Quat) arc {
	a, _ := from.Unit()
	b, _ := to.Unit()
	dot := a.X*b.X + a.Y*b.Y + a.Z*b.Z + a.W*b.W
	if dot < 0 {
		b, dot = rigid.Quat{X: -b.X, Y: -b.Y, Z: -b.Z, W: -b.W}, -dot
	}
	if dot < 1-1e-7 {
		angle := math.Acos(dot)
		return arc{a, b, angle, math.Sin(angle)}
	}
	return arc{a, b, 0, 0}
}

// at turns at an even pace, u from 0 to 1.
func (a *arc) at(u float64) rigid.Quat {
	p, q := 1-u, u
	if a.angle > 0 {
		p, q = math.Sin(p*a.angle)/a.sin, math.Sin(q*a.angle)/a.sin
	}
	r, _ := rigid.Quat{X: p*a.from.X + q*a.to.X, Y: p*a.from.Y + q*a.to.Y, Z: p*a.from.Z + q*a.to.Z, W: p*a.from.W + q*a.to.W}.Unit()
	return r
}

// Quat takes a rotation as a file has it: x, y, z, w.
func Quat(v []float32) rigid.Quat {
	return rigid.Quat{X: float64(v[0]), Y: float64(v[1]), Z: float64(v[2]), W: float64(v[3])}
}

// Keyed returns the node with its translation, rotation and scale as tracks have them at a time in seconds. A track without
// keys leaves its part as it is; Local is not made anew. It allocates nothing.
func (n Node) Keyed(seconds float64, tracks ...Track) Node {
	var v [4]float64
	for _, t := range tracks {
		if len(t.Times) == 0 || t.Width > len(v) {
			continue
		}
		t.At(seconds, v[:])
		switch t.Path {
		case "translation":
			n.Translation = rigid.Vec{X: v[0], Y: v[1], Z: v[2]}
		case "scale":
			n.Scale = rigid.Vec{X: v[0], Y: v[1], Z: v[2]}
		case "rotation":
			n.Rotation, _ = rigid.Quat{X: v[0], Y: v[1], Z: v[2], W: v[3]}.Unit()
		}
	}
	return n
}
