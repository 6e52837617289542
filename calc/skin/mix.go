package skin

// perMotion is how many numbers say how a joint carries its skin from the place where the vertices are given to where they are posed, row by row:
// x' = M[0]·x + M[1]·y + M[2]·z + M[3], and so on. All motions stand one behind the other in one slice.
const perMotion = 12

// Mix says how each point mixes the motions of its joints: Σ_j M_j·u_j with a row u_j of four numbers a joint.
//
// With the rows w_j·(x, y, z, 1) this is linear blend skinning. Relaxing a surface, every point moving toward the mean of
// its neighbours, is linear in the points, and skinning is linear in the motions; so relaxing the posed surface any number
// of times is the same as posing with rows that were relaxed once. A frame then costs no more for ten passes than for
// none. (Derived; the linear half of the method is in mancewicz2014.)
type Mix struct {
	start []int32
	joint []uint16
	row   []float32 // four an entry
}

// least is the weight below which a relaxed joint is left out: a hundred millionth moves nothing that a float32 shows.
const least = 1e-8

// Mix returns the rows of the surface, relaxed so many passes, each moving every point by the share strength (0 to 1) toward
// the mean of its neighbours, all at once. held may be other influences than the surface was made with.
func (s *Surface) Mix(held Influences, passes int, strength float64) *Mix {
	m := s.blend(held)
	if passes > 0 && strength > 0 {
		joints := 0
		for _, j := range m.joint {
			joints = max(joints, int(j)+1)
		}
		w := &weaver{surface: s, strength: float32(strength), sum: make([]float32, 4*joints), seen: make([]bool, joints)}
		for range passes {
			m = w.pass(m)
		}
	}
	return m.prune()
}

// blend returns the rows of plain linear blend skinning.
func (s *Surface) blend(held Influences) *Mix {
	m := &Mix{start: make([]int32, 1, len(s.first)+1)}
	for _, v := range s.first {
		joints, weights := held.Of(int(v))
		for k, w := range weights {
			if w > 0 {
				m.joint = append(m.joint, joints[k])
				m.row = append(m.row, w*s.rest[3*v], w*s.rest[3*v+1], w*s.rest[3*v+2], w)
			}
		}
		m.start = append(m.start, int32(len(m.joint)))
	}
	return m
}

// weaver relaxes rows; what it holds is room that each point uses again.
type weaver struct {
	surface  *Surface
	strength float32
	sum      []float32
	seen     []bool
	used     []uint16
	pulling  []int32
}

// pass returns the rows after one more pass.
func (w *weaver) pass(m *Mix) *Mix {
	next := &Mix{start: make([]int32, 1, len(m.start)), joint: make([]uint16, 0, len(m.joint)), row: make([]float32, 0, len(m.row))}
	for p := range len(m.start) - 1 {
		w.used = w.used[:0]
		own, pullers := float32(1), w.surface.pullers(p, w.pulling[:0])
		if len(pullers) > 0 {
			own = 1 - w.strength
		}
		for _, n := range pullers {
			w.add(m, int(n), w.strength/float32(len(pullers)))
		}
		w.pulling = pullers
		w.add(m, p, own)
		for _, j := range w.used {
			next.joint = append(next.joint, j)
			next.row = append(next.row, w.sum[4*int(j):4*int(j)+4]...)
			w.seen[j] = false
		}
		next.start = append(next.start, int32(len(next.joint)))
	}
	return next
}

// add adds a share of a point's rows.
func (w *weaver) add(m *Mix, point int, share float32) {
	for e := m.start[point]; e < m.start[point+1]; e++ {
		j := m.joint[e]
		to, from := w.sum[4*int(j):4*int(j)+4], m.row[4*e:4*e+4]
		if !w.seen[j] {
			w.seen[j] = true
			w.used = append(w.used, j)
			clear(to)
		}
		for i := range to {
			to[i] += share * from[i]
		}
	}
}

// prune leaves out what weighs next to nothing.
func (m *Mix) prune() *Mix {
	next := &Mix{start: make([]int32, 1, len(m.start)), joint: make([]uint16, 0, len(m.joint)), row: make([]float32, 0, len(m.row))}
	for p := range len(m.start) - 1 {
		for e := m.start[p]; e < m.start[p+1]; e++ {
			if m.row[4*e+3] >= least {
				next.joint = append(next.joint, m.joint[e])
				next.row = append(next.row, m.row[4*e:4*e+4]...)
			}
		}
		next.start = append(next.start, int32(len(next.joint)))
	}
	return next
}

// Pose writes three coordinates a point. motions holds twelve numbers for every joint that the rows name. Allocates nothing.
func (m *Mix) Pose(points, motions []float32) {
	e := int(0)
	for p, end := range m.start[1:] {
		var x, y, z float32
		for ; e < int(end); e++ {
			b := perMotion * int(m.joint[e])
			a, r := motions[b:b+perMotion:b+perMotion], m.row[4*e:4*e+4:4*e+4]
			rx, ry, rz, rw := r[0], r[1], r[2], r[3]
			x += a[0]*rx + a[1]*ry + a[2]*rz + a[3]*rw
			y += a[4]*rx + a[5]*ry + a[6]*rz + a[7]*rw
			z += a[8]*rx + a[9]*ry + a[10]*rz + a[11]*rw
		}
		to := points[3*p : 3*p+3 : 3*p+3]
		to[0], to[1], to[2] = x, y, z
	}
}
