// Package skin moves a surface with its joints: linear blend skinning, smoothing after it that keeps the detail, trial
// weights, normals, and what a fold does to the surface.
//
// Start at New. It works on plain slices: three float32 coordinates a vertex, three vertices a triangle, some joints and
// weights a vertex, twelve numbers a joint's motion. Any one unit of length. What a frame needs allocates nothing.
// It knows no files and no skeleton (see body), and it draws nothing.
package skin

import (
	"errors"
	"math"
	"strconv"
)

// Influences says which joints hold each vertex, and how strongly. Joints are places in the list of motions.
type Influences struct {
	Each    int       // joints a vertex; 0 when no vertex is held
	Joints  []uint16  // Each a vertex
	Weights []float32 // likewise
}

// Of returns the joints and weights of a vertex, as a part of the whole.
func (f Influences) Of(vertex int) ([]uint16, []float32) {
	from, to := vertex*f.Each, (vertex+1)*f.Each
	return f.Joints[from:to], f.Weights[from:to]
}

// Strongest is the joint that holds a vertex most; of several, the first.
func (f Influences) Strongest(vertex int) uint16 {
	joints, weights := f.Of(vertex)
	best := 0
	for k, w := range weights {
		if w > weights[best] {
			best = k
		}
	}
	return joints[best]
}

// Clean returns a copy whose weights are at least 0 and sum to 1 at each vertex, and how many vertices had to be changed by
// more than 1e-3, a sum far off or a weight that is none. A vertex that nothing holds is held by its first joint.
func (f Influences) Clean(vertices int) (Influences, int) {
	if f.Each == 0 {
		f = Influences{Each: 1, Joints: make([]uint16, vertices), Weights: make([]float32, vertices)}
	}
	clean := Influences{f.Each, append([]uint16(nil), f.Joints...), append([]float32(nil), f.Weights...)}
	changed := 0
	for v := range vertices {
		_, weights := clean.Of(v)
		sum, odd := 0.0, false
		for k, w := range weights {
			if !(w >= 0 && w <= math.MaxFloat32) {
				weights[k], odd = 0, true
			}
			sum += float64(weights[k])
		}
		if sum > 0 {
			for k := range weights {
				weights[k] = float32(float64(weights[k]) / sum)
			}
		} else {
			weights[0] = 1
		}
		if odd || math.Abs(sum-1) > 1e-3 {
			changed++
		}
	}
	return clean, changed
}

// Surface is a mesh whose vertices have been joined to points: a vertex that stands twice, for a seam of its texture or
// a hard edge, is one point, if the same joints hold both in the same way. Lips that touch stay apart.
type Surface struct {
	rest      []float32 // coordinates a vertex
	triangles []uint32  // as given
	held      Influences
	point     []uint32 // of each vertex
	first     []uint32 // of each point: the first vertex that stands there
	corners   []uint32 // triangles between points, those without an area in their numbering left out
	start     []int32  // of each point: where its neighbours begin
	near      []int32  // neighbours, rising
	border    []bool   // of each neighbour: whether the edge to it belongs to one triangle alone
	shade     []uint32 // of each vertex: the group with which it shares its normal
	groups    int
}

// New joins the vertices of a mesh.
//
//	positions   three coordinates a vertex, finite
//	triangles   three vertices each, below the number of vertices
//	held        joints and weights a vertex; see Clean
//	normals     three a vertex, or nil: vertices at one point share a normal where these do
//
// A vertex without a triangle, a triangle without an area and an edge with many triangles are allowed.
func New(positions []float32, triangles []uint32, held Influences, normals []float32) (*Surface, error) {
	n := len(positions) / 3
	switch {
	case len(positions)%3 != 0 || len(triangles)%3 != 0:
		return nil, errors.New("the surface must have three coordinates a vertex and three vertices a triangle")
	case len(held.Joints) != n*held.Each || len(held.Weights) != n*held.Each:
		return nil, errors.New("every vertex needs " + strconv.Itoa(held.Each) + " joints and weights")
	case normals != nil && len(normals) != len(positions):
		return nil, errors.New("every vertex needs one normal")
	}
	for i, v := range triangles {
		if int(v) >= n {
			return nil, errors.New("triangle " + strconv.Itoa(i/3) + " names vertex " + strconv.Itoa(int(v)) + " of " + strconv.Itoa(n))
		}
	}
	for i, x := range positions {
		if !(x-x == 0) {
			return nil, errors.New("vertex " + strconv.Itoa(i/3) + " has a coordinate that is no number")
		}
	}
	s := &Surface{rest: positions, triangles: triangles, held: held, point: make([]uint32, n)}
	s.join()
	s.connect()
	s.shadeWith(normals)
	return s, nil
}

// Vertices is how many vertices the surface has.
func (s *Surface) Vertices() int { return len(s.point) }

// Points is how many places its vertices stand at.
func (s *Surface) Points() int { return len(s.first) }

// join gives each vertex its point.
func (s *Surface) join() {
	heads := make(map[uint64]int32, len(s.point)) // by hash: the latest point of it
	var before []int32                            // of each point: the one before it of the same hash
	for v := range s.point {
		h := s.hash(v)
		head, ok := heads[h]
		if !ok {
			head = -1
		}
		at := head
		for at >= 0 && !s.same(v, int(s.first[at])) {
			at = before[at]
		}
		if at < 0 {
			at = int32(len(s.first))
			s.first, before = append(s.first, uint32(v)), append(before, head)
			heads[h] = at
		}
		s.point[v] = uint32(at)
	}
}

// hash mixes the bits of a vertex's coordinates and of what holds it (FNV-1a, by words); −0 counts as 0. Vertices of one place that
// are held in many ways must differ in it, or each would be compared with all before.
func (s *Surface) hash(v int) uint64 {
	h := uint64(14695981039346656037)
	for _, x := range s.rest[3*v : 3*v+3] {
		h = (h ^ uint64(math.Float32bits(x+0))) * 1099511628211
	}
	joints, weights := s.held.Of(v)
	for k, w := range weights {
		if w > 0 { // a joint without weight is not compared
			h = (h ^ uint64(joints[k])<<32 ^ uint64(math.Float32bits(w))) * 1099511628211
		}
	}
	return h
}

// same reports whether two vertices stand in one place and are held alike.
func (s *Surface) same(a, b int) bool {
	for i := range 3 {
		if s.rest[3*a+i] != s.rest[3*b+i] {
			return false
		}
	}
	ja, wa := s.held.Of(a)
	jb, wb := s.held.Of(b)
	for i := range wa {
		if wa[i] != wb[i] || wa[i] > 0 && ja[i] != jb[i] {
			return false
		}
	}
	return true
}

// shadeWith groups the vertices that share a normal: those of one point whose given normals are near each other (within
// about eight degrees), all of a point when none are given.
func (s *Surface) shadeWith(normals []float32) {
	s.shade = make([]uint32, len(s.point))
	if normals == nil {
		copy(s.shade, s.point)
		s.groups = len(s.first)
		return
	}
	members := make([][]uint32, len(s.first)) // of each point: one vertex of each of its groups
	for v, p := range s.point {
		found := false
		for _, other := range members[p] {
			if alike(normals[3*v:3*v+3], normals[3*other:3*other+3]) {
				s.shade[v], found = s.shade[other], true
				break
			}
		}
		if !found {
			s.shade[v] = uint32(s.groups)
			s.groups++
			members[p] = append(members[p], uint32(v))
		}
	}
}

// alike compares directions. Lengths are left out, since normals in bytes are up to a hundredth off; one that has none fits any,
// so that a point has no more groups than there are directions.
func alike(a, b []float32) bool {
	var dot, as, bs float64
	for i, x := range a {
		x, y := float64(x), float64(b[i])
		dot, as, bs = dot+x*y, as+x*x, bs+y*y
	}
	return dot > 0.99*math.Sqrt(as*bs) || as*bs == 0
}
