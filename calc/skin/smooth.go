package skin

import "math"

// Posing poses a surface, frame after frame: by linear blend skinning alone, or smoothed after it with the detail kept.
//
// The method is that of mancewicz2014 (its steps seen in enhanceddm2020, the local frame recalled): relax the rest surface;
// keep at each point what it lost, in a frame of the relaxed surface there; pose; relax the posed surface in the same way;
// put back what was kept, in the frame that the surface has now.
//
// The frame at a point is its normal (by area), and the direction of one neighbour, chosen at rest, across the normal.
type Posing struct {
	surface *Surface
	mix     *Mix
	points  []float32 // posed, smoothed where that is asked
	normals []float32 // of the points, by area, not of unit length
	detail  []detail  // nil without smoothing
}

// detail is what smoothing took from a point.
type detail struct {
	along   int32  // the neighbour that gives the direction; −1 where the surface has no frame at rest
	joint   uint16 // the joint that holds the point most
	local   [3]float32
	carried [3]float32 // the same before that joint's motion: used where the frame is lost
}

// NewPosing prepares a surface, held as told, for frames with so many passes of smoothing (0 for none) of the given strength
// (0 to 1). rest are the motions that bring it to rest.
func NewPosing(s *Surface, held Influences, rest []float32, passes int, strength float64) *Posing {
	p := &Posing{surface: s, mix: s.Mix(held, passes, strength), points: make([]float32, 3*s.Points())}
	if passes <= 0 || strength <= 0 {
		return p
	}
	p.normals = make([]float32, 3*s.Points())
	plain := make([]float32, 3*s.Points())
	s.Mix(held, 0, 0).Pose(plain, rest)
	p.mix.Pose(p.points, rest)
	s.areas(p.points, p.normals)
	p.detail = make([]detail, s.Points())
	for i := range p.detail {
		d := &p.detail[i]
		d.joint = held.Strongest(int(s.first[i]))
		lost := [3]float32{plain[3*i] - p.points[3*i], plain[3*i+1] - p.points[3*i+1], plain[3*i+2] - p.points[3*i+2]}
		d.carried = undo(rest[perMotion*int(d.joint):], lost)
		d.along = p.direction(i)
		if d.along >= 0 {
			f, _ := p.frame(i, d.along)
			for k := range 3 {
				d.local[k] = f[k][0]*lost[0] + f[k][1]*lost[1] + f[k][2]*lost[2]
			}
		}
	}
	return p
}

// undo returns v before the linear part of a motion; v itself where that flattens space.
func undo(m []float32, v [3]float32) [3]float32 {
	a := [9]float64{float64(m[0]), float64(m[1]), float64(m[2]), float64(m[4]), float64(m[5]), float64(m[6]), float64(m[8]), float64(m[9]), float64(m[10])}
	c0, c1, c2 := a[4]*a[8]-a[5]*a[7], a[5]*a[6]-a[3]*a[8], a[3]*a[7]-a[4]*a[6]
	det := a[0]*c0 + a[1]*c1 + a[2]*c2
	x, y, z := float64(v[0])/det, float64(v[1])/det, float64(v[2])/det
	out := [3]float64{
		c0*x + (a[2]*a[7]-a[1]*a[8])*y + (a[1]*a[5]-a[2]*a[4])*z,
		c1*x + (a[0]*a[8]-a[2]*a[6])*y + (a[2]*a[3]-a[0]*a[5])*z,
		c2*x + (a[1]*a[6]-a[0]*a[7])*y + (a[0]*a[4]-a[1]*a[3])*z,
	}
	for _, o := range out {
		if !(math.Abs(o) <= math.MaxFloat32) {
			return v
		}
	}
	return [3]float32{float32(out[0]), float32(out[1]), float32(out[2])}
}

// direction chooses the neighbour that lies farthest across the normal; −1 when the point has no frame.
func (p *Posing) direction(i int) int32 {
	s, best, longest := p.surface, int32(-1), float32(0)
	n := p.normals[3*i : 3*i+3]
	size := n[0]*n[0] + n[1]*n[1] + n[2]*n[2]
	if !(size > 0) {
		return -1
	}
	for _, k := range s.near[s.start[i]:s.start[i+1]] {
		x, y, z := p.points[3*k]-p.points[3*i], p.points[3*k+1]-p.points[3*i+1], p.points[3*k+2]-p.points[3*i+2]
		along := (x*n[0] + y*n[1] + z*n[2]) / size
		x, y, z = x-along*n[0], y-along*n[1], z-along*n[2]
		if across := x*x + y*y + z*z; across > longest {
			best, longest = k, across
		}
	}
	if best >= 0 {
		if _, ok := p.frame(i, best); !ok {
			return -1
		}
	}
	return best
}

// frame returns the three unit directions at a point; ok is false where the surface has none.
func (p *Posing) frame(i int, along int32) (f [3][3]float32, ok bool) {
	n, a, b := p.normals[3*i:3*i+3:3*i+3], p.points[3*i:3*i+3:3*i+3], p.points[3*along:3*along+3:3*along+3]
	nx, ny, nz := n[0], n[1], n[2]
	size := nx*nx + ny*ny + nz*nz
	if !(size > 1e-30) {
		return f, false
	}
	by := 1 / sqrt(size)
	nx, ny, nz = nx*by, ny*by, nz*by
	x, y, z := b[0]-a[0], b[1]-a[1], b[2]-a[2]
	whole := x*x + y*y + z*z
	d := x*nx + y*ny + z*nz
	x, y, z = x-d*nx, y-d*ny, z-d*nz
	size = x*x + y*y + z*z
	if !(size > 1e-8*whole) || !(size > 1e-30) {
		return f, false
	}
	by = 1 / sqrt(size)
	x, y, z = x*by, y*by, z*by
	return [3][3]float32{{nx, ny, nz}, {x, y, z}, {ny*z - nz*y, nz*x - nx*z, nx*y - ny*x}}, true
}

func sqrt(x float32) float32 { return float32(math.Sqrt(float64(x))) }

// Pose writes three coordinates a vertex for the given motions, twelve numbers a joint. Allocates nothing.
func (p *Posing) Pose(vertices, motions []float32) {
	p.mix.Pose(p.points, motions)
	if p.detail != nil {
		p.surface.areas(p.points, p.normals)
		p.restore(motions)
	}
	spreadBy(vertices, p.placed(), p.surface.point)
}

// placed are the points with their detail, which stands where the normals stood.
func (p *Posing) placed() []float32 {
	if p.detail != nil {
		return p.normals
	}
	return p.points
}

// restore puts back at each point what smoothing took, in the frame that is there now. The result takes the place of the
// normals, each of which is read for its own point alone.
func (p *Posing) restore(motions []float32) {
	for i := range p.detail {
		d := &p.detail[i]
		at, to := p.points[3*i:3*i+3:3*i+3], p.normals[3*i:3*i+3:3*i+3]
		if d.along >= 0 {
			if f, ok := p.frame(i, d.along); ok {
				u, v, w := d.local[0], d.local[1], d.local[2]
				to[0] = at[0] + f[0][0]*u + f[1][0]*v + f[2][0]*w
				to[1] = at[1] + f[0][1]*u + f[1][1]*v + f[2][1]*w
				to[2] = at[2] + f[0][2]*u + f[1][2]*v + f[2][2]*w
				continue
			}
		}
		m := motions[perMotion*int(d.joint) : perMotion*int(d.joint)+perMotion]
		for k := range 3 {
			to[k] = at[k] + m[4*k]*d.carried[0] + m[4*k+1]*d.carried[1] + m[4*k+2]*d.carried[2]
		}
	}
}

// spreadBy writes to every vertex the three numbers of the place that it belongs to.
func spreadBy(vertices, places []float32, place []uint32) {
	for v, p := range place {
		from, to := places[3*p:3*p+3:3*p+3], vertices[3*v:3*v+3:3*v+3]
		to[0], to[1], to[2] = from[0], from[1], from[2]
	}
}
