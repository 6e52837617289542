package figure

import (
	"math"
	"slices"

	"centrode/calc/plane"
)

// classes joins class names with the class of a role.
//
//go:noinline
func classes(kind string, role Role) string {
	if role == "" {
		return kind
	}
	return kind + " mark-" + string(role)
}

// weight is the class of a line's width.
func weight(hair, heavy bool) string {
	switch {
	case hair:
		return "line hair"
	case heavy:
		return "line heavy"
	}
	return "line"
}

func (d *draft) polyline(m Polyline) {
	points := d.placeAll(m.Points)
	if len(points) < 2 {
		return
	}
	if m.Closed {
		d.ink.line(append(slices.Clone(points), points[0])...)
	} else {
		d.ink.line(points...)
	}
	var head Node
	if m.Arrow && !m.Closed {
		head = d.arrowHead(points, m.Heavy, m.Role)
	}
	t := d.pen[:0]
	t.line(points...)
	if m.Closed {
		t.close()
	}
	d.stroke(t, weight(m.Hair, m.Heavy), m.Role, m.Name, head)
	d.pen = t
}

// stroke adds a line to the drawing, with its arrow head when head is one.
func (d *draft) stroke(t trace, kind string, role Role, name string, head Node) {
	if head.Tag == "" {
		d.drawn = append(d.drawn, el("path", "class", classes(kind, role), "d", string(t)).named(name, d.words))
		return
	}
	d.drawn = append(d.drawn, el("g", "class", classes("arrowed", role)).with(
		el("path", "class", classes(kind, role), "d", string(t)), head).named(name, d.words))
}

// arrowHead makes the head of a line that ends at the last point, and draws the line's end back into the head, so that
// a heavy line does not show beside the tip. A line too short for a head gets none.
func (d *draft) arrowHead(points []plane.Vec, heavy bool, role Role) Node {
	tip, before := points[len(points)-1], points[len(points)-2]
	along := tip.Sub(before)
	length := 9 * d.sheet.gauge
	if heavy {
		length = 12 * d.sheet.gauge
	}
	length = min(length, 0.7*along.Len())
	if length < 2 {
		return Node{}
	}
	u := along.Unit()
	foot, side := tip.Sub(u.Scale(length)), u.Perp().Scale(length/5)
	points[len(points)-1] = tip.Sub(u.Scale(length / 2))
	t := d.pen[:0]
	t.line(tip, foot.Add(side), tip.Sub(u.Scale(0.8*length)), foot.Sub(side))
	t.close()
	d.pen = t
	return el("path", "class", classes("arrow", role), "d", string(t))
}

func (d *draft) region(m Region) {
	points := d.placeAll(m.Points)
	if len(points) < 3 {
		return
	}
	d.ink.line(append(slices.Clone(points), points[0])...)
	t := d.pen[:0]
	t.line(points...)
	t.close()
	d.pen = t
	kind, fill := "region wash", ""
	if m.Hatch {
		kind, fill = "region hatch", "url(#"+d.hatchID(m.Role)+")"
		if !slices.Contains(d.hatched, m.Role) {
			d.hatched = append(d.hatched, m.Role)
		}
	}
	d.drawn = append(d.drawn, el("path", "class", classes(kind, m.Role), "d", string(t), "fill", fill).named(m.Name, d.words))
}

// placeAll places points on the sheet and leaves out those that are not finite.
func (d *draft) placeAll(points []plane.Vec) []plane.Vec {
	placed := make([]plane.Vec, 0, len(points))
	for _, p := range points {
		if q, ok := d.sheet.place(p); ok {
			placed = append(placed, q)
		}
	}
	return placed
}

func (d *draft) arc(m Arc) {
	c, ok := d.round(m.Centre, m.Radius, m.From, m.To)
	if !ok {
		return
	}
	if c.full() {
		d.ring(c, classes(weight(m.Hair, false), m.Role), m.Name)
		return
	}
	points := c.flat()
	d.ink.line(points...)
	var head Node
	if m.Arrow {
		head = d.arrowHead([]plane.Vec{c.at(c.to - c.headTurn(d.sheet.gauge)), c.at(c.to)}, false, m.Role)
	}
	d.pen = c.trace(d.pen[:0])
	d.stroke(d.pen, weight(m.Hair, false), m.Role, m.Name, head)
}

func (d *draft) circle(m Circle) {
	c, ok := d.round(m.Centre, m.Radius, 0, 2*math.Pi)
	if !ok {
		return
	}
	kind := "line"
	if m.Fill {
		kind = "region wash"
	}
	d.ring(c, classes(kind, m.Role), m.Name)
}

func (d *draft) ring(c curve, class, name string) {
	d.ink.line(c.flat()...)
	d.drawn = append(d.drawn, circle(class, c.centre, c.radius).named(name, d.words))
}

// curve is a circular arc on the sheet; angles keep the model's sense, counter-clockwise as seen.
type curve struct {
	centre   plane.Vec
	radius   float64
	from, to float64
}

// round places an arc. What is not finite, has no radius, or is so large that a browser could not draw it, is refused.
func (d *draft) round(centre plane.Vec, radius, from, to float64) (curve, bool) {
	at, ok := d.sheet.place(centre)
	c := curve{at, math.Abs(radius) * d.sheet.scale, from, to}
	return c, ok && c.radius > 0 && c.radius < farthest && finite(plane.Vec{X: from, Y: to}) &&
		max(math.Abs(at.X), math.Abs(at.Y)) < farthest
}

func (c curve) at(angle float64) plane.Vec {
	p := plane.Polar(c.radius, angle)
	return plane.Vec{X: c.centre.X + p.X, Y: c.centre.Y - p.Y}
}

// full reports whether the arc goes all the way round, once or more often.
func (c curve) full() bool { return math.Abs(c.to-c.from) >= 2*math.Pi }

// trace appends the arc to t, in pieces of at most a third of a turn, so that none needs SVG's large flag or comes near half a
// turn, where rounded ends would no longer fix the centre.
func (c curve) trace(t trace) trace {
	t.to('M', c.at(c.from))
	pieces := math.Max(1, math.Ceil(math.Abs(c.to-c.from)/(2*math.Pi/3)))
	for i := 1.0; i <= pieces; i++ {
		t.arc(c.radius, c.to < c.from, c.at(c.from+(c.to-c.from)*i/pieces))
	}
	return t
}

// flat approximates the arc by chords, near enough to know where its ink lies.
func (c curve) flat() []plane.Vec {
	from, to := c.from, c.to
	if c.full() {
		to = from + 2*math.Pi
	}
	n := int(min(max(4, math.Abs(to-from)*c.radius/12), 96))
	points := make([]plane.Vec, n+1)
	for i := range points {
		points[i] = c.at(from + (to-from)*float64(i)/float64(n))
	}
	return points
}

// headTurn is the angle that an arrow head covers, so that its chord lies in the arc.
func (c curve) headTurn(gauge float64) float64 {
	turn := min(math.Abs(c.to-c.from)*0.7, 9*gauge/c.radius)
	return math.Copysign(turn, c.to-c.from) / 0.7
}
