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
	if len(t.Times) == 0 {
		return
	}
	next, _ := slices.BinarySearchFunc(t.Times, seconds, func(key float32, at float64) int {
		if float64(key) <= at {
			return -1
		}
		return 1
	})
	i := max(next-1, 0)
	from := t.Key(i)
	for k, x := range from {
		out[k] = float64(x)
	}
	if next == 0 || next == len(t.Times) || t.Interpolation == "STEP" {
		return
	}
	to, start := t.Key(next), float64(t.Times[i])
	span := float64(t.Times[next]) - start
	u := (seconds - start) / span
	switch {
	case t.Interpolation == "CUBICSPLINE":
		t.cubic(i, u, span, out)
	case t.Path == "rotation":
		slerp(from, to, u, out)
	default:
		for k := range from {
			out[k] += u * (float64(to[k]) - float64(from[k]))
		}
	}
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

// slerp turns from one rotation to another at an even pace along the shorter way.
func slerp(from, to []float32, u float64, out []float64) {
	a, _ := Quat(from).Unit()
	b, _ := Quat(to).Unit()
	dot := a.X*b.X + a.Y*b.Y + a.Z*b.Z + a.W*b.W
	if dot < 0 {
		b, dot = rigid.Quat{X: -b.X, Y: -b.Y, Z: -b.Z, W: -b.W}, -dot
	}
	p, q := 1-u, u
	if dot < 1-1e-7 { // nearer ones are so close that the chord is the arc to all digits of a float32
		angle := math.Acos(dot)
		p, q = math.Sin(p*angle)/math.Sin(angle), math.Sin(q*angle)/math.Sin(angle)
	}
	r, _ := rigid.Quat{X: p*a.X + q*b.X, Y: p*a.Y + q*b.Y, Z: p*a.Z + q*b.Z, W: p*a.W + q*b.W}.Unit()
	out[0], out[1], out[2], out[3] = r.X, r.Y, r.Z, r.W
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
