package propose

import (
	"errors"
	"math"
	"slices"

	"centrode/calc/body"
	"centrode/calc/rigid"
)

// enough is how many vertices a rigid part should have, and fewest how many it must have.
const (
	enough = 12
	fewest = 3
)

// core chooses the vertices that move with a joint and with nothing else, and how much each counts: those that the joint
// holds wholly where there are enough, else those that it holds by more than half, each by the fourth power of its share,
// since a vertex that is blended halfway moves half as far.
func (p *Proposal) core(b *body.Body) (vertices []int, weights []float64, err error) {
	vertices, weights = held(b, p.Joint, halves(b)[p.Joint])
	if !spread(b, vertices) {
		return nil, nil, errors.New(b.Joints[p.Joint].Name + ": holds too little skin of its own to find a pivot from; at least three vertices, not in a line, must belong to it by more than half")
	}
	return vertices, weights, nil
}

// halves lists of each joint the vertices that it holds by half or more, in one pass: a chain may be deep.
func halves(b *body.Body) [][]int {
	list := make([][]int, len(b.Joints))
	for v := range len(b.Rest) / 3 {
		binds, _ := b.Held.Of(v)
		for _, bind := range binds {
			at := b.Binds[bind].Joint
			for _, joint := range [2]int{at, b.Segment(at)} {
				if own := list[joint]; (len(own) == 0 || own[len(own)-1] != v) && b.Share(v, joint) >= 0.5 {
					list[joint] = append(own, v)
				}
			}
		}
	}
	return list
}

func held(b *body.Body, joint int, own []int) (vertices []int, weights []float64) {
	for _, least := range []float64{0.999, 0.9, 0.5} {
		vertices, weights = nil, nil
		for _, v := range own {
			if share := b.Share(v, joint); share >= least {
				vertices, weights = append(vertices, v), append(weights, share*share*share*share)
			}
		}
		if len(vertices) >= enough && spread(b, vertices) {
			break
		}
	}
	return vertices, weights
}

// spread reports whether vertices fix a turn: at least three that do not lie on a line.
func spread(b *body.Body, vertices []int) bool {
	if len(vertices) < fewest {
		return false
	}
	points := at(b, vertices)
	pair := rigid.NewPair(points, points, nil)
	extent := pair.Spread()
	return extent[0] > 1e-9 && extent[1] > 1e-3*extent[0]
}

func at(b *body.Body, vertices []int) []rigid.Vec {
	points := make([]rigid.Vec, len(vertices))
	for i, v := range vertices {
		points[i] = b.Vertex(v)
	}
	return points
}

// trim returns the weights with those of vertices set to 0 that do not move as the rest do: the motion is fitted, what lies
// farther than three times the middle distance (as a standard deviation) is left out, and so on until nothing changes.
// size is the scale below which nothing counts as a distance.
func trim(rest, posed []rigid.Vec, weights []float64, size float64) (kept []float64, motion rigid.Motion, rms float64) {
	kept = slices.Clone(weights)
	for range 20 {
		pair := rigid.NewPair(rest, posed, kept)
		motion = pair.Free()
		distances := make([]float64, len(rest))
		var counted []float64
		squares, weight := 0.0, 0.0
		for i := range rest {
			distances[i] = motion.Apply(rest[i]).Sub(posed[i]).Len()
			if kept[i] > 0 {
				counted = append(counted, distances[i])
				squares += kept[i] * distances[i] * distances[i]
				weight += kept[i]
			}
		}
		rms = math.Sqrt(squares / weight)
		slices.Sort(counted)
		limit := 3*1.4826*counted[len(counted)/2] + 1e-6*size
		next, changed, left := slices.Clone(weights), false, 0
		for i := range next {
			if distances[i] > limit {
				next[i] = 0
			}
			changed = changed || (next[i] > 0) != (kept[i] > 0)
			if next[i] > 0 {
				left++
			}
		}
		if !changed || left < fewest {
			break
		}
		kept = next
	}
	return kept, motion, rms
}
