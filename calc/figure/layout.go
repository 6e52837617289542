package figure

import (
	"strconv"

	"centrode/calc/plane"
)

// Layout draws f on a sheet. Height follows from the view (at most 1.1 and at least 0.3 of the width), so it does not
// change while a reader drags. Marks are drawn in their order, dimension lines among them, then what leads to those, labels and, on top, handles.
//
// Labels never overlap one another, a number or a marker as long as the sheet has room: each is tried along Away, then
// around, then farther out with a leader; when no place is left, one of rank 9 or more is dropped and any other is put
// where it covers least. Whatever is not finite is left out; the tree never holds NaN. Cost: O(marks + labels²).
func Layout(f Figure, o Options) Node {
	d := &draft{sheet: newSheet(f.View, o), id: o.prefix(), words: o.Words}
	d.ink = newInk(d.sheet)
	for _, m := range f.Marks {
		d.draw(m)
	}
	for i, h := range f.Handles {
		d.handle(i, h)
	}
	d.settleNotes()
	d.drawMeasured()
	return d.assemble(f)
}

// draft is a sheet in the making.
type draft struct {
	sheet sheet
	id    string
	words Words
	ink   ink
	notes []note

	taken    []Rect   // where text stands already
	solid    []marker // markers and handles, which text must not cover
	leaders  []plane.Segment
	measured []measured

	pen trace // the room in which every path is written before it becomes text

	drawn, dimensions, strokes, written, handles []Node
	hatched                                      []Role
}

// marker is a marker's place on the sheet and the half width of its sign.
type marker struct {
	at     plane.Vec
	radius float64
}

func (d *draft) draw(m Mark) {
	switch m := m.(type) {
	case Polyline:
		d.polyline(m)
	case Region:
		d.region(m)
	case Arc:
		d.arc(m)
	case Circle:
		d.circle(m)
	case Marker:
		d.marker(m)
	case Label:
		d.label(m)
	case Dimension:
		d.dimension(m)
	case Angular:
		d.angular(m)
	case Heat:
		d.heat(m)
	}
}

func (d *draft) assemble(f Figure) Node {
	s := d.sheet
	title, desc := d.id+"-title", d.id+"-desc"
	class, role, labels := "figure", "group", title
	if s.fluid {
		class = "figure figure-fluid"
	}
	if !d.speaks() {
		role = "img" // nothing inside has a name, so the drawing is one picture
	}
	heads := []Node{el("title", "id", title)}
	heads[0].Text = d.words.Of(f.Title)
	if f.Desc != "" {
		heads = append(heads, el("desc", "id", desc))
		heads[1].Text = d.words.Of(f.Desc)
		labels += " " + desc
	}
	root := el("svg", "class", class, "viewBox", "0 0 "+number(s.width)+" "+number(s.height),
		"role", role, "aria-labelledby", labels, "font-size", number(s.text))
	return root.with(heads...).with(d.definitions()).with(
		el("g", "class", "figure-marks", "clip-path", "url(#"+d.id+"-sheet)").with(d.drawn...),
		el("g", "class", "figure-dimensions").with(d.dimensions...),
		el("g", "class", "figure-labels").with(d.strokes...).with(d.written...),
		el("g", "class", "figure-handles").with(d.handles...))
}

// speaks reports whether any mark has a name of its own.
func (d *draft) speaks() bool {
	if len(d.handles) > 0 {
		return true
	}
	for _, list := range [][]Node{d.drawn, d.written} {
		for _, n := range list {
			if n.Attr("role") != "" {
				return true
			}
		}
	}
	return false
}

// definitions holds the clip to the sheet and one hatch pattern for each role that is hatched.
func (d *draft) definitions() Node {
	s := d.sheet
	defs := el("defs").with(el("clipPath", "id", d.id+"-sheet").with(
		el("rect", "width", number(s.width), "height", number(s.height))))
	for _, role := range d.hatched {
		defs = defs.with(d.hatch(role))
	}
	return defs
}

// hatch is the engraver's hatching of a role: flesh leans to the right, a caution to the left and closer, so that they
// differ without colour.
func (d *draft) hatch(role Role) Node {
	pitch, turn := 6*d.sheet.gauge, "rotate(45)"
	if role == Caution {
		pitch, turn = 4*d.sheet.gauge, "rotate(-45)"
	}
	size := number(pitch)
	return el("pattern", "id", d.hatchID(role), "patternUnits", "userSpaceOnUse", "width", size, "height", size,
		"patternTransform", turn).with(
		el("path", "class", "hatch-line mark-"+string(role), "d", "M0 0V"+size))
}

func (d *draft) hatchID(role Role) string { return d.id + "-hatch-" + string(role) }

func digits(i int) string { return strconv.Itoa(i) }
