// Package views lays points in space out on a sheet as an engineering drawing does: the front view (x, y), to its right the
// view from the right (−z, y), above it the view from above (x, −z), all to one scale and in line with each other.
//
// Start at Arrange. Each view takes as much room as the points do in it, and a view in which they all but lie on one
// line is left out where the others show the same. Axis draws a direction, Detail a part enlarged.
package views

import (
	"math"
	"slices"
	"strconv"

	"centrode/calc/figure"
	"centrode/calc/plane"
	"centrode/calc/rigid"
)

// View is one of the three. Across and Up are the unit vectors of the model that run to the right and up on the sheet.
type View struct {
	Name       string // "front", "side", "top"
	Across, Up rigid.Vec
	Letters    [2]string   // of the axes that run to the right and up
	Origin     plane.Vec   // where the model's origin lands on the sheet
	Area       figure.Rect // the part of the sheet that the points may take
	Main       bool        // numbers and names stand here
	alone      bool
	size       float64
}

// At returns where a point lands on the sheet, in model units.
func (v View) At(p rigid.Vec) plane.Vec {
	return v.Origin.Add(plane.Vec{X: p.Dot(v.Across), Y: p.Dot(v.Up)})
}

// Toward is the direction in the model that points at the reader.
func (v View) Toward() rigid.Vec { return v.Across.Cross(v.Up) }

// Sheet is an arrangement of one to three views.
type Sheet struct {
	Views []View
	Rect  figure.Rect // what the views and their axes take
	Size  float64     // the longest extent of the points along x, y or z, never 0
}

// Shares of the longest extent.
const (
	flat  = 0.01  // an axis along which the points spread less than this shows nothing
	blot  = 0.08  // a view whose both sides are shorter than this is a blot
	strip = 0.045 // from the area of a view to its axes
	arrow = 0.1   // length of an axis
	gap   = 0.08  // from the area of one view to the axes of the next
)

// Arrange returns the views of everything within the bounds. Areas go by steps of a coarse grid, so that the drawing keeps
// still while a reader drags a point.
func Arrange(b Bounds) Sheet {
	lo, hi, size := b.steady()
	front := View{Name: "front", Across: rigid.Vec{X: 1}, Up: rigid.Vec{Y: 1}, Letters: [2]string{"x", "y"}, size: size}
	side := View{Name: "side", Across: rigid.Vec{Z: -1}, Up: rigid.Vec{Y: 1}, Letters: [2]string{"−z", "y"}, size: size}
	top := View{Name: "top", Across: rigid.Vec{X: 1}, Up: rigid.Vec{Z: -1}, Letters: [2]string{"x", "−z"}, size: size}
	between := (strip + gap) * size
	front.Area = figure.Rect{Min: plane.Vec{X: lo.X, Y: lo.Y}, Max: plane.Vec{X: hi.X, Y: hi.Y}}
	side.Area = figure.Rect{Min: plane.Vec{X: -hi.Z, Y: lo.Y}, Max: plane.Vec{X: -lo.Z, Y: hi.Y}}
	top.Area = figure.Rect{Min: plane.Vec{X: lo.X, Y: -hi.Z}, Max: plane.Vec{X: hi.X, Y: -lo.Z}}
	sheet := Sheet{Size: size}
	switch kept := b.shown(); kept {
	case "front":
		sheet.Views = []View{front}
	case "side":
		sheet.Views = []View{side}
	case "top":
		sheet.Views = []View{top}
	default:
		sheet.Views = []View{front}
		if kept != "front and top" {
			sheet.Views = append(sheet.Views, side.moved(plane.Vec{X: hi.X + between + hi.Z}))
		}
		if kept != "front and side" {
			sheet.Views = append(sheet.Views, top.moved(plane.Vec{Y: hi.Y + between + hi.Z}))
		}
	}
	sheet.finish(b)
	return sheet
}

// Flat is the one view of a planar drawing: x to the right, y up, the sheet's units those of the model. The sheet's Rect has
// room for the axes outside the area.
func Flat(area figure.Rect) Sheet {
	d := area.Max.Sub(area.Min)
	size := math.Max(d.X, d.Y)
	sheet := Sheet{Size: size, Views: []View{{Name: "front", Across: rigid.Vec{X: 1}, Up: rigid.Vec{Y: 1}, Letters: [2]string{"x", "y"}, Area: area, size: size}}}
	sheet.finish(Bounds{})
	return sheet
}

// moved puts a view elsewhere on the sheet.
func (v View) moved(by plane.Vec) View {
	v.Origin = v.Origin.Add(by)
	v.Area = figure.Rect{Min: v.Area.Min.Add(by), Max: v.Area.Max.Add(by)}
	return v
}

// finish finds the main view, the largest of those that show what is told, and the sheet's extent, axes included.
func (s *Sheet) finish(b Bounds) {
	main := 0
	for i, v := range s.Views {
		shows, before := b.seen(v), b.seen(s.Views[main])
		if shows && !before || shows == before && v.room() > s.Views[main].room() {
			main = i
		}
	}
	for i := range s.Views {
		v := &s.Views[i]
		v.Main, v.alone = i == main, len(s.Views) == 1
		out := plane.Vec{X: strip * s.Size, Y: strip * s.Size}
		box := figure.Rect{Min: v.Area.Min.Sub(out), Max: v.Area.Max}
		if i == 0 {
			s.Rect = box
		}
		s.Rect = s.Rect.Union(box)
	}
}

func (v View) room() float64 {
	d := v.Area.Max.Sub(v.Area.Min)
	return d.X * d.Y
}

// Frame draws the two axes of a view outside its lower left corner, and names the view where there are several. The letters
// come before all other words: one that had to make way would stand beside the wrong axis.
func (v View) Frame() []figure.Mark {
	right, up := v.arm(plane.Vec{X: arrow}), v.arm(plane.Vec{Y: arrow})
	marks := []figure.Mark{
		figure.Polyline{Role: figure.Guide, Points: []plane.Vec{right.A, right.B}, Hair: true, Arrow: true},
		figure.Polyline{Role: figure.Guide, Points: []plane.Vec{up.A, up.B}, Hair: true, Arrow: true},
		figure.Label{Role: figure.Guide, At: right.B, Text: v.Letters[0], Away: plane.Vec{X: 1}},
		figure.Label{Role: figure.Guide, At: up.B, Text: v.Letters[1], Away: plane.Vec{Y: 1}},
	}
	if v.alone {
		return marks
	}
	head := v.Area.Max // a fan or a limb leaves the corner free
	if wide := v.Area.Max.X - v.Area.Min.X; wide < 0.3*v.size {
		head.X -= wide / 2
	} else {
		head.X -= 0.05 * v.size
	}
	return append(marks, figure.Label{Role: figure.Guide, At: head, Text: v.Name, Away: plane.Vec{Y: 1}, Rank: 6})
}

// arm is one of the two axes that a view has outside its lower left corner.
func (v View) arm(to plane.Vec) plane.Segment {
	corner := v.Area.Min.Sub(plane.Vec{X: strip * v.size, Y: strip * v.size})
	return plane.Segment{A: corner, B: corner.Add(to.Scale(v.size))}
}

// Named gives a mark its name in the main view alone, so that a screen reader hears it once.
func (v View) Named(name string) string {
	if v.Main {
		return name
	}
	return ""
}

// Axes ties the two directions of a view to the fields that hold a point's coordinates; field answers the field of "x",
// "y" or "z".
func (v View) Axes(p rigid.Vec, field func(letter string) string) []figure.Axis {
	at := v.At(p)
	axis := func(dir rigid.Vec, across plane.Vec) figure.Axis {
		letter, base, sign := "x", p.X, dir.X
		switch {
		case dir.Y != 0:
			letter, base, sign = "y", p.Y, dir.Y
		case dir.Z != 0:
			letter, base, sign = "z", p.Z, dir.Z
		}
		return figure.Axis{Field: field(letter), Origin: at, Dir: across, Base: base, PerUnit: sign}
	}
	return []figure.Axis{axis(v.Across, plane.Vec{X: 1}), axis(v.Up, plane.Vec{Y: 1})}
}

// Cell names one cell of a table of points as a handle's field: "points:3:x" is column x of row 3, counted from 1.
func Cell(table string, row int) func(letter string) string {
	return func(letter string) string { return table + ":" + strconv.Itoa(row) + ":" + letter }
}

// Bounds grows around points.
type Bounds struct {
	lo, hi rigid.Vec
	some   bool
	told   []rigid.Vec // see Tell
}

// Tell asks for a main view that shows a difference, however small beside the rest: the move of a pivot out of the plane in which a limb
// lies would be seen in none, or be a point where its number stands.
func (b *Bounds) Tell(d rigid.Vec) { b.told = append(b.told, d) }

// mostly is the share of a difference from which on an axis or a view shows it.
const mostly = 0.5

// tells reports whether one of the differences runs mostly along an axis.
func (b Bounds) tells(along rigid.Vec) bool {
	return slices.ContainsFunc(b.told, func(d rigid.Vec) bool {
		return !Together(d.Len(), b.Size()) && math.Abs(d.Dot(along)) >= mostly*d.Len()
	})
}

// seen reports whether a view shows all of the differences.
func (b Bounds) seen(v View) bool {
	return !slices.ContainsFunc(b.told, func(d rigid.Vec) bool {
		return !Together(d.Len(), b.Size()) && plane.Vec{X: d.Dot(v.Across), Y: d.Dot(v.Up)}.Len() < mostly*d.Len()
	})
}

// Add makes room for a point.
func (b *Bounds) Add(p rigid.Vec) {
	if !b.some {
		b.lo, b.hi, b.some = p, p, true
		return
	}
	b.lo = rigid.Vec{X: min(b.lo.X, p.X), Y: min(b.lo.Y, p.Y), Z: min(b.lo.Z, p.Z)}
	b.hi = rigid.Vec{X: max(b.hi.X, p.X), Y: max(b.hi.Y, p.Y), Z: max(b.hi.Z, p.Z)}
}

// Size returns the longest extent along an axis.
func (b Bounds) Size() float64 {
	d := b.hi.Sub(b.lo)
	return math.Max(d.X, math.Max(d.Y, d.Z))
}

// Distance returns how far a point lies outside the bounds, 0 inside.
func (b Bounds) Distance(p rigid.Vec) float64 {
	out := func(x, lo, hi float64) float64 { return math.Max(0, math.Max(lo-x, x-hi)) }
	return rigid.Vec{X: out(p.X, b.lo.X, b.hi.X), Y: out(p.Y, b.lo.Y, b.hi.Y), Z: out(p.Z, b.lo.Z, b.hi.Z)}.Len()
}

// shown decides which views are worth their room.
func (b Bounds) shown() string {
	d, size := b.hi.Sub(b.lo), b.Size()
	x, y, z := d.X >= flat*size || b.tells(rigid.Vec{X: 1}), d.Y >= flat*size || b.tells(rigid.Vec{Y: 1}), d.Z >= flat*size || b.tells(rigid.Vec{Z: 1})
	switch {
	case size == 0, !z:
		return "front"
	case !x:
		return "side"
	case !y:
		return "top"
	case math.Max(d.Y, d.Z) < blot*size:
		return "front and top"
	case math.Max(d.X, d.Z) < blot*size:
		return "front and side"
	}
	return "all"
}

// steady returns the bounds with some air, on a coarse grid.
func (b Bounds) steady() (lo, hi rigid.Vec, size float64) {
	size = figure.Extent(b.Size(), math.Max(largest(b.lo), largest(b.hi)))
	step, air := figure.Coarse(size/40), size/80
	down := func(x float64) float64 { return math.Floor((x-air)/step) * step }
	up := func(x float64) float64 { return math.Ceil((x+air)/step) * step }
	return rigid.Vec{X: down(b.lo.X), Y: down(b.lo.Y), Z: down(b.lo.Z)}, rigid.Vec{X: up(b.hi.X), Y: up(b.hi.Y), Z: up(b.hi.Z)}, size
}

// largest returns the greatest distance from the origin along an axis.
func largest(p rigid.Vec) float64 { return max(math.Abs(p.X), math.Abs(p.Y), math.Abs(p.Z)) }
