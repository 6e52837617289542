package skin

import "slices"

// connect lists the triangles between points and the neighbours of each point.
func (s *Surface) connect() {
	edges := make([]uint64, 0, 2*len(s.triangles)) // both ways round, from·2³² + to
	for t := 0; t+2 < len(s.triangles); t += 3 {
		a, b, c := s.point[s.triangles[t]], s.point[s.triangles[t+1]], s.point[s.triangles[t+2]]
		if a == b || b == c || c == a {
			continue
		}
		s.corners = append(s.corners, a, b, c)
		for _, e := range [3][2]uint32{{a, b}, {b, c}, {c, a}} {
			edges = append(edges, uint64(e[0])<<32|uint64(e[1]), uint64(e[1])<<32|uint64(e[0]))
		}
	}
	slices.Sort(edges)
	s.start = make([]int32, len(s.first)+1)
	for i := 0; i < len(edges); {
		j := i
		for j < len(edges) && edges[j] == edges[i] {
			j++
		}
		s.near = append(s.near, int32(edges[i]&0xffffffff))
		s.border = append(s.border, j-i == 1)
		s.start[edges[i]>>32+1]++
		i = j
	}
	for p := range s.first {
		s.start[p+1] += s.start[p]
	}
}

// pullers appends the neighbours that pull at a point when the surface is relaxed: all of them, or, on an open border,
// those along it, so that openings do not shrink.
func (s *Surface) pullers(p int, list []int32) []int32 {
	from, to := s.start[p], s.start[p+1]
	for i := from; i < to; i++ {
		if s.border[i] {
			list = append(list, s.near[i])
		}
	}
	if len(list) >= 2 {
		return list
	}
	return append(list[:0], s.near[from:to]...)
}

// parts returns which connected part of the surface each point belongs to, and how many parts there are. A point
// without a triangle is a part of its own. Points count here by place alone, whoever holds them.
func (s *Surface) parts() (part []int32, count int) {
	part = make([]int32, len(s.first))
	for i := range part {
		part[i] = -1
	}
	var stack []int32
	for p := range part {
		if part[p] >= 0 {
			continue
		}
		part[p] = int32(count)
		for stack = append(stack[:0], int32(p)); len(stack) > 0; {
			q := stack[len(stack)-1]
			stack = stack[:len(stack)-1]
			for _, n := range s.near[s.start[q]:s.start[q+1]] {
				if part[n] < 0 {
					part[n] = int32(count)
					stack = append(stack, n)
				}
			}
		}
		count++
	}
	return part, count
}
