package figure

import "centrode/calc/plane"

// write puts a note's text, and what belongs to it, at its spot.
func (d *draft) write(n note, s spot) {
	d.taken = append(d.taken, s.box)
	if s.leader {
		d.leader(n, s.box)
	}
	word := d.plain(n, s.box)
	if s.on || n.kind == "contour" {
		d.measured[n.breaks-1].gap = s.box // and no paper behind the number, so that flesh stays in sight
		word = d.text(n, s.box.Min.Lerp(s.box.Max, 0.5), "middle", middleDrop)
	}
	if n.name != "" {
		word = el("g").with(word).named(n.name+": "+n.text, nil)
	}
	d.written = append(d.written, word)
}

// leader ties a text that had to move to its anchor.
func (d *draft) leader(n note, box Rect) {
	end := within(box, n.at)
	along := end.Sub(n.at)
	start := n.at.Add(along.Unit().Scale(d.clearance(n.at) + 2))
	if along.Dot(end.Sub(start)) <= 0 {
		return
	}
	d.leaders = append(d.leaders, plane.Segment{A: start, B: end})
	t := d.pen[:0]
	t.line(start, end)
	d.strokes = append(d.strokes, el("path", "class", classes("leader", n.role), "d", string(t)))
}

// plain aligns text toward its anchor: a page that sets it smaller than the box leaves the free room on the far side.
func (d *draft) plain(n note, box Rect) Node {
	em := d.sheet.text
	pad := textPadding / 2 * em
	at, anchor, drop := box.Min.Lerp(box.Max, 0.5), "middle", middleDrop
	switch {
	case n.at.X <= box.Min.X:
		at.X, anchor = box.Min.X+pad, ""
	case n.at.X >= box.Max.X:
		at.X, anchor = box.Max.X-pad, "end"
	}
	switch {
	case n.at.Y <= box.Min.Y:
		at.Y, drop = box.Min.Y, ascent-0.1
	case n.at.Y >= box.Max.Y:
		at.Y, drop = box.Max.Y, ascent-lineHeight
	}
	return d.text(n, at, anchor, drop)
}

func (d *draft) text(n note, at plane.Vec, anchor string, drop float64) Node {
	node := el("text", "class", classes(n.kind, n.role), "x", number(at.X), "y", number(at.Y), "dy", number(drop)+"em", "text-anchor", anchor)
	node.Text = n.text
	return node
}
