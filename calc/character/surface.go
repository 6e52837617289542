package character

import (
	"math"

	"centrode/calc/rigid"
)

// surface is a mesh of closed parts with its weights: each vertex hangs on at most two joints.
type surface struct {
	points    []rigid.Vec // cm
	triangles [][3]int    // counter-clockwise seen from outside
	bonds     []bond      // one a vertex
}

// bond is what a vertex hangs on: share of one joint, the rest of the other.
type bond struct {
	first, second int
	share         float64 // of first; 1 where there is no second
}

// section is one ring of a loft: an ellipse, or a rounded box, about a centre.
type section struct {
	centre     rigid.Vec
	side, up   rigid.Vec // unit, square to each other; side × up points along the loft
	wide, high float64   // half-axes along side and up, cm
	bond       bond
}

// loft adds a closed part through the sections, with a point at each end. around is the number of vertices a ring.
func (s *surface) loft(sections []section, around int, box bool, start, end rigid.Vec) {
	first := len(s.points)
	for _, c := range sections {
		for k := range around {
			x, y := ringPoint(k, around, box)
			s.add(c.centre.Add(c.side.Scale(c.wide*x)).Add(c.up.Scale(c.high*y)), c.bond)
		}
	}
	for r := range len(sections) - 1 {
		for k := range around {
			a, b := first+r*around+k, first+r*around+(k+1)%around
			s.triangles = append(s.triangles, [3]int{a, b, b + around}, [3]int{a, b + around, a + around})
		}
	}
	last := first + (len(sections)-1)*around
	tail := s.add(start, sections[0].bond)
	tip := s.add(end, sections[len(sections)-1].bond)
	for k := range around {
		next := (k + 1) % around
		s.triangles = append(s.triangles, [3]int{first + next, first + k, tail}, [3]int{last + k, last + next, tip})
	}
}

func (s *surface) add(p rigid.Vec, b bond) int {
	s.points, s.bonds = append(s.points, p), append(s.bonds, b)
	return len(s.points) - 1
}

// ringPoint is vertex k of a ring of half-axes 1: on the circle x² + y² = 1, or on x⁴ + y⁴ = 1, a box with round edges.
func ringPoint(k, around int, box bool) (x, y float64) {
	angle := 2 * math.Pi * float64(k) / float64(around)
	x, y = math.Cos(angle), math.Sin(angle)
	if box {
		x, y = math.Copysign(math.Sqrt(math.Abs(x)), x), math.Copysign(math.Sqrt(math.Abs(y)), y)
	}
	return x, y
}

// normals are the mean directions of the triangles about each vertex, the larger ones counting more.
func (s *surface) normals() []rigid.Vec {
	sum := make([]rigid.Vec, len(s.points))
	for _, t := range s.triangles {
		a, b, c := s.points[t[0]], s.points[t[1]], s.points[t[2]]
		n := b.Sub(a).Cross(c.Sub(a))
		for _, i := range t {
			sum[i] = sum[i].Add(n)
		}
	}
	for i := range sum {
		sum[i] = sum[i].Unit()
	}
	return sum
}

// smooth rises from 0 to 1 over [0, 1] without a corner.
func smooth(u float64) float64 {
	u = math.Max(0, math.Min(1, u))
	return u * u * (3 - 2*u)
}
