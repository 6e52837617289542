package figure

import (
	"math"

	"centrode/calc/plane"
)

// Measures of dimension lines in pixels.
const (
	extensionGap  = 4.0 // between the measured point and its extension line
	extensionPast = 5.0 // the extension line beyond the dimension line
	tickHalf      = 4.5 // half an oblique tick
	lineShown     = 7.0 // line that must stay visible on each side of its number
)

func (d *draft) dimension(m Dimension) {
	a, okA := d.sheet.place(m.A)
	b, okB := d.sheet.place(m.B)
	shift := m.Offset * d.sheet.scale
	if !okA || !okB || !(math.Abs(shift) < farthest) {
		return
	}
	text := d.words.Of(m.Text)
	u := b.Sub(a).Unit()
	// The left of A→B in a model with y up is, on a sheet with y down, the negative of Perp.
	out := u.Perp().Scale(-shift)
	lineA, lineB := a.Add(out), b.Add(out)
	n := note{text: text, own: true, role: m.Role, name: m.Name, at: lineA.Lerp(lineB, 0.5), away: outward(out, u),
		near: extensionPast * d.sheet.gauge, kind: "dimension"}
	n.spots, n.hides = d.spotsFor(lineA, lineB, text)
	n.on = n.hides > 0
	if u != (plane.Vec{}) {
		d.dimensionLine(m.Role, lineA, lineB, [2]plane.Segment{{A: a, B: lineA}, {A: b, B: lineB}})
	}
	n.bound, n.breaks = m.Spare, len(d.measured)
	if m.Text != "" && (n.on || !m.Spare) {
		d.notes = append(d.notes, n)
	}
}

// outward is the side of a dimension line that faces away from what it measures.
func outward(out, u plane.Vec) plane.Vec {
	switch {
	case out != (plane.Vec{}):
		return out.Unit()
	case u != (plane.Vec{}):
		return u.Perp().Scale(-1)
	}
	return plane.Vec{Y: -1}
}

// dimensionLine draws the line, its two ticks and the extension lines that lead to it.
func (d *draft) dimensionLine(role Role, a, b plane.Vec, extensions [2]plane.Segment) {
	d.lines([][]plane.Vec{{a, b}}, "dimension hair", role)
	t := d.pen[:0]
	for _, e := range extensions {
		along := e.B.Sub(e.A)
		if gap := extensionGap * d.sheet.gauge; along.Len() > gap {
			from, to := e.A.Add(along.Unit().Scale(gap)), e.B.Add(along.Unit().Scale(extensionPast*d.sheet.gauge))
			t.line(from, to)
			d.ink.line(from, to)
		}
	}
	d.dimensions = appendPath(d.dimensions, "dimension extension", role, t)
	t = t[:0]
	slant := turned(b.Sub(a).Unit(), -directions/8).Scale(tickHalf * d.sheet.gauge)
	for _, p := range [2]plane.Vec{a, b} {
		t.line(p.Sub(slant), p.Add(slant))
	}
	d.dimensions = appendPath(d.dimensions, "dimension tick", role, t)
	d.pen = t
}

// appendPath appends a path element, or none for a path without data.
func appendPath(list []Node, kind string, role Role, t trace) []Node {
	if len(t) == 0 {
		return list
	}
	return append(list, el("path", "class", classes(kind, role), "d", string(t)))
}

// spotsFor lists centres for a number, on the line where it is long enough, and how much of the line it hides there; else
// beyond its ends, where it hides none.
func (d *draft) spotsFor(a, b plane.Vec, text string) (spots []plane.Vec, hides float64) {
	half := plane.Vec{X: textWidth(text) * d.sheet.text / 2, Y: lineHeight * d.sheet.text / 2}
	u := b.Sub(a).Unit()
	if u == (plane.Vec{}) {
		return nil, 0
	}
	reach := min(half.X/math.Abs(u.X), half.Y/math.Abs(u.Y)) // half of the line that the box covers
	length := b.Sub(a).Len()
	for _, t := range []float64{0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8} {
		if length*min(t, 1-t)-reach >= lineShown*d.sheet.gauge {
			spots = append(spots, a.Lerp(b, t))
		}
	}
	if len(spots) > 0 {
		return spots, 2 * reach
	}
	beyond := u.Scale(reach + 9*d.sheet.gauge)
	return []plane.Vec{b.Add(beyond), a.Sub(beyond)}, 0
}

func (d *draft) angular(m Angular) {
	c, ok := d.round(m.Centre, m.Radius, m.From, m.To)
	if !ok {
		return
	}
	middle := (c.from + c.to) / 2
	if c.from != c.to {
		d.angleLine(c, m.Role)
	}
	if m.Text != "" {
		d.notes = append(d.notes, note{text: m.Text, role: m.Role, name: m.Name, at: c.at(middle),
			away: c.at(middle).Sub(c.centre).Unit(), near: 4 * d.sheet.gauge, kind: "dimension"})
	}
}

// angleLine draws the arc of an angular dimension: a tick where the angle starts, an arrow head where it ends.
func (d *draft) angleLine(c curve, role Role) {
	arc, head := c, Node{}
	if c.full() {
		arc.to = c.from + math.Copysign(2*math.Pi, c.to-c.from)
	}
	if turn := c.headTurn(d.sheet.gauge); math.Abs(turn)*c.radius > 4 {
		head = d.arrowHead([]plane.Vec{c.at(c.to - turn), c.at(c.to)}, false, role)
	}
	d.ink.line(arc.flat()...)
	start := c.at(c.from)
	across := start.Sub(c.centre).Unit().Scale(tickHalf * d.sheet.gauge)
	t := arc.trace(d.pen[:0])
	d.dimensions = appendPath(d.dimensions, "dimension hair", role, t)
	t = t[:0]
	t.line(start.Sub(across), start.Add(across))
	d.dimensions = appendPath(d.dimensions, "dimension tick", role, t)
	d.pen = t
	if head.Tag != "" {
		d.dimensions = append(d.dimensions, head)
	}
}
