package skin

// areas writes to each point the sum of the areas of its triangles, as vectors twice as long: its normal, by area.
func (s *Surface) areas(points, normals []float32) {
	clear(normals)
	c := s.corners
	for t := 0; t+2 < len(c); t += 3 {
		addArea(points, normals, 3*int(c[t]), 3*int(c[t+1]), 3*int(c[t+2]), 3*int(c[t]), 3*int(c[t+1]), 3*int(c[t+2]))
	}
}

// addArea adds (b − a) × (c − a) of one triangle in three places.
func addArea(points, normals []float32, a, b, c, na, nb, nc int) {
	pa, pb, pc := points[a:a+3:a+3], points[b:b+3:b+3], points[c:c+3:c+3]
	ax, ay, az := pa[0], pa[1], pa[2]
	ux, uy, uz := pb[0]-ax, pb[1]-ay, pb[2]-az
	vx, vy, vz := pc[0]-ax, pc[1]-ay, pc[2]-az
	x, y, z := uy*vz-uz*vy, uz*vx-ux*vz, ux*vy-uy*vx
	n := normals[na : na+3 : na+3]
	n[0], n[1], n[2] = n[0]+x, n[1]+y, n[2]+z
	n = normals[nb : nb+3 : nb+3]
	n[0], n[1], n[2] = n[0]+x, n[1]+y, n[2]+z
	n = normals[nc : nc+3 : nc+3]
	n[0], n[1], n[2] = n[0]+x, n[1]+y, n[2]+z
}

// Shader computes the normals of a posed surface; what it holds is room that each frame uses again.
type Shader struct {
	surface *Surface
	groups  []float32
}

// NewShader prepares the normals of a surface.
func NewShader(s *Surface) *Shader { return &Shader{s, make([]float32, 3*s.groups)} }

// Normals writes a unit normal for every vertex of the posed surface: the mean of its triangles by area, across seams but
// not across hard edges. Where the surface has no area it is the zero vector. Allocates nothing.
func (h *Shader) Normals(normals, vertices []float32) {
	clear(h.groups)
	s := h.surface
	for t := 0; t+2 < len(s.triangles); t += 3 {
		a, b, c := int(s.triangles[t]), int(s.triangles[t+1]), int(s.triangles[t+2])
		addArea(vertices, h.groups, 3*a, 3*b, 3*c, 3*int(s.shade[a]), 3*int(s.shade[b]), 3*int(s.shade[c]))
	}
	for g := 0; g+2 < len(h.groups); g += 3 {
		n := h.groups[g : g+3 : g+3]
		if size := n[0]*n[0] + n[1]*n[1] + n[2]*n[2]; size > 1e-30 {
			by := 1 / sqrt(size)
			n[0], n[1], n[2] = n[0]*by, n[1]*by, n[2]*by
		} else {
			clear(n)
		}
	}
	spreadBy(normals, h.groups, s.shade)
}
