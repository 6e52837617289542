package reseat

import (
	"centrode/calc/figure"
	"centrode/calc/plane"
	"centrode/calc/rigid"
	"centrode/calc/views"
)

// detail is the moved joint enlarged, where the drawing leaves room; ok is false when its move can be seen without.
func (d drawing) detail(v views.View) (views.Detail, bool) {
	e, ok := views.Enlarge(v.At(d.before.world[d.moved].T), v.At(d.after.world[d.moved].T), d.sheet.Size)
	var lines []plane.Segment
	for _, view := range d.sheet.Views {
		for i, p := range d.before.parent {
			if p >= 0 {
				lines = append(lines, plane.Segment{A: view.At(d.before.world[p].T), B: view.At(d.before.world[i].T)})
			}
		}
	}
	e.To = e.Place(d.sheet, lines)
	return e, ok
}

// enlarged draws what the detail shows.
func (d drawing) enlarged(v views.View, e views.Detail) []figure.Mark {
	at := func(p rigid.Vec) plane.Vec { return e.At(v.At(p)) }
	away := e.From.Sub(e.To).Unit()
	marks := append(e.Frame(), figure.Label{Role: figure.Bone, At: e.From.Add(away.Scale(e.Part())), Text: d.before.names[d.moved], Own: true, Away: away, Rank: 6})
	for _, line := range d.lines(v.At) {
		if shown, ok := e.Line(line); ok {
			marks = append(marks, shown)
		}
	}
	for i := range d.before.world {
		if p := v.At(d.before.world[i].T); i != d.moved && e.Shows(p) {
			marks = append(marks, figure.Marker{Role: figure.Bone, Shape: figure.Dot, At: e.At(p)})
		}
	}
	if r, ok := d.move(); ok {
		below := plane.Vec{Y: -0.9 * e.Radius}
		if at(d.after.world[d.moved].T).Y < e.To.Y {
			below.Y = -below.Y
		}
		marks = append(marks, figure.Label{Role: figure.Candidate, At: e.To.Add(below), Text: r, Away: below.Scale(-1), Rank: 2})
	}
	return append(marks, d.named(at, d.sheet.Size)...)
}

// handle lets the candidate be dragged in one view: each of its two sheet directions edits one coordinate.
func (d drawing) handle(v views.View) figure.Handle {
	at := d.after.world[d.moved].T
	return figure.Handle{Name: "Candidate pivot, " + v.Name + " view", Role: figure.Candidate, Shape: figure.Diamond,
		At: v.At(at), Axes: v.Axes(at, func(letter string) string { return "to_" + letter })}
}

// enlargedHandle is the same in the detail, where a drag counts for less.
func (d drawing) enlargedHandle(v views.View, e views.Detail) figure.Handle {
	h := d.handle(v)
	h.Name += ", enlarged"
	h.At = e.At(h.At)
	for i := range h.Axes {
		h.Axes[i].Origin = h.At
		h.Axes[i].PerUnit /= e.Times
	}
	return h
}
