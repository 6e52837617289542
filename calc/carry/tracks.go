package carry

import (
	"errors"
	"math"
	"slices"
	"strconv"

	"centrode/calc/affine"
	"centrode/calc/gltf"
	"centrode/calc/rigid"
)

// Track is one channel of a clip that changes, or a new one.
type Track struct {
	Clip          string
	Animation     int
	Channel       int // −1 for a new one
	Node          int
	Name          string
	Path          string
	How           string // shifted, turned, compensated, dropped
	Before, After int    // keys
	Curved        bool   // it was a spline, of which compensated keeps the path and not the tangents
	Error         float64
	At            float64  // when Error is greatest, in seconds
	Alone         *float64 // of a compensated one: the Error that rotation alone would have, in cm; nil where it was not looked for

	times, values []float32
	interpolation string
}

// deepest bounds how often a piece of a track is halved to keep to the path.
const deepest = 8

// mostKeys bounds what the new tracks hold together: an hour of a clip with 30 keys a second, for ten children, is a million.
const mostKeys = 1 << 20

func (p *Plan) tracks() error {
	for i, a := range p.Body.Doc.Animations {
		by := channelsOf(a)
		begun, lifts := map[int]bool{}, map[int][]lift{}
		for _, c := range a.Channels {
			if c.Node < 0 || begun[c.Node] || !p.touched(c.Node) {
				continue
			}
			begun[c.Node] = true
			p.follow(i, c.Node, by, lifts)
			if p.keys > mostKeys {
				return errors.New("the clip " + strconv.Quote(p.Body.Clips[i].Name) + " would need more than " + strconv.Itoa(mostKeys) +
					" new keys to keep its motion; cut it into shorter clips, or keep its rotations alone")
			}
			if p.looks > mostLooks {
				return errors.New("the clip " + strconv.Quote(p.Body.Clips[i].Name) + " scales what carries " + p.name(p.node()) + ", and has more keys there than can be followed through all the nodes above it; cut it into shorter clips")
			}
		}
	}
	return nil
}

// bends names a clip that scales a node otherwise than the rest does but for its size: a turn of the node would shear what the clip
// scales, or turn it the wrong way where the clip mirrors. Empty for none. The keys of a spline tell of all between them, too.
func (p *Plan) bends(node int) string {
	rest := p.Body.Doc.Nodes[node].Scale
	for i, a := range p.Body.Doc.Animations {
		at := channelsOf(a).of(node)[scale]
		if at < 0 {
			continue
		}
		values := p.Body.Doc.Track(i, at).Values
		largest := 0.0
		for _, x := range values {
			largest = max(largest, math.Abs(float64(x)))
		}
		for k := 0; k+2 < len(values); k += 3 {
			x, y, z := math.Copysign(1, rest.X)*float64(values[k]), math.Copysign(1, rest.Y)*float64(values[k+1]), math.Copysign(1, rest.Z)*float64(values[k+2])
			if max(x, y, z)-min(x, y, z) > 1e-4*largest {
				return p.Body.Clips[i].Name
			}
		}
	}
	return ""
}

// channels are those of one node by path, -1 where there is none.
type channels [3]int

// clip has the channels of each node that it moves.
type clip map[int]channels

func (c clip) of(node int) channels {
	if own, moved := c[node]; moved {
		return own
	}
	return channels{-1, -1, -1}
}

func channelsOf(a gltf.Animation) clip {
	by := clip{}
	for c, channel := range a.Channels {
		at := slices.Index([]string{"translation", "rotation", "scale"}, channel.Path)
		if at < 0 {
			continue
		}
		own := by.of(channel.Node)
		own[at] = c
		by[channel.Node] = own
	}
	return by
}

// keyed is what a clip does to one node: channel and track by path.
type keyed struct {
	channel channels
	track   [3]gltf.Track
	above   []lift // the nodes above it, its parent first, where the clip scales one of them
	reaches []reach
}

const (
	translation = iota
	rotation
	scale
)

// follow changes the tracks of one node in one clip.
func (p *Plan) follow(animation, node int, by clip, lifts map[int][]lift) {
	k := p.keyed(animation, node, by)
	parent := p.Body.Doc.Nodes[node].Parent
	above, known := lifts[parent] // what is moved has few parents, and each may stand deep
	if !known {
		above = p.above(animation, parent, by)
		lifts[parent] = above
	}
	k.above = above
	if t := k.track[rotation]; k.channel[rotation] >= 0 {
		p.turn(p.begin(animation, k.channel[rotation], t), t)
	}
	p.shift(animation, node, k)
}

func (p *Plan) keyed(animation, node int, by clip) keyed {
	k := keyed{channel: by.of(node)}
	for at, c := range k.channel {
		if c >= 0 {
			k.track[at] = p.Body.Doc.Track(animation, c)
		}
	}
	return k
}

func (p *Plan) begin(animation, channel int, t gltf.Track) Track {
	return Track{Clip: p.Body.Clips[animation].Name, Animation: animation, Channel: channel, Node: t.Node, Name: p.name(t.Node), Path: t.Path,
		Before: len(t.Times), After: len(t.Times), times: t.Times, values: slices.Clone(t.Values), interpolation: t.Interpolation}
}

// turns are what a rotation of the node is multiplied by, before and after, to stand in the new frames of the node and its
// parent: q' = q_parent⁻¹·q·q_own. The file turns what it has scaled, so q_own is seen through the scale: one that mirrors
// leaves its angle and mirrors its axis.
func (p *Plan) turns(node int) (before, after rigid.Quat) {
	s := p.Body.Doc.Nodes[node].Scale
	q := p.own[node].L.Quat()
	return p.parentBack(node).L.Quat(), rigid.Quat{X: math.Copysign(q.X, q.X*s.Y*s.Z), Y: math.Copysign(q.Y, q.Y*s.Z*s.X), Z: math.Copysign(q.Z, q.Z*s.X*s.Y), W: q.W}
}

// turn carries rotation keys into the new frames, exactly, tangents too, since the product is linear in q.
func (p *Plan) turn(out Track, t gltf.Track) {
	before, after := p.turns(out.Node)
	if same := (rigid.Quat{W: 1}); before == same && after == same {
		return
	}
	out.times, out.values = halved(t)
	out.After = len(out.times)
	for i := 0; i+3 < len(out.values); i += 4 {
		q := product(product(before, gltf.Quat(out.values[i:])), after)
		out.values[i], out.values[i+1], out.values[i+2], out.values[i+3] = float32(q.X), float32(q.Y), float32(q.Z), float32(q.W)
	}
	out.How = "turned"
	p.Tracks = append(p.Tracks, out)
}

// halved returns the keys of a rotation, and one more in the middle between two that lie half a turn apart: there both ways round are
// the shorter one, and the last digit, which is rounded when the keys are turned, would choose between them.
func halved(t gltf.Track) (times, values []float32) {
	if t.Interpolation != "LINEAR" {
		return t.Times, slices.Clone(t.Values)
	}
	for i, at := range t.Times {
		if i > 0 {
			a, _ := gltf.Quat(t.Key(i - 1)).Unit()
			b, _ := gltf.Quat(t.Key(i)).Unit()
			middle := t.Times[i-1] + (at-t.Times[i-1])/2
			if math.Abs(a.X*b.X+a.Y*b.Y+a.Z*b.Z+a.W*b.W) < 1e-6 && middle > t.Times[i-1] && middle < at {
				var q [4]float64
				t.At(float64(middle), q[:])
				times, values = append(times, middle), append(values, float32(q[0]), float32(q[1]), float32(q[2]), float32(q[3]))
			}
		}
		times, values = append(times, at), append(values, t.Key(i)...)
	}
	return times, values
}

// product is a·b: first b, then a.
func product(a, b rigid.Quat) rigid.Quat {
	return rigid.Quat{
		X: a.W*b.X + a.X*b.W + a.Y*b.Z - a.Z*b.Y,
		Y: a.W*b.Y - a.X*b.Z + a.Y*b.W + a.Z*b.X,
		Z: a.W*b.Z + a.X*b.Y - a.Y*b.X + a.Z*b.W,
		W: a.W*b.W - a.X*b.X - a.Y*b.Y - a.Z*b.Z,
	}
}

// shift gives a node the translation that keeps its segment where the clip has it: T' = N_parent⁻¹·(T + R·S·e), e the shift of
// its own move.
func (p *Plan) shift(animation, node int, k keyed) {
	turns := len(k.track[rotation].Times)+len(k.track[scale].Times) > 0
	e := p.own[node].T
	switch {
	case node == p.node() && (turns || k.channel[translation] >= 0) && p.turnsAlone(animation, node, k):
	case e != (rigid.Vec{}) && turns:
		p.compensate(animation, node, k)
	case k.channel[translation] >= 0:
		p.move(animation, node, k)
	}
}

func (p *Plan) node() int { return p.Body.Joints[p.Joint].Node }

// move shifts translation keys by what is the same at every moment; tangents are only turned.
func (p *Plan) move(animation, node int, k keyed) {
	t := k.track[translation]
	out := p.begin(animation, k.channel[translation], t)
	back, shift := p.parentBack(node), p.at(node, k, 0).Sub(p.value(node, k, 0))
	cubic := t.Interpolation == "CUBICSPLINE"
	for i := 0; i+2 < len(out.values); i += 3 {
		v := rigid.Vec{X: float64(out.values[i]), Y: float64(out.values[i+1]), Z: float64(out.values[i+2])}
		if cubic && i/3%3 != 1 {
			v = back.L.Apply(v)
		} else {
			v = back.Apply(v.Add(shift))
		}
		out.values[i], out.values[i+1], out.values[i+2] = float32(v.X), float32(v.Y), float32(v.Z)
	}
	out.How = "shifted"
	p.Tracks = append(p.Tracks, out)
}

// value is a node's keyed translation, at is that with R·S·e added: both in the old parent's frame.
func (p *Plan) value(node int, k keyed, seconds float64) rigid.Vec {
	return p.Body.Doc.Nodes[node].Keyed(seconds, k.track[:]...).Translation
}

func (p *Plan) at(node int, k keyed, seconds float64) rigid.Vec {
	n := p.Body.Doc.Nodes[node].Keyed(seconds, k.track[:]...)
	return affine.FromTRS(n.Translation, n.Rotation, n.Scale).Apply(p.own[node].T)
}

// exact is the translation that keeps the segment in place, in the new parent's frame.
func (p *Plan) exact(node int, k keyed, seconds float64) rigid.Vec {
	return p.parentBack(node).Apply(p.at(node, k, seconds))
}

// worse keeps the greatest miss of a track, in cm of the world, and returns this one.
func (p *Plan) worse(out *Track, k keyed, miss rigid.Vec, seconds float64) float64 {
	d := p.lifted(out.Node, k, miss, seconds) * gltf.CmPerUnit
	if d > out.Error {
		out.Error, out.At = d, seconds
	}
	return d
}

// times lists the moments at which some track has a key, rising, and whether each track that is there jumps from key to key.
func (k *keyed) times() (list []float32, steps bool) {
	steps = true
	for _, t := range k.track {
		list = append(list, t.Times...)
		steps = steps && (len(t.Times) == 0 || t.Interpolation == "STEP")
	}
	slices.Sort(list)
	return slices.Compact(list), steps
}

// jumps reports whether a track of the node that jumps has a key at that moment.
func (k *keyed) jumps(at float32) bool {
	for _, t := range k.track {
		if _, has := slices.BinarySearch(t.Times, at); has && t.Interpolation == "STEP" { // times rise
			return true
		}
	}
	return false
}

// end is where the piece before key i ends: there, or right before it where a track jumps.
func (k *keyed) end(times []float32, i int) float32 {
	if before := math.Nextafter32(times[i], -1); k.jumps(times[i]) && before > times[i-1] {
		return before
	}
	return times[i]
}

// compensate writes a translation track that keeps the segment on its old path about the new pivot. Where all jumps from key
// to key so does it, exactly; else its pieces are straight, and halved until they keep to the path.
func (p *Plan) compensate(animation, node int, k keyed) {
	t := k.track[translation]
	t.Node, t.Path = node, "translation"
	out := p.begin(animation, k.channel[translation], t)
	out.How, out.Curved, out.interpolation, out.times, out.values = "compensated", t.Interpolation == "CUBICSPLINE", "LINEAR", nil, nil
	times, steps := k.times()
	if steps {
		out.interpolation = "STEP"
	}
	k.reaches = p.reached(k.above, times)
	if !steps {
		p.looks += p.foreseen(node, k, times)
	}
	if p.looks > mostLooks {
		return // and is told
	}
	add := func(at float32) {
		p.keys++
		v := p.exact(node, k, float64(at))
		out.times, out.values = append(out.times, at), append(out.values, float32(v.X), float32(v.Y), float32(v.Z))
	}
	for i, at := range times {
		if i > 0 && !steps {
			end := k.end(times, i)
			p.divide(node, k, times[i-1], end, i, deepest, add)
			if end < at {
				add(end)
			}
		}
		add(at)
	}
	if p.keys > mostKeys {
		return // and is told
	}
	out.After = len(out.times)
	p.check(&out, k, times)
	if node == p.node() {
		out.Alone = p.alone
	}
	p.Tracks = append(p.Tracks, out)
}

// divide adds keys strictly between two moments, so many that straight pieces between them keep to the path. They lie before key i.
func (p *Plan) divide(node int, k keyed, from, to float32, i, depth int, add func(float32)) {
	middle := from + (to-from)/2
	if depth == 0 || middle <= from || middle >= to || p.keys > mostKeys || p.looks > mostLooks {
		return
	}
	a, b := p.exact(node, k, float64(from)), p.exact(node, k, float64(to))
	straight := true
	for _, u := range []float64{0.25, 0.5, 0.75} {
		at := float64(from) + u*(float64(to)-float64(from))
		miss := a.Scale(1 - u).Add(b.Scale(u)).Sub(p.exact(node, k, at))
		straight = straight && !p.strays(node, k, miss, at, i)
	}
	if straight {
		return
	}
	p.divide(node, k, from, middle, i, depth-1, add)
	add(middle)
	p.divide(node, k, middle, to, i, depth-1, add)
}

// check measures how far the written track strays from the exact path: at its keys, among which are these, and at eight places between
// each two.
func (p *Plan) check(out *Track, k keyed, times []float32) {
	written := gltf.Track{Node: out.Node, Path: out.Path, Interpolation: out.interpolation, Width: 3, Times: out.times, Values: out.values}
	var v [3]float64
	next := 0 // of the times, the first that is not before this piece's end
	for i, at := range out.times {
		for next+1 < len(times) && times[next] <= at {
			next++
		}
		if p.looks > mostLooks {
			return // and is told
		}
		steps := 8
		if i+1 == len(out.times) || math.Nextafter32(at, out.times[i+1]) == out.times[i+1] { // nothing lies between; there it jumps
			steps = 1
		}
		for s := range steps {
			seconds := float64(at)
			if s > 0 {
				seconds += (float64(out.times[i+1]) - float64(at)) * float64(s) / float64(steps)
			}
			written.At(seconds, v[:])
			p.worst(out, k, p.exact(out.Node, k, seconds).Sub(rigid.Vec{X: v[0], Y: v[1], Z: v[2]}), seconds, next)
		}
	}
}
