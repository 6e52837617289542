package fingercurl

import (
	"math"

	"centrode/calc/plane"
)

// Rod is a circle held by palm-side surfaces. Touches[:Count] are its contacts, in the order of the surfaces.
type Rod struct {
	plane.Circle
	Touches [4]Touch
	Count   int
}

// Touch is a contact: which surface (0 the palm, 1 to 3 the segments) and where.
type Touch struct {
	Surface int
	At      plane.Vec
}

// LargestRod returns the largest circle of positive radius that the surfaces hold, and whether there is one: its radius
// is its distance to the four surfaces, its centre lies on the facing side of every surface it touches, and it lies in
// the convex hull of the contacts.
//
// It is exact: every such circle is found in closed form among finitely many, and the largest that passes the
// definition is kept. The list is complete, because
//
//  1. a segment has one nearest point, so contacts belong to different surfaces, and each is the foot on the surface's
//     line or one of its two ends;
//  2. by Carathéodory's theorem the centre is already in the hull of at most three contacts. One is impossible with a
//     positive radius, so either two lie diametrically opposite or three different ones surround the centre strictly;
//  3. three: the circle touches three features, lines (from their facing side, so with a known sign) or points, of three
//     different surfaces. Each of the four kinds has one or two solutions (plane.TouchingLines and its neighbours), whose
//     systems are singular only where two contacts would coincide or no circle of positive radius exists;
//  4. two: point and point or line and point leave one centre each. Two parallel lines leave a stretch of centres with
//     one radius; whether such a circle is held changes only where it meets the end of a surface or another surface,
//     so one test in each interval between those places decides.
//
// Among circles equal to rounding the one with more contacts wins, then the earlier in that order: a rod that can slide
// between two parallel surfaces is answered seated against a third. Conditions are tested with a slack of 1e-10 of the
// radius plus 1e-14 of the size of the whole, and 1e-9 of a radian: regular polygons touch four lines at once and may
// span just half a turn. Radii under 1e-9 of the size count as none.
//
// Some 250 candidates, most dismissed by their radius: about 20 µs, no allocation. Accuracy: the definition holds within
// 1e-8 of the size, and no larger circle exists (TestTheRodAgreesWithBranchAndBound and its round-numbered twin).
func LargestRod(surfaces [4]Surface) (Rod, bool) {
	s := newSearch(surfaces)
	s.threes()
	s.twos()
	s.slides()
	return s.best, s.best.Count > 0
}

// search holds the features and the largest rod so far.
type search struct {
	surface [4]Surface
	line    [4]plane.Line
	end     [4][2]plane.Vec
	size    float64
	best    Rod
}

func newSearch(surfaces [4]Surface) search {
	s := search{surface: surfaces}
	low, high := surfaces[0].A, surfaces[0].A
	for k, surface := range surfaces {
		s.line[k] = plane.LineThrough(surface.A, surface.Facing)
		s.end[k] = [2]plane.Vec{surface.A, surface.B}
		for _, e := range s.end[k] {
			low = plane.Vec{X: math.Min(low.X, e.X), Y: math.Min(low.Y, e.Y)}
			high = plane.Vec{X: math.Max(high.X, e.X), Y: math.Max(high.Y, e.Y)}
		}
	}
	s.size = high.Sub(low).Len()
	return s
}

// consider keeps the circle if it is held and larger than the best so far, or as large with more contacts. Comparisons are written so that a radius or
// centre that is not finite is dismissed.
func (s *search) consider(c plane.Circle) {
	const tie = 1e-11 // radii this near are equal but for rounding
	if !(c.Radius > s.best.Radius*(1-tie) && c.Radius > 1e-9*s.size) {
		return
	}
	tol := 1e-10*c.Radius + 1e-14*s.size
	rod := Rod{Circle: c}
	for k, surface := range s.surface {
		nearest, _ := surface.Nearest(c.Centre)
		gap := c.Centre.Sub(nearest).Len() - c.Radius
		if !(gap >= -tol) {
			return
		}
		if gap > tol {
			continue
		}
		if s.line[k].Signed(c.Centre) < -tol {
			return
		}
		rod.Touches[rod.Count] = Touch{k, nearest}
		rod.Count++
	}
	larger := c.Radius > s.best.Radius*(1+tie)
	if (larger || rod.Count > s.best.Count) && rod.surrounded(1e-9+tol/c.Radius) {
		s.best = rod
	}
}

// surrounded reports whether the contacts surround the centre; slack is an angle in radians.
func (r Rod) surrounded(slack float64) bool {
	var at [4]plane.Vec
	for i, touch := range r.Touches[:r.Count] {
		at[i] = touch.At
	}
	return plane.Surrounds(r.Centre, at[:r.Count], slack)
}

// threes considers every circle that touches three features of three surfaces.
func (s *search) threes() {
	for left := 3; left >= 0; left-- { // the surface left out; palm, proximal and middle come first
		i, j, k := (left+1)%4, (left+2)%4, (left+3)%4
		s.consider(plane.TouchingLines(s.line[i], s.line[j], s.line[k]))
		s.lineLinePoint(i, j, k)
		s.lineLinePoint(j, k, i)
		s.lineLinePoint(k, i, j)
		s.linePointPoint(i, j, k)
		s.linePointPoint(j, k, i)
		s.linePointPoint(k, i, j)
		for n := range 8 {
			s.consider(plane.Circumcircle(s.end[i][n&1], s.end[j][n>>1&1], s.end[k][n>>2]))
		}
	}
}

// lineLinePoint considers the circles on the lines of i and j and an end of k.
func (s *search) lineLinePoint(i, j, k int) {
	for _, p := range s.end[k] {
		for _, c := range plane.TouchingLinesThrough(s.line[i], s.line[j], p) {
			s.consider(c)
		}
	}
}

// linePointPoint considers the circles on the line of i and an end each of j and k.
func (s *search) linePointPoint(i, j, k int) {
	for _, p := range s.end[j] {
		for _, q := range s.end[k] {
			for _, c := range plane.TouchingLineThrough(s.line[i], p, q) {
				s.consider(c)
			}
		}
	}
}

// twos considers the circles whose diameter joins two ends, or an end and its foot on another surface's line.
func (s *search) twos() {
	for i := range s.surface {
		for j := range s.surface {
			if i == j {
				continue
			}
			for _, p := range s.end[j] {
				half := s.line[i].Signed(p) / 2
				s.consider(plane.Circle{Centre: p.Sub(s.line[i].N.Scale(half)), Radius: half})
				for _, q := range s.end[i] {
					s.consider(plane.Circle{Centre: p.Lerp(q, 0.5), Radius: q.Sub(p).Len() / 2})
				}
			}
		}
	}
}

// slides considers the circles between two surfaces that are parallel and face each other.
func (s *search) slides() {
	for i := range s.surface {
		for j := i + 1; j < len(s.surface); j++ {
			a, b := s.line[i], s.line[j]
			if cross := a.N.Cross(b.N); math.Abs(cross) < 1e-11 && a.N.Dot(b.N) < 0 {
				s.slide(i, j, -(a.D+b.D)/2)
			}
		}
	}
}

// slide considers the circles of the radius along the middle between the parallel surfaces i and j: one in each interval
// between the places where such a circle meets an end or another surface.
func (s *search) slide(i, j int, radius float64) {
	a := s.line[i]
	u := a.N.Perp()
	middle := a.N.Scale(a.D + radius)
	lo := math.Max(math.Min(u.Dot(s.end[i][0]), u.Dot(s.end[i][1])), math.Min(u.Dot(s.end[j][0]), u.Dot(s.end[j][1])))
	hi := math.Min(math.Max(u.Dot(s.end[i][0]), u.Dot(s.end[i][1])), math.Max(u.Dot(s.end[j][0]), u.Dot(s.end[j][1])))
	if !(radius > s.best.Radius && lo < hi) {
		return
	}
	var store [12]float64
	places := store[:0]
	for k := range s.surface {
		if k == i || k == j {
			continue
		}
		for _, e := range s.end[k] {
			off := a.Signed(e) - radius
			half := math.Sqrt(radius*radius - off*off)
			places = appendWithin(places, lo, hi, u.Dot(e)-half, u.Dot(e)+half)
		}
		slope, d := s.line[k].N.Dot(u), s.line[k].Signed(middle)
		places = appendWithin(places, lo, hi, (radius-d)/slope, (-radius-d)/slope)
	}
	for at := lo; at < hi; {
		next := hi
		for _, place := range places {
			if place > at && place < next {
				next = place
			}
		}
		s.consider(plane.Circle{Centre: middle.Add(u.Scale((at + next) / 2)), Radius: radius})
		at = next
	}
}

// appendWithin appends those of two places that lie strictly between lo and hi; NaN does not.
func appendWithin(places []float64, lo, hi, p, q float64) []float64 {
	if p > lo && p < hi {
		places = append(places, p)
	}
	if q > lo && q < hi {
		places = append(places, q)
	}
	return places
}
