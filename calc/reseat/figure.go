package reseat

import (
	"centrode/calc/catalog"
	"centrode/calc/figure"
	"centrode/calc/plane"
	"centrode/calc/rigid"
	"centrode/calc/views"
)

// Figure implements catalog.Calculator: the skeleton before and after, in three views.
func (c Calculator) Figure(v catalog.Values, r catalog.Result) figure.Figure {
	f := figure.Figure{Title: "A skeleton before and after one joint moves, in three views", Desc: c.Say(v, r)}
	before, err := read(v.Tables["joints"])
	if err != nil {
		return f
	}
	moved, err := before.find(v.Choices["move"])
	if err != nil {
		return f
	}
	after := before.move(moved, rigid.Vec{X: v.Numbers["to_x"], Y: v.Numbers["to_y"], Z: v.Numbers["to_z"]})
	var bounds views.Bounds
	for i := range before.world {
		bounds.Add(before.world[i].T)
	}
	bounds.Add(after.world[moved].T)
	centre, radius := bounds.Ball()
	three, sheet := views.Arrange(centre, radius)
	f.View = sheet
	for n, view := range three {
		f.Marks = append(f.Marks, view.Frame(radius)...)
		for i, p := range before.parent {
			at := view.At(before.world[i].T)
			f.Marks = append(f.Marks, figure.Marker{Role: figure.Bone, Shape: figure.Dot, At: at})
			if p < 0 {
				continue
			}
			f.Marks = append(f.Marks, figure.Polyline{Role: segmentRole(i == moved || p == moved), Points: []plane.Vec{view.At(before.world[p].T), at}})
			if i == moved || p == moved {
				f.Marks = append(f.Marks, figure.Polyline{Role: figure.Candidate, Points: []plane.Vec{view.At(after.world[p].T), view.At(after.world[i].T)}})
			}
		}
		f.Marks = append(f.Marks,
			figure.Marker{Name: views.Named(n, "Current pivot"), Role: figure.Current, Shape: figure.Ring, At: view.At(before.world[moved].T)},
			figure.Marker{Name: views.Named(n, "Candidate pivot"), Role: figure.Candidate, Shape: figure.Diamond, At: view.At(after.world[moved].T)})
		f.Handles = append(f.Handles, handle(view, n, after.world[moved].T))
	}
	return f
}

func segmentRole(touched bool) figure.Role {
	if touched {
		return figure.Current
	}
	return figure.Bone
}

// handle lets the candidate be dragged in one view: each of its two sheet directions edits one coordinate.
func handle(view views.View, n int, at rigid.Vec) figure.Handle {
	name := [...]string{"Candidate pivot, front view", "Candidate pivot, view from the right", "Candidate pivot, view from above"}[n]
	place := view.At(at)
	axis := func(dir rigid.Vec, across plane.Vec) figure.Axis {
		id, base, sign := "to_x", at.X, dir.X
		if dir.Y != 0 {
			id, base, sign = "to_y", at.Y, dir.Y
		}
		if dir.Z != 0 {
			id, base, sign = "to_z", at.Z, dir.Z
		}
		return figure.Axis{Field: id, Origin: place, Dir: across, Base: base, PerUnit: sign}
	}
	return figure.Handle{Name: name, Role: figure.Candidate, Shape: figure.Diamond, At: place,
		Axes: []figure.Axis{axis(view.Across, plane.Vec{X: 1}), axis(view.Up, plane.Vec{Y: 1})}}
}
