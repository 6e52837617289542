package room

import (
	"math"

	"centrode/calc/jsontree"
	"centrode/calc/rigid"
)

// Pick follows a ray from a place along a direction to the nearest triangle of the posed surface, and tells as JSON whether it
// hits, and which joint holds the vertex nearest to the hit most.
func (r *Room) Pick(from, along rigid.Vec, candidate bool) []byte {
	positions, nearest := r.view(candidate).positions, math.Inf(1)
	hit := -1
	along = along.Unit()
	at := func(v uint32) rigid.Vec {
		return rigid.Vec{X: float64(positions[3*v]), Y: float64(positions[3*v+1]), Z: float64(positions[3*v+2])}
	}
	t := r.body.Triangles
	for i := 0; i+2 < len(t); i += 3 {
		if d, ok := cross(from, along, at(t[i]), at(t[i+1]), at(t[i+2])); ok && d < nearest {
			nearest, hit = d, i
		}
	}
	if hit < 0 {
		return jsontree.NewObject().Set("hit", jsontree.NewBool(false)).AppendTo(nil)
	}
	place := from.Add(along.Scale(nearest))
	vertex, least := t[hit], math.Inf(1)
	for _, v := range t[hit : hit+3] {
		if d := at(v).Sub(place).Len(); d < least {
			vertex, least = v, d
		}
	}
	return jsontree.NewObject().Set("hit", jsontree.NewBool(true)).
		Set("joint", jsontree.NewInt(r.body.Owner(int(vertex)))).AppendTo(nil)
}

// cross returns how far along the ray it meets a triangle, from either side. Derived: the hit is a + u·(b − a) + v·(c − a).
func cross(from, along, a, b, c rigid.Vec) (distance float64, ok bool) {
	p, q := b.Sub(a), c.Sub(a)
	n := along.Cross(q)
	det := p.Dot(n)
	if det == 0 {
		return 0, false
	}
	s := from.Sub(a)
	u := s.Dot(n) / det
	w := s.Cross(p)
	v := along.Dot(w) / det
	distance = q.Dot(w) / det
	return distance, u >= 0 && v >= 0 && u+v <= 1 && distance > 0
}
