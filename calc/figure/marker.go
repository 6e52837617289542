package figure

import "centrode/calc/plane"

// Half widths of the markers in pixels. The diamond fits inside the ring, so that both show when they coincide.
const (
	dotRadius     = 3.0
	ringRadius    = 7.0
	diamondRadius = 6.0
	crossRadius   = 6.0
	openRadius    = 3.5
	axisRadius    = 6.0
	hitRadius     = 22.0 // a target of 44 px, what a thumb needs
)

func (s Shape) radius() float64 {
	switch s {
	case Ring:
		return ringRadius
	case Diamond:
		return diamondRadius
	case Cross:
		return crossRadius
	case Open:
		return openRadius
	case Toward, Into:
		return axisRadius
	}
	return dotRadius
}

func (d *draft) marker(m Marker) {
	at, ok := d.sheet.place(m.At)
	if !ok {
		return
	}
	d.solid = append(d.solid, marker{at, m.Shape.radius() * d.sheet.gauge})
	d.drawn = append(d.drawn, d.sign(m.Shape, m.Role, at).named(m.Name, d.words))
}

// sign is the drawn form of a marker.
func (d *draft) sign(shape Shape, role Role, at plane.Vec) Node {
	r := shape.radius() * d.sheet.gauge
	t := d.pen[:0]
	switch shape {
	case Diamond:
		t.line(at.Add(plane.Vec{Y: -r}), at.Add(plane.Vec{X: r}), at.Add(plane.Vec{Y: r}), at.Add(plane.Vec{X: -r}))
		t.close()
		return el("path", "class", classes("marker diamond", role), "d", string(t))
	case Cross:
		t.line(at.Add(plane.Vec{X: -r}), at.Add(plane.Vec{X: r}))
		t.line(at.Add(plane.Vec{Y: -r}), at.Add(plane.Vec{Y: r}))
		return el("path", "class", classes("marker cross", role), "d", string(t))
	case Toward, Into:
		return d.axisSign(shape, role, at, r)
	}
	return circle(classes(roundKind(shape), role), at, r)
}

// roundKind is the class of a marker that is one circle.
func roundKind(shape Shape) string {
	switch shape {
	case Ring:
		return "marker ring"
	case Open:
		return "marker open"
	}
	return "marker dot"
}

// axisSign is the mark of an axis seen end-on: the point of its arrow, or the feathers.
func (d *draft) axisSign(shape Shape, role Role, at plane.Vec, r float64) Node {
	ring := circle(classes("marker ring", role), at, r)
	if shape == Toward {
		return el("g", "class", classes("end-on", role)).with(ring, d.sign(Dot, role, at))
	}
	t := d.pen[:0]
	for _, turn := range [2]float64{1, -1} {
		arm := plane.Vec{X: r, Y: turn * r}.Unit().Scale(r)
		t.line(at.Sub(arm), at.Add(arm))
	}
	return el("g", "class", classes("end-on", role)).with(ring, el("path", "class", classes("marker feathers", role), "d", string(t)))
}

// handle draws a handle. One whose point lies beyond the sheet waits at the edge, so that it can still be reached; its
// class and name say so. It has a title but no role: the page makes it a slider.
func (d *draft) handle(i int, h Handle) {
	at, ok := d.sheet.place(h.At)
	if !ok {
		return
	}
	class, name := classes("handle", h.Role), h.Name
	inset := diamondRadius * d.sheet.gauge * 2
	kept := plane.Vec{X: min(max(at.X, inset), d.sheet.width-inset), Y: min(max(at.Y, inset), d.sheet.height-inset)}
	if !d.sheet.bounds().Has(at) {
		at, class, name = kept, class+" handle-beyond", name+" (beyond the edge of the drawing)"
	}
	d.solid = append(d.solid, marker{at, h.Shape.radius() * d.sheet.gauge})
	hit := circle("handle-hit", at, hitRadius)
	d.handles = append(d.handles, el("g", "class", class, "data-handle", digits(i)).with(
		Node{Tag: "title", Text: d.words.Of(name)}, hit, d.sign(h.Shape, h.Role, at)))
}
