package skin

import "math"

// Fold is a place where the surface bends: the plane through the pivot, along the turning axis, that halves the bend. The
// near side is what stays, the far side what turns.
type Fold struct {
	Pivot  [3]float64
	Normal [3]float64 // unit, from the near side to the far side, in the posed surface
	Near   []bool     // of each vertex: it belongs to the segment that stays
	Far    []bool     // it belongs to the segment that turns
}

// Change is what a pose did to the surface around a joint.
type Change struct {
	Overlap float64 // squash: volume that the two sides of the fold push past the plane that halves it
	Deepest float64 // how far the farthest point goes past it
	Longest float64 // stretch: the greatest ratio of an edge's length to its length at rest
	Mean    float64 // the mean of those ratios that are above 1, by length at rest; 1 when nothing is lengthened
	Least   float64 // the least ratio: how far skin is pushed together along the surface
}

// Measure compares a posed surface with its rest, both three coordinates a vertex, at a fold. Edges count when both ends
// belong to the fold's two sides and they are longer at rest than a millionth of the surface. Allocates nothing.
//
// The overlap is ∫ depth·(n·m) dA over what of each side lies past the plane with normal m: by the divergence theorem the
// volume between plane and surface. Derived.
func (s *Surface) Measure(f Fold, rest, posed []float32) Change {
	c := Change{Longest: 1, Mean: 1, Least: 1}
	lengthened, weight := 0.0, 0.0
	tiny := 1e-6 * extent(rest)
	for t := 0; t+2 < len(s.triangles); t += 3 {
		v := [3]int{int(s.triangles[t]), int(s.triangles[t+1]), int(s.triangles[t+2])}
		near, far := 0, 0
		for _, i := range v {
			if f.Near[i] {
				near++
			}
			if f.Far[i] {
				far++
			}
		}
		if near+far < 3 {
			continue
		}
		sign := 1.0
		if far > near {
			sign = -1
		}
		volume, depth := f.past(v, posed, sign)
		c.Overlap += volume
		c.Deepest = math.Max(c.Deepest, depth)
		for k := range 3 {
			a, b := v[k], v[(k+1)%3]
			was, is := distance(rest, a, b), distance(posed, a, b)
			if !(was > tiny) {
				continue
			}
			ratio := is / was
			c.Longest, c.Least = math.Max(c.Longest, ratio), math.Min(c.Least, ratio)
			if ratio > 1 {
				lengthened += is
				weight += was
			}
		}
	}
	if weight > 0 {
		c.Mean = lengthened / weight
	}
	c.Overlap = math.Max(0, c.Overlap)
	return c
}

// past returns ∫ depth·(n·m) dA over the part of a posed triangle past the plane, and its greatest depth. sign is −1 for the
// far side, which may not come back.
func (f *Fold) past(v [3]int, posed []float32, sign float64) (volume, deepest float64) {
	var p [3][3]float64
	var d [3]float64
	for k, i := range v {
		for x := range 3 {
			p[k][x] = float64(posed[3*i+x])
			d[k] += sign * f.Normal[x] * (p[k][x] - f.Pivot[x])
		}
	}
	deepest = math.Max(d[0], math.Max(d[1], d[2]))
	if deepest <= 0 {
		return 0, 0
	}
	facing := 0.0
	for x := range 3 {
		y, z := (x+1)%3, (x+2)%3
		area := (p[1][y]-p[0][y])*(p[2][z]-p[0][z]) - (p[1][z]-p[0][z])*(p[2][y]-p[0][y])
		facing += sign * f.Normal[x] * area / 2
	}
	return facing * above(d), deepest
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

func distance(points []float32, a, b int) float64 {
	x, y, z := float64(points[3*a])-float64(points[3*b]), float64(points[3*a+1])-float64(points[3*b+1]), float64(points[3*a+2])-float64(points[3*b+2])
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
