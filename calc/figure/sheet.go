package figure

import (
	"math"

	"centrode/calc/plane"
)

// Fluid is the width of a sheet that the page will scale to any column. Its text is reserved at 18 units, so that the
// style sheet may set it anywhere up to that size to keep it readable; at every other width one unit is one pixel.
const Fluid = 480.0

// Options says on what sheet a figure is laid out.
type Options struct {
	// Width of the sheet in pixels; 0, or anything that is no width, means Fluid. Widths below 200 count as 200.
	Width float64
	// ID is put before every id inside the drawing; it must be unique on the page. Empty means "figure".
	ID string
	// Words are those of the reader's language, said before room is made for a text.
	Words Words
}

// Words says a text of a drawing in the language of its reader. Without them it stays as it is.
type Words func(text string) string

// Of is the text as it is said.
//
//go:noinline
func (w Words) Of(text string) string {
	if w == nil || text == "" {
		return text
	}
	return w(text)
}

// prefix is the ID with its default.
func (o Options) prefix() string {
	if o.ID == "" {
		return "figure"
	}
	return o.ID
}

const (
	minWidth, maxWidth = 200.0, 4000.0
	minAspect          = 0.3 // height over width of a flat drawing
	maxAspect          = 1.1 // and of a tall one, so that it still fits on a screen with its sentence
	// farthest bounds what is written: browsers keep coordinates as 32-bit floats, exact to 0.1 px up to here.
	farthest = 1e6
)

// sheet maps model units (y up) to pixels (y down).
type sheet struct {
	width, height float64
	fluid         bool
	text          float64 // size of the em that label boxes reserve
	gauge         float64 // factor on the sizes of markers, ticks and arrow heads
	scale         float64 // pixels per model unit
	model, centre plane.Vec
}

func newSheet(view Rect, o Options) sheet {
	s := sheet{width: o.Width, text: 14, gauge: 1}
	if !(s.width > 0) || s.width == Fluid {
		s.width, s.fluid, s.text, s.gauge = Fluid, true, 18, 1.15
	}
	s.width = min(max(s.width, minWidth), maxWidth)
	switch {
	case !s.fluid && s.width < Fluid:
		s.text = 13
	case s.width >= 640:
		s.gauge = 1.2
	}
	view = sound(view)
	size := view.Max.Sub(view.Min)
	margin := 2 * s.text
	s.scale = math.MaxFloat64
	if size.X > 0 {
		s.scale = (s.width - 2*margin) / size.X
	}
	if size.Y > 0 {
		s.scale = min(s.scale, (maxAspect*s.width-2*margin)/size.Y)
	}
	s.height = math.Round(min(max(size.Y*s.scale+2*margin, minAspect*s.width), maxAspect*s.width))
	s.model = view.Min.Lerp(view.Max, 0.5)
	s.centre = plane.Vec{X: s.width / 2, Y: s.height / 2}
	return s
}

// sound makes any view drawable: ordered, finite, and not a single point.
func sound(view Rect) Rect {
	lo := plane.Vec{X: min(view.Min.X, view.Max.X), Y: min(view.Min.Y, view.Max.Y)}
	hi := plane.Vec{X: max(view.Min.X, view.Max.X), Y: max(view.Min.Y, view.Max.Y)}
	view = Rect{lo, hi}
	if !(view.far() < 1e100) { // so that NaN counts too
		return Rect{plane.Vec{X: -1, Y: -1}, plane.Vec{X: 1, Y: 1}}
	}
	size := Extent(view.size(), view.far())
	if size == view.size() {
		return view
	}
	half := size / 2
	return Rect{plane.Vec{X: lo.X - half, Y: lo.Y - half}, plane.Vec{X: hi.X + half, Y: hi.Y + half}}
}

// place returns where a model point lies on the sheet. Points too far off to be written are drawn in along the line to
// the sheet's centre. A point that is not finite has no place.
func (s sheet) place(p plane.Vec) (plane.Vec, bool) {
	off := plane.Vec{X: (p.X - s.model.X) * s.scale, Y: (s.model.Y - p.Y) * s.scale}
	far := max(math.Abs(off.X), math.Abs(off.Y))
	if !(far <= math.MaxFloat64) {
		return plane.Vec{}, false
	}
	if far > farthest {
		off = off.Scale(farthest / far)
	}
	return s.centre.Add(off), true
}

// direction turns a model direction into one on the sheet, of unit length; zero stays zero.
func (s sheet) direction(v plane.Vec) plane.Vec {
	u := plane.Vec{X: v.X, Y: -v.Y}.Unit()
	if !finite(u) {
		return plane.Vec{}
	}
	return u
}

// bounds is the whole sheet.
func (s sheet) bounds() Rect { return Rect{Max: plane.Vec{X: s.width, Y: s.height}} }

// Locate returns the model point at (px, py) on the sheet that Layout makes of f with the same options: x to the right
// and y down, in the units of the SVG's viewBox. It is the inverse of the placement of marks, and O(1).
func Locate(f Figure, o Options, px, py float64) plane.Vec {
	s := newSheet(f.View, o)
	return plane.Vec{X: s.model.X + (px-s.centre.X)/s.scale, Y: s.model.Y - (py-s.centre.Y)/s.scale}
}

func finite(v plane.Vec) bool {
	return math.Abs(v.X) <= math.MaxFloat64 && math.Abs(v.Y) <= math.MaxFloat64
}

// around is the rectangle of the given half width and half height about a point.
func around(p plane.Vec, halfWidth, halfHeight float64) Rect {
	half := plane.Vec{X: halfWidth, Y: halfHeight}
	return Rect{p.Sub(half), p.Add(half)}
}

// overlaps reports whether two rectangles share some area.
func (r Rect) overlaps(q Rect) bool {
	return r.Min.X < q.Max.X && q.Min.X < r.Max.X && r.Min.Y < q.Max.Y && q.Min.Y < r.Max.Y
}

// holds reports whether q lies wholly inside r.
func (r Rect) holds(q Rect) bool {
	return r.Min.X <= q.Min.X && r.Min.Y <= q.Min.Y && q.Max.X <= r.Max.X && q.Max.Y <= r.Max.Y
}

// Has reports whether a point lies inside r or on its edge.
func (r Rect) Has(p plane.Vec) bool { return r.holds(Rect{p, p}) }

// shared is the area that two rectangles share.
func (r Rect) shared(q Rect) float64 {
	if !r.overlaps(q) {
		return 0
	}
	return (min(r.Max.X, q.Max.X) - max(r.Min.X, q.Min.X)) * (min(r.Max.Y, q.Max.Y) - max(r.Min.Y, q.Min.Y))
}

// clip returns the part of the segment from a to b that lies inside r, by the parameters at which it enters and leaves
// (Liang and Barsky's method); ok is false when none does.
func (r Rect) clip(a, b plane.Vec) (from, to plane.Vec, ok bool) {
	enter, leave := 0.0, 1.0
	d := b.Sub(a)
	for _, side := range [4][2]float64{{-d.X, a.X - r.Min.X}, {d.X, r.Max.X - a.X}, {-d.Y, a.Y - r.Min.Y}, {d.Y, r.Max.Y - a.Y}} {
		switch slope, gap := side[0], side[1]; {
		case slope == 0 && gap < 0:
			return a, b, false
		case slope < 0:
			enter = max(enter, gap/slope)
		case slope > 0:
			leave = min(leave, gap/slope)
		}
	}
	return a.Lerp(b, enter), a.Lerp(b, leave), enter <= leave
}
