package skin

import (
	"math"
	"math/rand/v2"
	"testing"

	"centrode/calc/rigid"
)

// tube is a tube of n rings of m points along x from −half to half, radius r, with flat ends; every ring stands twice at its
// seam when seam is set, as a texture asks. The first joint holds x < 0, the second x > 0, with a ramp between of the given width.
func tube(n, m int, half, r, ramp float64, seam bool) ([]float32, []uint32, Influences) {
	var positions []float32
	held := Influences{Each: 4}
	columns := m
	if seam {
		columns++
	}
	for i := range n {
		x := half * (2*float64(i)/float64(n-1) - 1)
		w := 0.5 + x/ramp
		w = math.Max(0, math.Min(1, w))
		for k := range columns {
			a := 2 * math.Pi * float64(k%m) / float64(m)
			wave := 1 + 0.05*math.Sin(5*x+3*a)
			positions = append(positions, float32(x), float32(r*wave*math.Cos(a)), float32(r*wave*math.Sin(a)))
			held.Joints = append(held.Joints, 0, 1, 0, 0)
			held.Weights = append(held.Weights, float32(1-w), float32(w), 0, 0)
		}
	}
	var triangles []uint32
	for i := range n - 1 {
		for k := range m {
			a, b := uint32(i*columns+k), uint32(i*columns+(k+1)%columns)
			c, d := a+uint32(columns), b+uint32(columns)
			triangles = append(triangles, a, b, c, b, d, c)
		}
	}
	return positions, triangles, held
}

func mustNew(t testing.TB, positions []float32, triangles []uint32, held Influences) *Surface {
	t.Helper()
	s, err := New(positions, triangles, held, nil)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// motion writes a rigid motion as twelve numbers.
func motion(list []float32, m rigid.Motion) []float32 {
	for i, v := range []float64{m.T.X, m.T.Y, m.T.Z} {
		list = append(list, float32(m.R[i][0]), float32(m.R[i][1]), float32(m.R[i][2]), float32(v))
	}
	return list
}

func still(joints int) []float32 {
	var list []float32
	for range joints {
		list = motion(list, rigid.Motion{R: rigid.Identity()})
	}
	return list
}

func turned(axis rigid.Vec, angle float64, pivot rigid.Vec) rigid.Motion {
	r, _ := rigid.Turn(axis, angle)
	return rigid.TurnAbout(pivot, r)
}

// worst is the greatest distance between two lists of vertices.
func worst(a, b []float32) float64 {
	most := 0.0
	for i := 0; i+2 < len(a); i += 3 {
		x, y, z := float64(a[i]-b[i]), float64(a[i+1]-b[i+1]), float64(a[i+2]-b[i+2])
		most = math.Max(most, math.Sqrt(x*x+y*y+z*z))
	}
	return most
}

func TestAtRestTheSurfaceIsItsRest(t *testing.T) {
	positions, triangles, held := tube(41, 24, 10, 2, 5, true)
	s := mustNew(t, positions, triangles, held)
	out := make([]float32, len(positions))
	for _, passes := range []int{0, 1, 10, 40} {
		NewPosing(s, held, still(2), passes, 0.5).Pose(out, still(2))
		if d := worst(out, positions); d > 5e-6 {
			t.Errorf("%d passes: the rest moves by %g", passes, d)
		}
	}
}

func TestARigidMotionOfAllJointsMovesTheSurfaceRigidly(t *testing.T) {
	positions, triangles, held := tube(41, 24, 10, 2, 5, true)
	s := mustNew(t, positions, triangles, held)
	bend := append(motion(nil, rigid.Motion{R: rigid.Identity()}), motion(nil, turned(rigid.Vec{Z: 1}, 1.2, rigid.Vec{Y: 0.4}))...)
	whole := turned(rigid.Vec{X: 1, Y: 2, Z: -1}, 2.1, rigid.Vec{X: 3, Y: -4, Z: 5})
	both := append(motion(nil, whole), motion(nil, whole.Then(turned(rigid.Vec{Z: 1}, 1.2, rigid.Vec{Y: 0.4})))...)
	for _, passes := range []int{0, 10} {
		p := NewPosing(s, held, still(2), passes, 0.5)
		a, b := make([]float32, len(positions)), make([]float32, len(positions))
		p.Pose(a, bend)
		p.Pose(b, both)
		for i := 0; i < len(a); i += 3 {
			m := whole.Apply(rigid.Vec{X: float64(a[i]), Y: float64(a[i+1]), Z: float64(a[i+2])})
			a[i], a[i+1], a[i+2] = float32(m.X), float32(m.Y), float32(m.Z)
		}
		if d := worst(a, b); d > 2e-5 {
			t.Errorf("%d passes: the surface moved as a whole differs by %g", passes, d)
		}
	}
}

// TestRelaxedRowsAreRelaxedPoses holds the rows against passes over the posed surface, done one after the other.
func TestRelaxedRowsAreRelaxedPoses(t *testing.T) {
	positions, triangles, held := tube(41, 24, 10, 2, 5, true)
	s := mustNew(t, positions, triangles, held)
	bend := append(motion(nil, rigid.Motion{R: rigid.Identity()}), motion(nil, turned(rigid.Vec{Z: 1}, 1.9, rigid.Vec{Y: 0.4}))...)
	const passes, strength = 10, 0.5
	direct, at := make([]float32, 3*s.Points()), make([]float32, 3*s.Points())
	s.Mix(held, passes, strength).Pose(direct, bend)
	s.Mix(held, 0, 0).Pose(at, bend)
	for range passes {
		next := append([]float32(nil), at...)
		for p := range s.Points() {
			pull := s.pullers(p, nil)
			for k := range 3 {
				mean := 0.0
				for _, n := range pull {
					mean += float64(at[3*int(n)+k]) / float64(len(pull))
				}
				next[3*p+k] += float32(strength * (mean - float64(at[3*p+k])))
			}
		}
		at = next
	}
	if d := worst(direct, at); d > 1e-5 {
		t.Errorf("rows relaxed once and surfaces relaxed pass by pass differ by %g", d)
	}
}

func TestSmoothingOpensAHardEdge(t *testing.T) {
	positions, triangles, held := tube(81, 24, 10, 2, 1e-9, false)
	s := mustNew(t, positions, triangles, held)
	bend := append(motion(nil, rigid.Motion{R: rigid.Identity()}), motion(nil, turned(rigid.Vec{Z: 1}, 1.5, rigid.Vec{}))...)
	longest := func(passes int) float64 {
		out := make([]float32, len(positions))
		NewPosing(s, held, still(2), passes, 0.5).Pose(out, bend)
		all := make([]bool, s.Vertices())
		for i := range all {
			all[i] = true
		}
		most, _ := s.Region(all, make([]bool, len(all)), positions).Stretch(out)
		return most
	}
	if hard, soft := longest(0), longest(20); !(soft < hard/2) {
		t.Errorf("the longest edge is %g with a hard edge and %g smoothed; it should more than halve", hard, soft)
	}
}

func TestWeightsSumToOne(t *testing.T) {
	nan := float32(math.NaN())
	held := Influences{4, make([]uint16, 16), []float32{0.5, 0.5, 0, 0, 2, 2, 0, 0, 0, 0, 0, 0, nan, -1, 0.5, 0}}
	clean, changed := held.Clean(4)
	for v := range 4 {
		_, w := clean.Of(v)
		if sum := float64(w[0] + w[1] + w[2] + w[3]); math.Abs(sum-1) > 1e-7 {
			t.Errorf("vertex %d: weights sum to %g", v, sum)
		}
	}
	if changed != 3 {
		t.Errorf("%d vertices were changed; want 3", changed)
	}
	positions, triangles, tubeHeld := tube(21, 12, 10, 2, 5, true)
	s := mustNew(t, positions, triangles, tubeHeld)
	for _, passes := range []int{0, 10} {
		m := s.Mix(tubeHeld, passes, 0.5)
		for p := range s.Points() {
			sum := 0.0
			for e := m.start[p]; e < m.start[p+1]; e++ {
				sum += float64(m.row[4*e+3])
			}
			if math.Abs(sum-1) > 2e-6 {
				t.Errorf("%d passes: the weights of point %d sum to %g", passes, p, sum)
			}
		}
	}
}

func TestSeamsAreJoinedAndTouchingLipsAreNot(t *testing.T) {
	positions, triangles, held := tube(21, 12, 10, 2, 5, true)
	if s := mustNew(t, positions, triangles, held); s.Points() != 21*12 || s.Vertices() != 21*13 {
		t.Errorf("%d points of %d vertices; the seam should be joined to %d", s.Points(), s.Vertices(), 21*12)
	}
	lips := Influences{1, []uint16{0, 1}, []float32{1, 1}}
	if s := mustNew(t, make([]float32, 6), nil, lips); s.Points() != 2 {
		t.Errorf("two vertices in one place held by different joints are %d points; want 2", s.Points())
	}
}

func TestABrokenSurfaceStaysFinite(t *testing.T) {
	random := rand.New(rand.NewPCG(5, 5))
	for round := range 200 {
		n := 1 + random.IntN(30)
		positions := make([]float32, 3*n)
		for i := range positions {
			positions[i] = float32(random.IntN(4)) // many coincide
		}
		triangles := make([]uint32, 3*random.IntN(60))
		for i := range triangles {
			triangles[i] = uint32(random.IntN(n))
		}
		held := Influences{2, make([]uint16, 2*n), make([]float32, 2*n)}
		for i := range held.Joints {
			held.Joints[i], held.Weights[i] = uint16(random.IntN(3)), float32(random.IntN(3))
		}
		held, _ = held.Clean(n)
		s := mustNew(t, positions, triangles, held)
		moved := motion(nil, rigid.Motion{R: rigid.Identity()})
		moved = motion(moved, turned(rigid.Vec{Z: 1}, 3, rigid.Vec{X: 1}))
		moved = motion(moved, rigid.Motion{}) // flattens its skin to a point
		out, normals := make([]float32, 3*n), make([]float32, 3*n)
		NewPosing(s, held, still(3), round%12, 0.5).Pose(out, moved)
		NewShader(s).Normals(normals, out)
		s.Trial([]Segment{{Joint: 1}, {Joint: 2, To: [3]float64{3}}}, held)
		for _, list := range [][]float32{out, normals} {
			for i, x := range list {
				if !(math.Abs(float64(x)) < 1e3) {
					t.Fatalf("round %d: number %d is %g", round, i, x)
				}
			}
		}
	}
}

func TestBadListsAreRefused(t *testing.T) {
	held := Influences{1, []uint16{0}, []float32{1}}
	for name, call := range map[string]func() (*Surface, error){
		"two coordinates":   func() (*Surface, error) { return New([]float32{1, 2}, nil, Influences{}, nil) },
		"a vertex too many": func() (*Surface, error) { return New([]float32{1, 2, 3}, []uint32{0, 0, 1}, held, nil) },
		"no number":         func() (*Surface, error) { return New([]float32{1, float32(math.Inf(1)), 3}, nil, held, nil) },
		"weights missing":   func() (*Surface, error) { return New([]float32{1, 2, 3, 4, 5, 6}, nil, held, nil) },
	} {
		if _, err := call(); err == nil {
			t.Errorf("%s: not refused", name)
		}
	}
}

func TestAFrameAllocatesNothing(t *testing.T) {
	positions, triangles, held := tube(41, 24, 10, 2, 5, true)
	s := mustNew(t, positions, triangles, held)
	p, h := NewPosing(s, held, still(2), 10, 0.5), NewShader(s)
	out, normals, m := make([]float32, len(positions)), make([]float32, len(positions)), still(2)
	region := s.Region(make([]bool, s.Vertices()), make([]bool, s.Vertices()), positions)
	if n := testing.AllocsPerRun(5, func() {
		p.Pose(out, m)
		h.Normals(normals, out)
		region.Stretch(out)
		region.Squash(Fold{Normal: [3]float64{1}}, out)
	}); n != 0 {
		t.Errorf("a frame allocates %g times", n)
	}
}

func TestNormalsPointOutward(t *testing.T) {
	positions, triangles, held := tube(81, 64, 10, 2, 5, true)
	s := mustNew(t, positions, triangles, held)
	normals := make([]float32, len(positions))
	NewShader(s).Normals(normals, positions)
	for i := 0; i < len(normals); i += 3 {
		y, z := float64(positions[i+1]), float64(positions[i+2])
		out := (float64(normals[i+1])*y + float64(normals[i+2])*z) / math.Sqrt(y*y+z*z)
		if !(out > 0.8) {
			t.Fatalf("the normal of vertex %d points outward by %g only", i/3, out)
		}
	}
}

// TestAnOverlapIsTheWedgeThatCrosses: two square beams of one piece each, folded about a pivot on their inside face's level
// minus h; each pushes a prism with the triangular section h·h·tan(θ/2)/2 past the plane. derived: right triangle with the
// angle θ/2 at the pivot and the leg h.
func TestAnOverlapIsTheWedgeThatCrosses(t *testing.T) {
	const n, half, width, h = 401, 10.0, 2.0, 1.0
	var positions []float32
	var triangles []uint32
	var near, far []bool
	for side := range 2 {
		base := uint32(len(positions) / 3)
		for i := range n {
			x := half * float64(i) / (n - 1)
			if side == 0 {
				x = -half + x
			}
			for _, yz := range [4][2]float64{{-h, -width / 2}, {-h, width / 2}, {h, width / 2}, {h, -width / 2}} {
				positions = append(positions, float32(x), float32(yz[0]), float32(yz[1]))
				near, far = append(near, side == 0), append(far, side == 1)
			}
		}
		quad := func(a, b, c, d uint32) { triangles = append(triangles, a, b, c, a, c, d) }
		for i := range uint32(n - 1) {
			at := base + 4*i
			for k := range uint32(4) {
				quad(at+k, at+4+k, at+4+(k+1)%4, at+(k+1)%4)
			}
		}
		quad(base, base+1, base+2, base+3)
		end := base + 4*(n-1)
		quad(end+3, end+2, end+1, end)
	}
	held := Influences{Each: 1, Joints: make([]uint16, len(near)), Weights: make([]float32, len(near))}
	for v := range held.Joints {
		held.Weights[v] = 1
		if far[v] {
			held.Joints[v] = 1
		}
	}
	s := mustNew(t, positions, triangles, held)
	const angle = 1.0
	bend := append(motion(nil, rigid.Motion{R: rigid.Identity()}), motion(nil, turned(rigid.Vec{Z: 1}, -angle, rigid.Vec{}))...)
	out := make([]float32, len(positions))
	NewPosing(s, held, still(2), 0, 0).Pose(out, bend)
	sin, cos := math.Sincos(-angle / 2)
	overlap, deep := s.Region(near, far, positions).Squash(Fold{Normal: [3]float64{cos, sin}}, out)
	want := 2 * h * h * math.Tan(angle/2) / 2 * width
	if math.Abs(overlap-want) > 1e-4*want {
		t.Errorf("the overlap is %g; want %g", overlap, want)
	}
	if deepest := h * math.Sin(angle/2); math.Abs(deep-deepest) > 1e-5 {
		t.Errorf("the deepest point is %g past the plane; want %g", deep, deepest)
	}
}

func TestTrialWeightsFollowTheNearestSegmentOfTheirOwnPart(t *testing.T) {
	positions, triangles, held := tube(41, 24, 10, 2, 5, true)
	s := mustNew(t, positions, triangles, held)
	trial := s.Trial([]Segment{{0, [3]float64{-10}, [3]float64{1}}, {1, [3]float64{1}, [3]float64{10}}, {2, [3]float64{0, 0, 1}, [3]float64{0, 0, 3}}}, held)
	for v := range s.Vertices() {
		want := uint16(0)
		if positions[3*v] > 1 {
			want = 1
		}
		if trial.Joints[v] != want || trial.Weights[v] != 1 { // joint 2 is near but holds nothing here
			t.Fatalf("vertex %d at x = %g belongs to joint %d", v, positions[3*v], trial.Joints[v])
		}
	}
}

// TestAFingerThatTouchesItsNeighbourKeepsToItself: two fingers that grow from one palm; the second joint's segment lies so
// near to the first finger's side that some of its points are nearer to it than to their own.
func TestAFingerThatTouchesItsNeighbourKeepsToItself(t *testing.T) {
	const n = 60
	var positions []float32
	var triangles []uint32
	for finger := range 2 {
		for i := range n { // a strip, two points wide, along x
			for k := range 2 {
				positions = append(positions, float32(i), float32(2*finger+k), 0)
			}
		}
	}
	strip := func(base uint32) {
		for i := range uint32(n - 1) {
			a := base + 2*i
			triangles = append(triangles, a, a+2, a+1, a+1, a+2, a+3)
		}
	}
	strip(0)
	strip(2 * n)
	triangles = append(triangles, 0, 1, 2*n, 0, 2*n, 2*n+1) // the palm
	held := Influences{Each: 2, Joints: make([]uint16, 2*4*n), Weights: make([]float32, 2*4*n)}
	for v := range 4 * n {
		held.Joints[2*v+1] = 1
		held.Weights[2*v], held.Weights[2*v+1] = 0.5, 0.5
	}
	s := mustNew(t, positions, triangles, held)
	dent := Segment{1, [3]float64{30, 0.9}, [3]float64{33, 0.9}} // joint 1 reaches over to the first finger's side
	trial := s.Trial([]Segment{{0, [3]float64{0, 0.5}, [3]float64{n, 0.5}}, {1, [3]float64{0, 2.5}, [3]float64{n, 2.5}}, dent}, held)
	for v := range 4 * n {
		if want := uint16(v / (2 * n)); trial.Joints[v] != want {
			t.Errorf("vertex %d at (%g, %g) belongs to joint %d; want %d", v, positions[3*v], positions[3*v+1], trial.Joints[v], want)
		}
	}
}

// Two squares that share an edge, pulled to twice their length along x: one edge of four that lengthen is shared by two triangles.
func TestTheMeanStretchIsByLengthAtRestAndEachEdgeCountsOnce(t *testing.T) {
	positions := []float32{0, 0, 0, 1, 0, 0, 1, 1, 0, 0, 1, 0}
	triangles := []uint32{0, 1, 2, 0, 2, 3}
	s := mustNew(t, positions, triangles, Influences{Each: 1, Joints: make([]uint16, 4), Weights: []float32{1, 1, 1, 1}})
	g := s.Region([]bool{true, true, true, true}, make([]bool, 4), positions)
	posed := []float32{0, 0, 0, 2, 0, 0, 2, 1, 0, 0, 1, 0}
	longest, mean := g.Stretch(posed)
	want := (2 + 2 + math.Sqrt(5)) / (1 + 1 + math.Sqrt2) // derived: two sides and the diagonal
	if math.Abs(longest-2) > 1e-6 || math.Abs(mean-want) > 1e-6 {
		t.Errorf("longest %g, mean %g; want 2 and %g", longest, mean, want)
	}
}
