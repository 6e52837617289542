package sheet

import (
	"math"

	"centrode/calc/figure"
	"centrode/calc/plane"
	"centrode/calc/rigid"
	"centrode/calc/views"
)

// figure draws the two places of a measured pivot, with the segments to its neighbours where they are known, and enlarged where the two lie
// near each other. Beside another opinion, which may be nil, it is seen from the same sides, in the same size and as much enlarged.
func (m Measured) figure(other *Measured) figure.Figure {
	seen := []Measured{m}
	if other != nil {
		seen = append(seen, *other)
	}
	var bounds views.Bounds
	for _, o := range seen {
		o.bound(&bounds)
	}
	sheet := views.Arrange(bounds)
	f := figure.Figure{Title: "The current and the candidate place of the pivot", View: sheet.Rect,
		Desc: "Measured from " + m.File + ". The numbers are in the table."}
	for _, v := range sheet.Views {
		limb := append(m.limb(v, figure.Current, m.Current), m.limb(v, figure.Candidate, m.Candidate)...)
		f.Marks = append(append(f.Marks, v.Frame()...), limb...)
		detail, small := enlarge(seen, sheet, v)
		if !v.Main || !small {
			f.Marks = append(f.Marks, m.pivots(v, v.At)...)
			continue
		}
		detail.Same = views.Together(m.Candidate.Sub(m.Current).Len(), sheet.Size)
		f.View = f.View.Union(detail.Box())
		f.Marks = append(f.Marks, detail.Frame()...)
		for _, mark := range limb {
			if line, ok := mark.(figure.Polyline); ok {
				if shown, ok := detail.Line(line); ok {
					f.Marks = append(f.Marks, shown)
				}
			}
		}
		f.Marks = append(f.Marks, m.pivots(v, func(p rigid.Vec) plane.Vec { return detail.At(v.At(p)) })...)
	}
	return f
}

// bound makes room for everything that is drawn.
func (m Measured) bound(bounds *views.Bounds) {
	for _, p := range []*rigid.Vec{&m.Current, &m.Candidate, m.Parent, m.Child} {
		if p != nil {
			bounds.Add(*p)
		}
	}
	bounds.Tell(m.Candidate.Sub(m.Current))
}

// comparable reports whether two opinions can be drawn in one size, and neither is a blot then.
func (m Measured) comparable(other Measured) bool {
	const most = 2 // times as large as the smaller
	var one, two, both views.Bounds
	m.bound(&one)
	other.bound(&two)
	m.bound(&both)
	other.bound(&both)
	return both.Size() <= most*math.Min(one.Size(), two.Size())
}

// enlarge is the detail about the first pivot, no larger than the widest of the moves allows; ok is false where one is seen without.
func enlarge(seen []Measured, sheet views.Sheet, v views.View) (d views.Detail, ok bool) {
	var lines []plane.Segment
	for k, m := range seen {
		e, small := views.Enlarge(v.At(m.Current), v.At(m.Candidate), sheet.Size)
		if !small {
			return d, false
		}
		if k == 0 {
			d = e
		}
		d.Times = math.Min(d.Times, e.Times)
		for _, w := range sheet.Views {
			for _, end := range []*rigid.Vec{m.Parent, m.Child} {
				if end != nil {
					lines = append(lines, plane.Segment{A: w.At(m.Current), B: w.At(*end)})
				}
			}
		}
	}
	d.To = d.Place(sheet, lines)
	return d, true
}

// limb is the chain from parent to child through one place of the pivot.
func (m Measured) limb(v views.View, role figure.Role, pivot rigid.Vec) []figure.Mark {
	var points []plane.Vec
	var marks []figure.Mark
	end := func(p *rigid.Vec) {
		if p != nil {
			points = append(points, v.At(*p))
			marks = append(marks, figure.Marker{Role: figure.Bone, Shape: figure.Dot, At: v.At(*p)})
		}
	}
	end(m.Parent)
	points = append(points, v.At(pivot))
	end(m.Child)
	if len(points) < 2 {
		return nil
	}
	return append([]figure.Mark{figure.Polyline{Name: v.Named("The segments with the pivot at its " + string(role) + " place"), Role: role, Points: points}}, marks...)
}

// pivots are the two places with their names, which only the main view carries; at says where a place is drawn.
func (m Measured) pivots(v views.View, at func(rigid.Vec) plane.Vec) []figure.Mark {
	a, b := at(m.Current), at(m.Candidate)
	marks := []figure.Mark{
		figure.Marker{Name: v.Named("Current pivot"), Role: figure.Current, Shape: figure.Ring, At: a},
		figure.Marker{Name: v.Named("Candidate pivot"), Role: figure.Candidate, Shape: figure.Diamond, At: b},
	}
	if v.Main {
		marks = append(marks, figure.Label{Role: figure.Current, At: a, Text: "current", Away: a.Sub(b), Rank: 1},
			figure.Label{Role: figure.Candidate, At: b, Text: "candidate", Away: b.Sub(a), Rank: 0})
	}
	return marks
}
