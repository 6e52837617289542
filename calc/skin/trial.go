package skin

// Segment is what one joint carries at rest: a straight piece from the joint to the next, in the space where the surface is
// given. A joint with several children has several.
type Segment struct {
	Joint    uint16
	From, To [3]float64
}

// Trial returns hard-edged weights to try a placement with before any are painted: each point belongs wholly to the joint
// whose segment is nearest.
//
// Within each connected part of the surface only those joints are asked that the given influences name there (all of them
// where they name none with a segment), so that two bodies that touch do not mix. A region of a joint that is cut off from
// that joint's greater region in the same part goes to the joints around it, so that a finger which lies against its
// neighbour keeps to itself. With no segments at all the given influences are returned.
func (s *Surface) Trial(segments []Segment, held Influences) Influences {
	if len(segments) == 0 {
		return held
	}
	part, parts := s.parts()
	allowed := s.allowed(part, parts, segments, held)
	owner := make([]int32, s.Points())
	for p := range owner {
		owner[p] = s.nearest(p, segments, allowed[part[p]])
	}
	s.rejoin(owner)
	trial := Influences{Each: 1, Joints: make([]uint16, s.Vertices()), Weights: make([]float32, s.Vertices())}
	for v, p := range s.point {
		trial.Joints[v], trial.Weights[v] = uint16(owner[p]), 1
	}
	return trial
}

// allowed tells of each part which joints may have points of it; nil is all.
func (s *Surface) allowed(part []int32, parts int, segments []Segment, held Influences) []map[uint16]bool {
	has := map[uint16]bool{}
	for _, g := range segments {
		has[g.Joint] = true
	}
	list := make([]map[uint16]bool, parts)
	for p, v := range s.first {
		joints, weights := held.Of(int(v))
		for k, w := range weights {
			if w > 0 && has[joints[k]] {
				if list[part[p]] == nil {
					list[part[p]] = map[uint16]bool{}
				}
				list[part[p]][joints[k]] = true
			}
		}
	}
	return list
}

func (s *Surface) nearest(p int, segments []Segment, allowed map[uint16]bool) int32 {
	v := s.first[p]
	at := [3]float64{float64(s.rest[3*v]), float64(s.rest[3*v+1]), float64(s.rest[3*v+2])}
	best, least := int32(segments[0].Joint), -1.0
	for _, g := range segments {
		if allowed != nil && !allowed[g.Joint] {
			continue
		}
		if d := g.squared(at); least < 0 || d < least {
			best, least = int32(g.Joint), d
		}
	}
	return best
}

// squared is the squared distance of a point from the segment.
func (g Segment) squared(at [3]float64) float64 {
	along, length := 0.0, 0.0
	for i := range 3 {
		d := g.To[i] - g.From[i]
		along += (at[i] - g.From[i]) * d
		length += d * d
	}
	t := 0.0
	if length > 0 {
		t = min(1, max(0, along/length))
	}
	sum := 0.0
	for i := range 3 {
		d := at[i] - g.From[i] - t*(g.To[i]-g.From[i])
		sum += d * d
	}
	return sum
}

// rejoin gives regions that are cut off from their joint's greatest one to the owners around them, from their rim inward.
func (s *Surface) rejoin(owner []int32) {
	stray := s.strays(owner)
	taken := make([]bool, len(owner)) // points that are or were on a rim
	ask := make([]int32, len(owner))  // points that may lie on the next: at first all, then the neighbours of the last
	for p := range ask {
		ask[p] = int32(p)
	}
	for len(ask) > 0 {
		var rim, next []int32
		for _, p := range ask {
			if !stray[p] || taken[p] {
				continue
			}
			for _, n := range s.near[s.start[p]:s.start[p+1]] {
				if !stray[n] {
					taken[p] = true
					rim, next = append(rim, p), append(next, owner[n])
					break
				}
			}
		}
		ask = ask[:0]
		for i, p := range rim {
			owner[p], stray[p] = next[i], false
			ask = append(ask, s.near[s.start[p]:s.start[p+1]]...)
		}
	}
}

// strays marks the points of every region that is not the greatest of its joint in its connected part.
func (s *Surface) strays(owner []int32) []bool {
	type key struct{ part, joint int32 }
	part, _ := s.parts()
	region := make([]int32, len(owner))
	for i := range region {
		region[i] = -1
	}
	greatest := map[key]int32{}
	var sizes []int
	var stack []int32
	for p := range owner {
		if region[p] >= 0 {
			continue
		}
		id := int32(len(sizes))
		sizes, region[p] = append(sizes, 0), id
		for stack = append(stack[:0], int32(p)); len(stack) > 0; {
			q := stack[len(stack)-1]
			stack = stack[:len(stack)-1]
			sizes[id]++
			for _, n := range s.near[s.start[q]:s.start[q+1]] {
				if region[n] < 0 && owner[n] == owner[p] {
					region[n] = id
					stack = append(stack, n)
				}
			}
		}
		k := key{part[p], owner[p]}
		if old, ok := greatest[k]; !ok || sizes[id] > sizes[old] {
			greatest[k] = id
		}
	}
	stray := make([]bool, len(owner))
	for p := range owner {
		stray[p] = greatest[key{part[p], owner[p]}] != region[p]
	}
	return stray
}
