package carry

import (
	"math"

	"centrode/calc/affine"
	"centrode/calc/gltf"
	"centrode/calc/rigid"
)

// mostLooks bounds how often a node above is asked where a clip has it, in all new tracks together: in a deep tree and a long clip, a
// piece of a track after the other would ask all nodes above. Most need not ask, see reach; a second or so is for those that must.
const mostLooks = 1 << 24

// lift is a node above with its tracks and what it has where there are none, or several in a row that the clip leaves alone.
type lift struct {
	turn, size gltf.Playhead
	rotation   rigid.Quat
	scale      rigid.Vec
	still      *rigid.Rot // what they do to a vector that goes up through all of them; nil for a node with tracks
	reach      reach      // of that, or of a node whose size no track changes
}

// reach is how much shorter and how much longer a vector may become on its way up.
type reach struct{ least, most float64 }

func (r reach) times(other reach) reach { return reach{r.least * other.least, r.most * other.most} }

// reachOf is the reach of three scales along axes at right angles.
func reachOf(x, y, z float64) reach {
	x, y, z = math.Abs(x), math.Abs(y), math.Abs(z)
	return reach{min(x, y, z), max(x, y, z)}
}

// above lists a node and those above it with their tracks, where the clip scales one of them, or where one is scaled unevenly, so that
// lengths are others when what is below it turns; else nothing.
func (p *Plan) above(animation, node int, by clip) (list []lift) {
	scaled := false
	for up := node; up >= 0 && !scaled; up = p.Body.Doc.Nodes[up].Parent {
		scaled = by.of(up)[scale] >= 0 || !p.Body.Doc.Nodes[up].Local.Even()
	}
	for up := node; up >= 0 && scaled; up = p.Body.Doc.Nodes[up].Parent {
		n, track := p.Body.Doc.Nodes[up], p.keyed(animation, up, by).track
		here := lift{turn: gltf.Playhead{Track: track[rotation]}, size: gltf.Playhead{Track: track[scale]}, rotation: n.Rotation, scale: n.Scale, reach: reachOf(n.Scale.X, n.Scale.Y, n.Scale.Z)}
		if len(here.turn.Times)+len(here.size.Times) == 0 {
			l := affine.FromTRS(rigid.Vec{}, n.Rotation, n.Scale).L
			if last := len(list) - 1; last >= 0 && list[last].still != nil {
				l = l.Mul(*list[last].still)
				list[last].still, list[last].reach = &l, list[last].reach.times(here.reach)
				continue
			}
			here.still = &l
		}
		list = append(list, here)
	}
	// What turns above all that is scaled unevenly changes no length.
	whole, last := reach{1, 1}, len(list)
	for last > 0 && len(list[last-1].size.Times) == 0 && list[last-1].reach.most <= list[last-1].reach.least*(1+slack) {
		last--
		whole = whole.times(list[last].reach)
	}
	if last < len(list) {
		list = append(list[:last], lift{still: &rigid.Rot{{whole.most}, {0, whole.most}, {0, 0, whole.most}}, reach: whole})
	}
	return list
}

// reached tells for each of the times, which rise, between which bounds the way up changes lengths since the one before; nothing where
// nothing above is scaled. Where that is far apart all over, so that each piece must ask, it is counted before they do.
func (p *Plan) reached(above []lift, times []float32) []reach {
	if len(above) == 0 {
		return nil
	}
	list := make([]reach, len(times))
	for i := range list {
		list[i] = reach{1, 1}
	}
	for k := range above { // one node after the other, since each has its numbers in a row
		l := &above[k]
		if len(l.size.Times) > 0 {
			l.spans(times, list)
			continue
		}
		for i := range list {
			list[i] = list[i].times(l.reach)
		}
	}
	p.looks += len(times)
	for _, r := range list {
		if r.most > 100*r.least {
			p.looks += 8 * len(above)
		}
	}
	return list
}

// spans multiplies the reach before each of the times by that of the keys around. Between keys a scale is between theirs, but for a
// spline, which may go anywhere.
func (l *lift) spans(times []float32, list []reach) {
	first, keys := 0, l.size.Times
	for i, at := range times {
		r := reach{0, math.Inf(1)}
		if l.size.Interpolation != "CUBICSPLINE" {
			from := times[max(i-1, 0)]
			for first+1 < len(keys) && keys[first+1] <= from {
				first++
			}
			low, high := key(l.size.Track, first), key(l.size.Track, first)
			for k := first + 1; k < len(keys) && keys[k-1] < at; k++ {
				for axis, x := range key(l.size.Track, k) {
					low[axis], high[axis] = min(low[axis], x), max(high[axis], x)
				}
			}
			r = reach{math.Inf(1), 0}
			for axis := range low {
				if low[axis] <= 0 && high[axis] >= 0 { // it passes through nothing
					r.least = 0
				}
				r.least, r.most = min(r.least, math.Abs(low[axis]), math.Abs(high[axis])), max(r.most, math.Abs(low[axis]), math.Abs(high[axis]))
			}
		}
		list[i] = list[i].times(r)
	}
}

// foreseen is how often the pieces of a new track will ask the nodes above, by some of them, if that is more than may be: who is
// refused need not wait for it. Else it is 0, for it will be counted.
func (p *Plan) foreseen(node int, k keyed, times []float32) int {
	const every = 61 // a prime: a loop repeats after some round number of keys, and all of it is to be seen, not one moment again and again
	before := p.looks
	for i := every; i < len(times) && k.reaches != nil; i += every {
		p.divide(node, k, times[i-1], k.end(times, i), i, deepest, func(float32) {})
	}
	if looks := 2 * every * (p.looks - before); looks > mostLooks { // twice, for what is written is looked at again
		return looks
	}
	return 0
}

func key(t gltf.Track, i int) [3]float64 {
	v := t.Key(i)
	return [3]float64{float64(v[0]), float64(v[1]), float64(v[2])}
}

// slack is more than rounding moves a length that is compared with a bound.
const slack = 1e-9

// strays reports whether a miss before key i is longer in the world than what a piece may stray.
func (p *Plan) strays(node int, k keyed, miss rigid.Vec, seconds float64, i int) bool {
	if k.reaches != nil {
		p.looks++
		switch size, r := p.first(node, miss).Len(), k.reaches[i]; {
		case size*r.most*(1+slack) <= p.fine:
			return false
		case size*r.least*(1-slack) > p.fine:
			return true
		}
	}
	return p.lifted(node, k, miss, seconds) > p.fine
}

// worst keeps the greatest miss of a track as worse does, and looks only at one that may be it.
func (p *Plan) worst(out *Track, k keyed, miss rigid.Vec, seconds float64, i int) {
	if k.reaches != nil {
		p.looks++
		if p.first(out.Node, miss).Len()*k.reaches[i].most*(1+slack)*gltf.CmPerUnit <= out.Error {
			return
		}
	}
	p.worse(out, k, miss, seconds)
}

// first takes a vector from the new frame of a node's parent to the old one.
func (p *Plan) first(node int, v rigid.Vec) rigid.Vec {
	if parent := p.Body.Doc.Nodes[node].Parent; parent >= 0 {
		return p.own[parent].L.Apply(v)
	}
	return v
}

// lifted is the length in the world of a vector in the new frame of a node's parent: what turns above changes none, so the rest serves
// where nothing there is scaled unevenly, and nothing in the clip.
func (p *Plan) lifted(node int, k keyed, v rigid.Vec, seconds float64) float64 {
	v = p.first(node, v)
	p.looks += len(k.above)
	for i := range k.above {
		v = k.above[i].up(v, seconds)
	}
	if parent := p.Body.Doc.Nodes[node].Parent; parent >= 0 && k.above == nil {
		if j := p.Body.JointOf(parent); j >= 0 {
			v = p.Body.Joints[j].World.L.Apply(v)
		}
	}
	return v.Len()
}

// up takes a vector from below the node, or the nodes, to above them.
func (l *lift) up(v rigid.Vec, seconds float64) rigid.Vec {
	if l.still != nil {
		return l.still.Apply(v)
	}
	q, s := l.rotation, l.scale
	var at [4]float64
	if len(l.size.Times) > 0 {
		l.size.At(seconds, at[:])
		s = rigid.Vec{X: at[0], Y: at[1], Z: at[2]}
	}
	if len(l.turn.Times) > 0 {
		l.turn.At(seconds, at[:])
		q = rigid.Quat{X: at[0], Y: at[1], Z: at[2], W: at[3]}
		if length := q.X*q.X + q.Y*q.Y + q.Z*q.Z + q.W*q.W; math.Abs(length-1) > 1e-12 { // a key, which need not be of length 1
			q, _ = q.Unit()
		}
	}
	return q.Rot().Apply(rigid.Vec{X: s.X * v.X, Y: s.Y * v.Y, Z: s.Z * v.Z})
}
