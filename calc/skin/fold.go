package skin

import "math"

// Fold is a place where the surface bends: the plane through the pivot, along the turning axis, that halves the bend. What
// stays lies on its near side, what turns on its far side.
type Fold struct {
	Pivot  [3]float64
	Normal [3]float64 // unit, from the near side to the far side, in the posed surface
}

// Region is the part of a surface around a joint, made ready to be measured in many poses.
type Region struct {
	triangles []uint32
	sign      []float64 // of each triangle: 1 where it belongs to what stays, −1 where to what turns
	edges     []uint32
	lengths   []float64 // of each edge at rest
}

// Region returns what lies on the two sides of a joint: the triangles and edges all of whose vertices belong to what stays
// (near) or to what turns (far). Edges shorter at rest than a millionth of the surface do not count.
func (s *Surface) Region(near, far []bool, rest []float32) *Region {
	g, tiny := &Region{}, 1e-6*extent(rest)
	for t := 0; t+2 < len(s.triangles); t += 3 {
		v := s.triangles[t : t+3]
		sides := 0
		for _, i := range v {
			switch {
			case far[i]:
				sides -= 1
			case near[i]:
				sides += 1
			default:
				sides += 10 // belongs to neither
			}
		}
		if sides > 3 {
			continue
		}
		g.triangles = append(g.triangles, v...)
		g.sign = append(g.sign, math.Copysign(1, float64(sides)))
	}
	seen := map[uint64]bool{}
	for t, a := range g.triangles {
		b := g.triangles[t/3*3+(t+1)%3]
		p, q := min(s.point[a], s.point[b]), max(s.point[a], s.point[b])
		if key := uint64(p)<<32 | uint64(q); !seen[key] {
			seen[key] = true
			if length := distance(rest, a, b); length > tiny {
				g.edges, g.lengths = append(g.edges, a, b), append(g.lengths, length)
			}
		}
	}
	return g
}

// Stretch returns the greatest ratio of an edge's length to its length at rest, and the mean of those ratios that are above 1,
// by length at rest. Without edges both are 1. Allocates nothing.
func (g *Region) Stretch(posed []float32) (longest, mean float64) {
	longest, mean = 1, 1
	lengthened, weight := 0.0, 0.0
	for k, was := range g.lengths {
		is := distance(posed, g.edges[2*k], g.edges[2*k+1])
		ratio := is / was
		longest = max(longest, ratio)
		if ratio > 1 {
			lengthened += is
			weight += was
		}
	}
	if weight > 0 {
		mean = lengthened / weight
	}
	return longest, mean
}

// Squash returns the volume that the two sides of a fold push past the plane that halves it, and how far the farthest point
// goes past it. The volume is ∫ depth·(n·m) dA over what lies past the plane with normal m: by the divergence theorem what
// is between plane and surface. Derived. Allocates nothing.
func (g *Region) Squash(f Fold, posed []float32) (volume, deepest float64) {
	nx, ny, nz := f.Normal[0], f.Normal[1], f.Normal[2]
	level := nx*f.Pivot[0] + ny*f.Pivot[1] + nz*f.Pivot[2]
	depth := func(v uint32, sign float64) float64 {
		at := posed[3*v : 3*v+3 : 3*v+3]
		return sign * (nx*float64(at[0]) + ny*float64(at[1]) + nz*float64(at[2]) - level)
	}
	for t, sign := range g.sign {
		v := g.triangles[3*t : 3*t+3 : 3*t+3]
		a, b, c := depth(v[0], sign), depth(v[1], sign), depth(v[2], sign)
		if a > 0 || b > 0 || c > 0 {
			volume += sign * f.facing(v, posed) * above([3]float64{a, b, c})
			deepest = max(deepest, a, b, c)
		}
	}
	return max(0, volume), deepest
}

// facing is the area of a posed triangle as seen along the plane's normal: positive where it faces that way.
func (f *Fold) facing(v []uint32, posed []float32) float64 {
	var p [3][3]float64
	for k, i := range v {
		p[k] = [3]float64{float64(posed[3*i]), float64(posed[3*i+1]), float64(posed[3*i+2])}
	}
	sum := 0.0
	for x := range 3 {
		y, z := (x+1)%3, (x+2)%3
		sum += f.Normal[x] * ((p[1][y]-p[0][y])*(p[2][z]-p[0][z]) - (p[1][z]-p[0][z])*(p[2][y]-p[0][y]))
	}
	return sum / 2
}

// above is the mean of max(0, d) over a triangle on which d runs evenly between its values at the corners.
func above(d [3]float64) float64 {
	count := 0
	for _, x := range d {
		if x > 0 {
			count++
		}
	}
	mean := (d[0] + d[1] + d[2]) / 3
	switch count {
	case 3:
		return mean
	case 1:
		return corner(d)
	case 2:
		return mean + corner([3]float64{-d[0], -d[1], -d[2]})
	}
	return 0
}

// corner is above where one value alone is positive: that corner is a triangle of its own, smaller along two edges.
func corner(d [3]float64) float64 {
	for k, x := range d {
		if x > 0 {
			return x / 3 * (x / (x - d[(k+1)%3])) * (x / (x - d[(k+2)%3]))
		}
	}
	return 0
}

func distance(points []float32, a, b uint32) float64 {
	p, q := points[3*a:3*a+3:3*a+3], points[3*b:3*b+3:3*b+3]
	x, y, z := float64(p[0])-float64(q[0]), float64(p[1])-float64(q[1]), float64(p[2])-float64(q[2])
	return math.Sqrt(x*x + y*y + z*z)
}

// extent is the greatest coordinate without its sign: how large a surface is, nearly enough to tell what is tiny.
func extent(points []float32) float64 {
	most := float32(0)
	for _, x := range points {
		most = max(most, x, -x)
	}
	return float64(most)
}
