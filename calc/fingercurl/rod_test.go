package fingercurl

import (
	"container/heap"
	"math"
	"math/rand/v2"
	"testing"

	"centrode/calc/plane"
)

// The witness for LargestRod shares no code with it: branch and bound over squares of the plane.
//
// A square with centre c and half-diagonal ρ may hold the centre of a held circle only if, among the surfaces whose
// palm side c is on up to ρ and whose distance is within 2ρ of the least, the nearest points have c in their convex hull
// up to 2ρ; both follow from the nearest point of a segment moving no further than the centre does. Squares are taken
// in the order of the largest radius they could have, so the first one small enough holds the largest circle there can be.

type square struct {
	x, y, half float64 // centre and half a side
	bound      float64 // no circle centred in it is larger
}

type squares []square

func (s squares) Len() int           { return len(s) }
func (s squares) Less(i, j int) bool { return s[i].bound > s[j].bound }
func (s squares) Swap(i, j int)      { s[i], s[j] = s[j], s[i] }
func (s *squares) Push(v any)        { *s = append(*s, v.(square)) }
func (s *squares) Pop() any {
	old := *s
	last := old[len(old)-1]
	*s = old[:len(old)-1]
	return last
}

// footOn is the nearest point of a segment, written out again.
func footOn(s plane.Segment, x, y float64) (fx, fy, distance float64) {
	dx, dy := s.B.X-s.A.X, s.B.Y-s.A.Y
	t := ((x-s.A.X)*dx + (y-s.A.Y)*dy) / (dx*dx + dy*dy)
	t = math.Min(1, math.Max(0, t))
	fx, fy = s.A.X+t*dx, s.A.Y+t*dy
	return fx, fy, math.Hypot(x-fx, y-fy)
}

// sideOf is the signed distance from the line of a segment: positive to the right of A→B, where the palm side is.
func sideOf(s plane.Segment, x, y float64) float64 {
	dx, dy := s.B.X-s.A.X, s.B.Y-s.A.Y
	return (dy*(x-s.A.X) - dx*(y-s.A.Y)) / math.Hypot(dx, dy)
}

// outsideBy is the distance of (x, y) from the convex hull of at most four points.
func outsideBy(points [][2]float64, x, y float64) float64 {
	best := math.Inf(1)
	for i, a := range points {
		for j, b := range points[:i+1] {
			_, _, d := footOn(plane.Segment{A: plane.Vec{X: a[0], Y: a[1]}, B: plane.Vec{X: b[0] + 1e-300, Y: b[1]}}, x, y)
			if a == b {
				d = math.Hypot(x-a[0], y-a[1])
			}
			best = math.Min(best, d)
			for _, c := range points[:j] {
				turn := func(p, q [2]float64) float64 { return (q[0]-p[0])*(y-p[1]) - (q[1]-p[1])*(x-p[0]) }
				u, v, w := turn(a, b), turn(b, c), turn(c, a)
				if u > 0 && v > 0 && w > 0 || u < 0 && v < 0 && w < 0 {
					return 0
				}
			}
		}
	}
	return best
}

// possible reports whether the square may hold a centre, and the largest radius of a circle centred in it.
func possible(surfaces [4]Surface, q square) (bool, float64) {
	reach := q.half * math.Sqrt2
	least := math.Inf(1)
	var feet [4][3]float64
	for k, s := range surfaces {
		feet[k][0], feet[k][1], feet[k][2] = footOn(s.Segment, q.x, q.y)
		least = math.Min(least, feet[k][2])
	}
	var touched [][2]float64
	for k, s := range surfaces {
		if feet[k][2] <= least+2*reach && sideOf(s.Segment, q.x, q.y) >= -reach {
			touched = append(touched, [2]float64{feet[k][0], feet[k][1]})
		}
	}
	return len(touched) > 0 && outsideBy(touched, q.x, q.y) <= 2*reach, least + reach
}

// searchRod returns the smallest square that may hold the centre of the largest circle above floor, a square of bound 0
// when there is none; ok is false when it gave up.
func searchRod(surfaces [4]Surface, floor, smallest float64) (found square, ok bool) {
	lo, hi := surfaces[0].A, surfaces[0].A
	for _, s := range surfaces {
		for _, e := range []plane.Vec{s.A, s.B} {
			lo = plane.Vec{X: math.Min(lo.X, e.X), Y: math.Min(lo.Y, e.Y)}
			hi = plane.Vec{X: math.Max(hi.X, e.X), Y: math.Max(hi.Y, e.Y)}
		}
	}
	half := math.Max(hi.X-lo.X, hi.Y-lo.Y) / 2
	open := squares{{(lo.X + hi.X) / 2, (lo.Y + hi.Y) / 2, half, math.Inf(1)}}
	for range 400_000 {
		if len(open) == 0 {
			return square{}, true
		}
		q := heap.Pop(&open).(square)
		if q.half < smallest {
			return q, true
		}
		for n := range 4 {
			h := q.half / 2
			part := square{q.x + h*float64(2*(n&1)-1), q.y + h*float64(2*(n>>1)-1), h, 0}
			var may bool
			if may, part.bound = possible(surfaces, part); may && part.bound > floor {
				heap.Push(&open, part)
			}
		}
	}
	return open[0], false
}

// touchedFromBehind reports whether a circle at the square touches one surface from behind, exactly as it touches others
// from the front. The bounds cannot tell such a tie: a finger folded flat onto its own palm gives one.
func touchedFromBehind(surfaces [4]Surface, q square, tol float64) bool {
	for _, s := range surfaces {
		if _, _, d := footOn(s.Segment, q.x, q.y); d <= q.bound+tol && sideOf(s.Segment, q.x, q.y) < -tol {
			return true
		}
	}
	return false
}

// mustBeHeld checks a rod against the definition, written out again.
func mustBeHeld(t *testing.T, surfaces [4]Surface, rod Rod, tol float64) {
	t.Helper()
	least := math.Inf(1)
	var touched [][2]float64
	for k, s := range surfaces {
		fx, fy, d := footOn(s.Segment, rod.Centre.X, rod.Centre.Y)
		least = math.Min(least, d)
		if d <= rod.Radius+tol {
			touched = append(touched, [2]float64{fx, fy})
			if side := sideOf(s.Segment, rod.Centre.X, rod.Centre.Y); side < -tol {
				t.Errorf("the rod touches surface %d from %v behind it", k, -side)
			}
		}
	}
	if !(math.Abs(least-rod.Radius) <= tol) {
		t.Errorf("the surfaces are %v away, the radius is %v", least, rod.Radius)
	}
	if len(touched) != rod.Count {
		t.Errorf("%d surfaces are touched, %d are listed", len(touched), rod.Count)
	}
	if off := outsideBy(touched, rod.Centre.X, rod.Centre.Y); !(off <= tol) {
		t.Errorf("the centre is %v outside the hull of its contacts", off)
	}
}

func TestTheRodAgreesWithBranchAndBound(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 1))
	held, cases := 0, 3000
	if testing.Short() {
		cases = 600
	}
	for n := range cases {
		f := randomFinger(rng)
		compareRod(t, n, f, 1e-7, &held)
	}
	if held < cases/10 || held > cases*9/10 {
		t.Errorf("%d of %d fingers hold a rod: the check is lopsided", held, cases)
	}
	t.Logf("%d of %d fingers hold a rod", held, cases)
}

func TestTheRodAgreesWithBranchAndBoundOnRoundFingers(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 1))
	held, cases := 0, 1200
	if testing.Short() {
		cases = 200
	}
	for n := range cases {
		compareRod(t, n, roundFinger(rng), 1e-3, &held)
	}
	t.Logf("%d of %d fingers hold a rod", held, cases)
}

// compareRod compares LargestRod with the witness, whose smallest squares are the given part of the finger, and smaller where that cannot tell.
func compareRod(t *testing.T, n int, f Finger, part float64, held *int) {
	t.Helper()
	surfaces := f.Pose().Surface
	size := newSearch(surfaces).size
	rod, ok := LargestRod(surfaces)
	if ok {
		*held++
		mustBeHeld(t, surfaces, rod, 1e-8*size)
	}
	for { // a square too coarse to tell is looked at again, a thousand times finer
		smallest := part * size
		floor := math.Max(rod.Radius+4*smallest, 5e-3*size) // the witness looks only for what would be larger
		found, decided := searchRod(surfaces, floor, smallest)
		if !decided && !touchedFromBehind(surfaces, found, 10*found.half) {
			t.Errorf("the witness gave up: up to %v may be possible, radius %v", found.bound, rod.Radius)
		}
		if found.bound == 0 || !decided {
			break
		}
		if part < 1e-9 {
			if !touchedFromBehind(surfaces, found, 10*found.half+1e-12*size) {
				t.Errorf("radius %v (held %v), but up to %v is possible", rod.Radius, ok, found.bound)
			}
			break
		}
		part /= 1000
	}
	if t.Failed() {
		t.Fatalf("seed 1,1 case %d: %+v", n, f)
	}
}

func TestARodBetweenTwoWallsSeenFromBehindStillCounts(t *testing.T) {
	// Floor and ceiling 2 cm apart; at either end a wall that faces away, which the rod must not touch. Only the middle of
	// the stretch holds it, and no end, corner or third surface marks the place.
	surfaces := [4]Surface{surfaceOf(3.5, 0, -3.5, 0), surfaceOf(-3.5, 2, 3.5, 2), surfaceOf(-3, 1.9, -3, 0.1), surfaceOf(3, 0.1, 3, 1.9)}
	rod, ok := LargestRod(surfaces)
	if !ok || rod.Count != 2 || !(math.Abs(rod.Radius-1) <= 1e-15) || !(math.Abs(rod.Centre.X) <= 1e-12) {
		t.Errorf("rod %+v (held %v), want radius 1 about (0, 1)\n\tderived by hand", rod, ok)
	}
	mustBeHeld(t, surfaces, rod, 1e-12)
}

func TestARodThatCouldSlideIsSeatedAgainstAThirdSurface(t *testing.T) {
	surfaces := [4]Surface{surfaceOf(4, 0, -4, 0), surfaceOf(-4, 2, 4, 2), surfaceOf(-4, 0, -4, 2), surfaceOf(9, 0, 9, 1)}
	if rod, _ := LargestRod(surfaces); rod.Count != 3 || !(math.Abs(rod.Centre.X+3) <= 1e-12) {
		t.Errorf("rod %+v, want it against the wall at x = −4\n\tderived by hand", rod)
	}
}

func TestABackhandedCornerHoldsNothing(t *testing.T) {
	// The triangle of TestEqualLinks… listed the other way round: every surface faces outward.
	surfaces := [4]Surface{surfaceOf(0, 0, 2, 0), surfaceOf(2, 0, 1, 2), surfaceOf(1, 2, 0, 0), surfaceOf(8, 8, 9, 8)}
	if rod, ok := LargestRod(surfaces); ok {
		t.Errorf("holds %+v from outside", rod)
	}
}
