package slicemap

import (
	"centrode/calc/plane"
	"centrode/calc/rigid"
)

// edge is two vertices of the surface, the smaller first. The plane crosses it once.
type edge [2]uint32

// Cut returns the lines along which the slice's plane cuts the surface, in the coordinates of the drawing: closed lines
// end where they begin, lines of an open surface, or along a seam, do not. A vertex in the plane counts as above it, so no
// triangle is cut at a corner. Vertices that a triangle names beyond the surface leave that triangle out.
// O(triangles).
func Cut(s Slice) [][]plane.Vec {
	normal := s.U.Cross(s.V).Unit()
	count := uint32(len(s.Positions) / 3)
	vertex := func(i uint32) rigid.Vec {
		return rigid.Vec{X: float64(s.Positions[3*i]), Y: float64(s.Positions[3*i+1]), Z: float64(s.Positions[3*i+2])}
	}
	height := make([]float64, count)
	for i := range height {
		height[i] = vertex(uint32(i)).Sub(s.Corner).Dot(normal)
	}
	next := map[edge][]edge{}
	var order []edge // as met, so that the same surface gives the same lines
	for t := 0; t+2 < len(s.Triangles); t += 3 {
		corners := s.Triangles[t : t+3]
		if corners[0] >= count || corners[1] >= count || corners[2] >= count {
			continue
		}
		var crossed []edge
		for k := range 3 {
			a, b := corners[k], corners[(k+1)%3]
			if (height[a] < 0) != (height[b] < 0) {
				crossed = append(crossed, edge{min(a, b), max(a, b)})
			}
		}
		if len(crossed) == 2 {
			for k, e := range crossed {
				if next[e] == nil {
					order = append(order, e)
				}
				next[e] = append(next[e], crossed[1-k])
			}
		}
	}
	at := func(e edge) plane.Vec {
		a, b := height[e[0]], height[e[1]]
		p, q := vertex(e[0]), vertex(e[1])
		return s.place(p.Add(q.Sub(p).Scale(a / (a - b))))
	}
	return chains(order, next, at)
}

// chains walks from crossing to crossing: first from the ends of open lines, then around the closed ones.
func chains(order []edge, next map[edge][]edge, at func(edge) plane.Vec) [][]plane.Vec {
	used := map[[2]edge]bool{}
	walk := func(from edge) []plane.Vec {
		line := []plane.Vec{at(from)}
		for len(next[from]) > 0 {
			to := next[from][0]
			next[from] = next[from][1:] // what was used is not looked at again: many triangles may share the edge
			if !used[[2]edge{from, to}] {
				used[[2]edge{from, to}], used[[2]edge{to, from}] = true, true
				from = to
				line = append(line, at(from))
			}
		}
		return line
	}
	var begins []edge
	for _, e := range order {
		if len(next[e]) == 1 {
			begins = append(begins, e)
		}
	}
	var lines [][]plane.Vec
	for _, e := range append(begins, order...) {
		if line := walk(e); len(line) > 1 {
			lines = append(lines, line)
		}
	}
	return lines
}
