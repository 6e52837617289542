package views

import (
	"math"
	"strconv"

	"centrode/calc/figure"
	"centrode/calc/plane"
)

// Detail is a round part of a drawing that is shown again, enlarged, in a circle of its own.
type Detail struct {
	From   plane.Vec // middle of the part, in the drawing
	To     plane.Vec // middle of the circle in which it is shown
	Radius float64   // of that circle
	Times  float64   // how much larger
	Same   bool      // what it compares lies in one place, in space and not in this view alone: see Together
}

// Enlarge returns a detail about a that shows how b differs from it; ok is false when both can be told apart without, in
// a drawing of the given size. The middle of the circle, To, is the caller's. Times goes by steps of 1, 2 and 5, so that
// the detail keeps still while a reader drags b; points that coincide are shown twenty times larger.
func Enlarge(a, b plane.Vec, size float64) (d Detail, ok bool) {
	const share, least, still = 0.2, 0.07, 20
	apart := b.Sub(a).Len()
	d = Detail{From: a, Radius: share * size, Times: still}
	if !Together(apart, size) {
		d.Times = figure.Coarse(d.Radius / 3.6 / apart)
	}
	return d, apart < least*size && d.Times > 1
}

// Together reports whether points so far apart lie in one place, also when seen much larger than in a drawing of the given size.
func Together(apart, size float64) bool { return !(apart > 1e-6*size) }

// At returns where a point of the drawing lies in the detail.
func (d Detail) At(p plane.Vec) plane.Vec { return d.To.Add(p.Sub(d.From).Scale(d.Times)) }

// Shows reports whether a point of the drawing lies inside the detail's circle.
func (d Detail) Shows(p plane.Vec) bool { return p.Sub(d.From).Len()*d.Times < d.Radius }

// Line returns the part of a line of the drawing that the detail shows; ok is false when it shows none.
func (d Detail) Line(line figure.Polyline) (shown figure.Polyline, ok bool) {
	var points []plane.Vec
	for i := 1; i < len(line.Points); i++ {
		a, b, cut := inCircle(d.At(line.Points[i-1]).Sub(d.To), d.At(line.Points[i]).Sub(d.To), d.Radius)
		if !cut {
			continue
		}
		if len(points) == 0 {
			points = append(points, d.To.Add(a))
		}
		points = append(points, d.To.Add(b))
		line.Arrow = line.Arrow && b == d.At(line.Points[i]).Sub(d.To)
	}
	line.Points, line.Name = points, ""
	return line, len(points) > 1
}

// inCircle is the part of the segment ab inside a circle about the origin.
func inCircle(a, b plane.Vec, radius float64) (from, to plane.Vec, ok bool) {
	along := b.Sub(a)
	n := along.Dot(along)
	if n == 0 {
		return a, b, false
	}
	middle := -a.Dot(along) / n
	foot := a.Lerp(b, middle)
	rest := radius*radius - foot.Dot(foot)
	if rest <= 0 {
		return a, b, false
	}
	half := math.Sqrt(rest / n)
	first, last := math.Max(0, middle-half), math.Min(1, middle+half)
	if first >= last {
		return a, b, false
	}
	if last < 1 {
		b = a.Lerp(b, last)
	}
	return a.Lerp(a.Add(along), first), b, true
}

// Part is the radius of the circle that is drawn about the part in the drawing: as much as the detail shows, or more where
// that would be a dot.
func (d Detail) Part() float64 { return math.Max(d.Radius/d.Times, d.Radius/10) }

// Frame draws the two circles, the hairline from one to the other, and how much larger the second is.
func (d Detail) Frame() []figure.Mark {
	small := d.Part()
	way := d.To.Sub(d.From)
	marks := []figure.Mark{
		figure.Arc{Role: figure.Guide, Centre: d.From, Radius: small, To: 2 * math.Pi, Hair: true},
		figure.Arc{Name: "Enlarged " + times(d.Times) + " times", Role: figure.Guide, Centre: d.To, Radius: d.Radius, To: 2 * math.Pi, Hair: true},
		figure.Label{Role: figure.Guide, At: d.To.Add(plane.Vec{Y: -d.Radius}), Text: d.caption(), Away: plane.Vec{Y: -1}, Rank: 5},
	}
	if u := way.Unit(); way.Len() > small+d.Radius {
		marks = append(marks, figure.Polyline{Role: figure.Guide, Hair: true,
			Points: []plane.Vec{d.From.Add(u.Scale(small)), d.To.Sub(u.Scale(d.Radius))}})
	}
	return marks
}

// caption says how much larger the detail is and, where that shows no difference, that there is none to look for.
func (d Detail) caption() string {
	if d.Same {
		return "in one place, enlarged " + times(d.Times) + " times"
	}
	return times(d.Times) + " times larger"
}

// Box is what the detail's circle and its words take.
func (d Detail) Box() figure.Rect { return figure.Hull(d.Radius, d.To) }

func times(t float64) string { return strconv.FormatFloat(t, 'f', -1, 64) }

// Place returns a middle for the circle: inside the sheet where none of the lines and no axis comes near, as close as can be to what
// is enlarged; else outside it, below a wide sheet and to the right of a tall one.
func (d Detail) Place(sheet Sheet, lines []plane.Segment) plane.Vec {
	box := sheet.Rect
	for _, v := range sheet.Views {
		lines = append(lines, v.arm(plane.Vec{X: arrow}), v.arm(plane.Vec{Y: arrow}))
	}
	if at, ok := d.inside(box, lines); ok {
		return at
	}
	const apart = 0.3 // of the radius
	size := box.Max.Sub(box.Min)
	if size.X > size.Y {
		return plane.Vec{X: clamp(d.From.X+2*d.Radius, box.Min.X+d.Radius, box.Max.X-d.Radius), Y: box.Min.Y - (1+apart)*d.Radius}
	}
	return plane.Vec{X: box.Max.X + (1+apart)*d.Radius, Y: clamp(d.From.Y, box.Min.Y+d.Radius, box.Max.Y-d.Radius)}
}

// inside looks for room in the box, on a grid that does not move with the lines.
func (d Detail) inside(box figure.Rect, lines []plane.Segment) (best plane.Vec, ok bool) {
	const steps, air = 12, 1.2
	low := box.Min.Add(plane.Vec{X: air * d.Radius, Y: 1.6 * d.Radius}) // the words stand below
	room := box.Max.Sub(plane.Vec{X: air * d.Radius, Y: air * d.Radius}).Sub(low)
	if room.X < 0 || room.Y < 0 {
		return best, false
	}
	nearest := math.Inf(1)
	for k := range (steps + 1) * (steps + 1) {
		at := low.Add(plane.Vec{X: room.X * float64(k%(steps+1)) / steps, Y: room.Y * float64(k/(steps+1)) / steps})
		if far := at.Sub(d.From).Len(); far < nearest && far > 1.5*d.Radius && d.clear(at, lines, air*d.Radius) {
			best, ok, nearest = at, true, far
		}
	}
	return best, ok
}

func (d Detail) clear(at plane.Vec, lines []plane.Segment, air float64) bool {
	for _, l := range lines {
		if l.Distance(at) < air {
			return false
		}
	}
	return true
}

// clamp brings x between two bounds; where they cross, half-way between them.
func clamp(x, lo, hi float64) float64 {
	if lo > hi {
		return (lo + hi) / 2
	}
	return math.Max(lo, math.Min(hi, x))
}
