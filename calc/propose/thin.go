package propose

import (
	"errors"
	"strconv"

	"centrode/calc/body"
)

// mostPosed bounds the landmarks of all poses together: a clip has as many poses as keys, each of which poses every landmark.
const mostPosed = 1 << 21

// thin leaves out landmarks, evenly, where all poses together would have more than fit. Refused are so many keys that too few
// landmarks would be left.
func (p *Proposal) thin(b *body.Body, targets []*body.Target, vertices []int, weights []float64) ([]int, []float64, error) {
	poses := 0
	for _, t := range targets {
		if t.Kind != "clip" {
			poses++
		} else if m, ok := b.Clips[t.Clip].Of(p.Joint); ok {
			poses += len(m.Times())
		}
	}
	n := len(vertices)
	if poses*n <= mostPosed {
		return vertices, weights, nil
	}
	keep := min(n, mostPosed/poses)
	if keep < n { // not a whole step, which a regular surface might answer with one line
		some, counts := make([]int, keep), make([]float64, keep)
		for i := range keep {
			some[i], counts[i] = vertices[i*n/keep], weights[i*n/keep]
		}
		vertices, weights = some, counts
	}
	if keep < enough || !spread(b, vertices) {
		return nil, nil, errors.New("the clips key " + b.Joints[p.Joint].Name + " at " + strconv.Itoa(poses) + " moments, which is more than fits here; cut them into shorter ones")
	}
	return vertices, weights, nil
}
