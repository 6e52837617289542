package carry

import (
	"math"
	"slices"

	"centrode/calc/rigid"
)

// turnsAlone leaves the translation of the moved joint out of a clip, where that is asked for or strays no farther than it may; ok is false
// where it does not. Unasked it looks only where new keys will be written, and where looking costs them nothing, see mostLooks.
func (p *Plan) turnsAlone(animation, node int, k keyed) (ok bool) {
	p.alone = nil
	asked := p.Options.Leave || p.Options.Within > 0
	if !asked && (k.above != nil || p.own[node].T == (rigid.Vec{}) || len(k.track[rotation].Times)+len(k.track[scale].Times) == 0) {
		return false
	}
	out := p.dropped(animation, node, k)
	if ok = p.Options.Leave || p.Options.Within > 0 && out.Error <= p.Options.Within; ok && p.looks <= mostLooks {
		p.Tracks = append(p.Tracks, out)
	}
	p.alone = &out.Error
	return ok
}

// dropped leaves the moved joint at its place, so that it only turns: one key, and the last one too where without it the clip would
// end sooner. Its error is how far that is from where the clip had the segment.
func (p *Plan) dropped(animation, node int, k keyed) Track {
	t := k.track[translation]
	t.Node, t.Path = node, "translation"
	out := p.begin(animation, k.channel[translation], t)
	n := p.Body.Doc.Nodes[node]
	rest := p.parentBack(node).Then(n.Local).Then(p.own[node]).T
	times, _ := k.times()
	for _, above := range k.above {
		times = append(append(times, above.turn.Times...), above.size.Times...)
	}
	slices.Sort(times)
	times = slices.Compact(times)
	k.reaches = p.reached(k.above, times)
	for i, at := range times {
		if p.looks > mostLooks {
			return out
		}
		p.worst(&out, k, rest.Sub(p.exact(node, k, float64(at))), float64(at), i)
		if i > 0 {
			before := float64(math.Nextafter32(at, -1)) // where a track jumps, the other end of the jump
			p.worst(&out, k, rest.Sub(p.exact(node, k, before)), before, i)
			for eighth := range 7 { // a cubic spline may go farthest anywhere between its keys
				u := float64(eighth+1) / 8
				between := float64(times[i-1])*(1-u) + float64(at)*u
				p.worst(&out, k, rest.Sub(p.exact(node, k, between)), between, i)
			}
		}
	}
	p.peak(&out, k, rest, times)
	out.How = "dropped"
	out.times, out.values, out.interpolation, out.After = nil, nil, "LINEAR", 0
	if out.Channel >= 0 {
		out.times = t.Times[:1]
		if last := t.Times[len(t.Times)-1]; last > out.times[0] && last > p.ends(animation, out.Channel) {
			out.times = []float32{out.times[0], last}
		}
		out.After = len(out.times)
		for range out.times {
			out.values = append(out.values, float32(rest.X), float32(rest.Y), float32(rest.Z))
		}
	}
	return out
}

// peak finds the greatest miss near the moment where the samples of drop have it, by thirds: a spline may turn so fast that much of
// it passes within an eighth of the way between two keys. No search goes past a key, since there a track may jump.
func (p *Plan) peak(out *Track, k keyed, rest rigid.Vec, times []float32) {
	miss := func(at float64) float64 {
		return p.worse(out, k, rest.Sub(p.exact(out.Node, k, at)), at)
	}
	found := out.At
	for i := 1; i < len(times); i++ {
		from, to := float64(times[i-1]), float64(math.Nextafter32(times[i], -1))
		if to <= from || found < from || found > float64(times[i]) {
			continue
		}
		eighth := (to - from) / 8
		from, to = max(from, found-eighth), min(to, found+eighth)
		for range 40 {
			third := (to - from) / 3
			if miss(from+third) < miss(to-third) {
				from += third
			} else {
				to -= third
			}
		}
	}
}

// ends is when the last of a clip's channels but one has its last key, in seconds.
func (p *Plan) ends(animation, but int) (seconds float32) {
	for c := range p.Body.Doc.Animations[animation].Channels {
		if times := p.Body.Doc.Track(animation, c).Times; c != but && len(times) > 0 {
			seconds = max(seconds, times[len(times)-1])
		}
	}
	return seconds
}
