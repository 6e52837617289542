package keyfit

import (
	"centrode/calc/catalog"
	"centrode/calc/figure"
	"centrode/calc/rigid"
	"centrode/calc/views"
)

// most bounds how many keys are drawn; more dots than this are a blot.
const most = 200

// Figure implements catalog.Calculator: the keyed translations as they are and as they would be, around the current
// pivot, with the offset to the candidate, in three views.
func (c Calculator) Figure(v catalog.Values, r catalog.Result) figure.Figure {
	rows := v.Tables["keys"]
	offset := rigid.Vec{X: r.Numbers["offset_x"], Y: r.Numbers["offset_y"], Z: r.Numbers["offset_z"]}
	var bounds views.Bounds
	bounds.Add(rigid.Vec{})
	bounds.Add(offset)
	keyed := func(i int) rigid.Vec {
		return rigid.Vec{X: rows.Numbers["tx"][i], Y: rows.Numbers["ty"][i], Z: rows.Numbers["tz"][i]}
	}
	for i := range rows.Len {
		bounds.Add(keyed(i))
	}
	centre, radius := bounds.Ball()
	three, sheet := views.Arrange(centre, radius)
	f := figure.Figure{Title: "Keyed translation before and after the pivot moves, in three views", Desc: c.Say(v, r), View: sheet}
	left := r.Tables["keys"].Numbers
	for n, view := range three {
		f.Marks = append(f.Marks, view.Frame(radius)...)
		for i := range min(rows.Len, most) {
			f.Marks = append(f.Marks,
				figure.Marker{Role: figure.Current, Shape: figure.Ring, At: view.At(keyed(i))},
				figure.Marker{Role: figure.Candidate, Shape: figure.Dot, At: view.At(rigid.Vec{X: left["left_x"][i], Y: left["left_y"][i], Z: left["left_z"][i]})})
		}
		f.Marks = append(f.Marks, figure.Marker{Name: views.Named(n, "Current pivot"), Role: figure.Current, Shape: figure.Cross, At: view.At(rigid.Vec{})})
		if r.Has("offset_x") {
			f.Marks = append(f.Marks, figure.Marker{Name: views.Named(n, "Candidate pivot"), Role: figure.Candidate, Shape: figure.Diamond, At: view.At(offset)})
		}
	}
	return f
}
