package limbfold

import (
	"math"

	"centrode/calc/plane"
)

// Segment is one link of a chain: its length, its direction at rest relative to the previous one, and how far it may
// fold from there, all angles in radians.
type Segment struct{ Length, Rest, FoldMin, FoldMax float64 }

// Greatest returns the greatest distance from base to end over all permitted angles, and the folds that reach it, to 1e-13 of
// the chain's length.
//
// It is exact and global: at a greatest span every joint either stands at a limit or lies on the line from base to end
// (there the span does not change with its angle, to first order). The chain then consists of rigid pieces laid in a
// row, so trying each joint at its lower limit, its upper limit, and in line is trying every candidate there is.
func Greatest(chain []Segment) (float64, []float64) {
	s := newSearch(chain, false)
	s.try(1)
	return s.best, s.fold
}

// Least returns the least distance from base to end over all permitted angles, and the folds that reach it.
//
// A least span above 0 obeys the same rule as a greatest one, with pieces that may also lie back on each other, and is
// found exactly. A chain that closes on itself (span 0) obeys no such rule: it is looked for by closing every pair of
// joints with the others at their limits, and by steps of all joints toward the base, from a fixed set of starts.
func Least(chain []Segment) (float64, []float64) {
	s := newSearch(chain, true)
	s.try(1)
	if s.best > 1e-12*s.total {
		s.closePairs()
		s.descend()
	}
	return s.best, s.fold
}

// search keeps the best candidate so far. state and fold index the segments; the first one only turns the whole chain.
type search struct {
	chain []Segment
	least bool
	total float64
	best  float64
	fold  []float64
	now   []float64
	free  []bool // joints in line, in the candidate being built
	back  []bool // of those, the ones that fold back
	// What settle works with: where a step begins, its turns, and the joints that stay.
	before, turn []float64
	held         []bool
}

func newSearch(chain []Segment, least bool) *search {
	n := len(chain)
	angles, joints := make([]float64, 4*n), make([]bool, 3*n)
	s := &search{chain: chain, least: least, best: -1, fold: angles[:n:n], now: angles[n : 2*n], before: angles[2*n : 3*n], turn: angles[3*n:],
		free: joints[:n], back: joints[n : 2*n], held: joints[2*n:]}
	s.now[0] = math.Max(chain[0].FoldMin, math.Min(chain[0].FoldMax, 0))
	for _, segment := range chain {
		s.total += segment.Length
	}
	return s
}

// offer keeps the candidate in now when it is better than the best, beyond rounding.
func (s *search) offer() {
	value := span(s.chain, s.now)
	better := value > s.best+1e-13*s.total
	if s.least {
		better = value < s.best-1e-13*s.total
	}
	if s.best < 0 || better {
		s.best = value
		copy(s.fold, s.now)
	}
}

// try runs through the states of joint i and all later ones.
func (s *search) try(i int) {
	if i == len(s.chain) {
		if s.align() {
			s.offer()
		}
		return
	}
	segment := s.chain[i]
	s.free[i] = false
	s.now[i] = segment.FoldMin
	s.try(i + 1)
	if segment.FoldMin == segment.FoldMax {
		return
	}
	s.now[i] = segment.FoldMax
	s.try(i + 1)
	s.free[i], s.back[i] = true, false
	s.try(i + 1)
	if s.least {
		s.back[i] = true
		s.try(i + 1)
	}
	s.free[i], s.back[i] = false, false
}

// align lays the rigid pieces between free joints along one line and reports whether the free joints permit it.
func (s *search) align() bool {
	n := len(s.chain)
	heading := 0.0 // of the last segment placed, with the line along +x
	for start := 0; start < n; {
		end := start + 1
		for end < n && !s.free[end] {
			end++
		}
		chord, last := s.piece(start, end)
		first := -chord.Angle()
		if start > 0 && s.back[start] {
			first += math.Pi
		}
		if start > 0 {
			fold, ok := within(first-heading-s.chain[start].Rest, s.chain[start])
			if !ok {
				return false
			}
			s.now[start] = fold
		}
		heading = first + last
		start = end
	}
	return true
}

// piece returns the chord of segments start to end−1 in the frame of the first, and the heading of the last there.
func (s *search) piece(start, end int) (chord plane.Vec, last float64) {
	for k := start; k < end; k++ {
		if k > start {
			last += s.chain[k].Rest + s.now[k]
		}
		chord = chord.Add(plane.Polar(s.chain[k].Length, last))
	}
	return chord, last
}

// within brings an angle into the segment's limits by whole turns; ok is false when none of them fits.
func within(fold float64, s Segment) (float64, bool) {
	const turn = 2 * math.Pi
	slack := 1e-12
	fold += turn * math.Ceil((s.FoldMin-slack-fold)/turn)
	return math.Max(fold, s.FoldMin), fold <= s.FoldMax+slack
}

// closePairs looks for a closed chain with all joints at a limit but two.
func (s *search) closePairs() {
	n := len(s.chain)
	for i := 1; i < n; i++ {
		for j := i + 1; j < n; j++ {
			for corner := range 1 << (n - 1) {
				if corner>>(i-1)&1 == 1 || corner>>(j-1)&1 == 1 {
					continue // the two free joints have no limit to choose
				}
				for k := 1; k < n; k++ {
					s.now[k] = s.chain[k].FoldMin
					if corner>>(k-1)&1 == 1 {
						s.now[k] = s.chain[k].FoldMax
					}
				}
				s.close(i, j)
			}
		}
	}
}

// close solves the triangle of the pieces base–i, i–j, j–end for a closed chain, both ways round.
func (s *search) close(i, j int) {
	a, headA := s.piece(0, i)
	b, headB := s.piece(i, j)
	c, _ := s.piece(j, len(s.chain))
	la, lb, lc := a.Len(), b.Len(), c.Len()
	if la > lb+lc || lb > la+lc || lc > la+lb || la*lb*lc == 0 {
		return
	}
	cos := (la*la + lb*lb - lc*lc) / (2 * la * lb)
	turn := math.Pi - math.Acos(math.Max(-1, math.Min(1, cos)))
	for _, sign := range []float64{1, -1} {
		alongB := a.Angle() + sign*turn
		end := a.Add(plane.Polar(lb, alongB))
		alongC := end.Scale(-1).Angle()
		foldI, okI := within(alongB-b.Angle()-headA-s.chain[i].Rest, s.chain[i])
		foldJ, okJ := within(alongC-c.Angle()-(alongB-b.Angle()+headB)-s.chain[j].Rest, s.chain[j])
		if okI && okJ {
			s.now[i], s.now[j] = foldI, foldJ
			s.offer()
		}
	}
}

// descend shortens the span from starts spread over the limits, until the chain closes.
func (s *search) descend() {
	const starts = 64
	for start := range starts {
		x := 0.5
		for i := 1; i < len(s.chain); i++ {
			// Multiples of an irrational fill the range evenly, the same at every run.
			x = math.Mod(x+float64(start*i+i)*0.6180339887498949, 1)
			s.now[i] = s.chain[i].FoldMin + x*(s.chain[i].FoldMax-s.chain[i].FoldMin)
		}
		s.settle()
		s.offer()
		if s.best <= 1e-12*s.total {
			return
		}
	}
}

// settle shortens the span by steps of all joints at once, until none helps: turning one at a time would creep where the chain is nearly straight.
func (s *search) settle() {
	for range 100 {
		was := span(s.chain, s.now)
		if was <= 1e-13*s.total || !s.step() {
			return
		}
		copy(s.before, s.now)
		for share := 1.0; ; share /= 4 {
			if share < 1e-9 {
				copy(s.now, s.before)
				return
			}
			for i, segment := range s.chain[1:] {
				s.now[i+1] = math.Max(segment.FoldMin, math.Min(segment.FoldMax, s.before[i+1]+share*s.turn[i+1]))
			}
			if span(s.chain, s.now) < was {
				break
			}
		}
	}
}

// step finds the least turns, by the sum of their squares, that to first order bring the end of the chain to its base. A joint that they would
// turn past its limit stays. Turns of more than half a radian are shortened alike. It reports whether the others can move the end both ways.
func (s *search) step() bool {
	clear(s.held)
	tip := end(s.chain, s.now)
	for again := true; again; {
		again = false
		var xx, xy, yy float64 // of J·Jᵀ, where column i of J is how the end moves with joint i
		for i := 1; i < len(s.chain); i++ {
			if arm := tip.Sub(end(s.chain[:i], s.now)); !s.held[i] {
				xx, xy, yy = xx+arm.Y*arm.Y, xy-arm.X*arm.Y, yy+arm.X*arm.X
			}
		}
		det := xx*yy - xy*xy
		if !(det > 0) {
			return false
		}
		pull := plane.Vec{X: (yy*tip.X - xy*tip.Y) / det, Y: (xx*tip.Y - xy*tip.X) / det}
		longest := 0.5
		for i := 1; i < len(s.chain); i++ {
			turn := pull.Cross(tip.Sub(end(s.chain[:i], s.now)))
			switch {
			case s.held[i]:
				turn = 0
			case turn < 0 && s.now[i] <= s.chain[i].FoldMin, turn > 0 && s.now[i] >= s.chain[i].FoldMax:
				s.held[i], again = true, true
			}
			s.turn[i] = turn
			longest = math.Max(longest, math.Abs(turn))
		}
		for i := range s.turn {
			s.turn[i] *= 0.5 / longest
		}
	}
	return true
}
