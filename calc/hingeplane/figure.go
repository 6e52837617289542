package hingeplane

import (
	"strconv"

	"centrode/calc/catalog"
	"centrode/calc/figure"
	"centrode/calc/plane"
	"centrode/calc/rigid"
	"centrode/calc/views"
)

// Figure implements catalog.Calculator: the chain in three views, with the common axis through its middle.
func (c Calculator) Figure(v catalog.Values, r catalog.Result) figure.Figure {
	f := figure.Figure{Title: "A bent chain in three views, with its common axis", Desc: c.Say(v, r)}
	points, err := read(v.Tables["points"])
	if err != nil {
		return f
	}
	var bounds views.Bounds
	for _, p := range points {
		bounds.Add(p)
	}
	centre, radius := bounds.Ball()
	three, sheet := views.Arrange(centre, radius)
	f.View = sheet
	half := rigid.Vec{X: r.Numbers["normal_x"], Y: r.Numbers["normal_y"], Z: r.Numbers["normal_z"]}.Scale(0.5 * radius)
	middle := points[len(points)/2]
	for n, view := range three {
		f.Marks = append(f.Marks, view.Frame(radius)...)
		line := figure.Polyline{Name: views.Named(n, "The chain"), Role: figure.Bone}
		for i, p := range points {
			at := view.At(p)
			line.Points = append(line.Points, at)
			f.Marks = append(f.Marks, figure.Marker{Role: figure.Bone, Shape: figure.Dot, At: at})
			if n == 0 {
				f.Marks = append(f.Marks, figure.Label{Role: figure.Bone, At: at, Text: strconv.Itoa(i + 1), Rank: 3})
			}
		}
		f.Marks = append(f.Marks, line, figure.Polyline{Name: views.Named(n, "The common axis"), Role: figure.Candidate, Arrow: true,
			Points: []plane.Vec{view.At(middle.Sub(half)), view.At(middle.Add(half))}})
	}
	return f
}
