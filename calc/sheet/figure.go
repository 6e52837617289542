package sheet

import (
	"centrode/calc/figure"
	"centrode/calc/plane"
	"centrode/calc/rigid"
	"centrode/calc/views"
)

// figure draws the two places of a measured pivot, with the segments to its neighbours where they are known.
func (m Measured) figure() figure.Figure {
	var bounds views.Bounds
	for _, p := range []*rigid.Vec{&m.Current, &m.Candidate, m.Parent, m.Child} {
		if p != nil {
			bounds.Add(*p)
		}
	}
	sheet := views.Arrange(bounds)
	f := figure.Figure{Title: "The current and the candidate place of the pivot", View: sheet.Rect,
		Desc: "Measured from " + m.File + ". The numbers are in the table."}
	for _, v := range sheet.Views {
		f.Marks = append(f.Marks, v.Frame()...)
		f.Marks = append(f.Marks, m.limb(v, figure.Current, m.Current)...)
		f.Marks = append(f.Marks, m.limb(v, figure.Candidate, m.Candidate)...)
		f.Marks = append(f.Marks, m.pivots(v)...)
	}
	return f
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

// pivots are the two places with their names, which only the main view carries.
func (m Measured) pivots(v views.View) []figure.Mark {
	a, b := v.At(m.Current), v.At(m.Candidate)
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
