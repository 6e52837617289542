package posefit

import (
	"math"

	"centrode/calc/catalog"
	"centrode/calc/figure"
	"centrode/calc/plane"
	"centrode/calc/rigid"
	"centrode/calc/views"
)

// Figure implements catalog.Calculator: the landmarks of each pose, joined in their order, in three views, with the pivot
// and the path of the last landmark about it.
func (c Calculator) Figure(v catalog.Values, r catalog.Result) figure.Figure {
	poses, err := Read(v.Tables["landmarks"], true)
	if err != nil {
		return figure.Figure{Title: "No landmarks to draw"}
	}
	centre, radius := bounds(poses)
	three, sheet := views.Arrange(centre, radius)
	f := figure.Figure{Title: "Landmarks of every pose in three views, with the pivot that fits them", Desc: c.Say(v, r), View: sheet}
	pivot := rigid.Vec{X: r.Numbers["pivot_x"], Y: r.Numbers["pivot_y"], Z: r.Numbers["pivot_z"]}
	for i, view := range three {
		f.Marks = append(f.Marks, view.Frame(radius)...)
		f.Marks = append(f.Marks, outline(view, poses.Rest, figure.Bone, views.Named(i, "The landmarks at rest"))...)
		for _, target := range poses.Targets {
			f.Marks = append(f.Marks, outline(view, target.Points, figure.Target, "")...)
		}
		if r.Has("pivot_x") {
			f.Marks = append(f.Marks, figure.Marker{Name: views.Named(i, "The fitted pivot"), Role: figure.Candidate, Shape: figure.Diamond, At: view.At(pivot)})
			if s, ok := r.Numbers["sigma_major"]; ok {
				f.Marks = append(f.Marks, figure.Circle{Role: figure.Guide, Centre: view.At(pivot), Radius: math.Min(s, radius)})
			}
		}
		if r.Has("axis_x") {
			axis := rigid.Vec{X: r.Numbers["axis_x"], Y: r.Numbers["axis_y"], Z: r.Numbers["axis_z"]}.Scale(0.6 * radius)
			f.Marks = append(f.Marks, figure.Polyline{Name: views.Named(i, "The shared axis"), Role: figure.Candidate, Hair: true,
				Points: []plane.Vec{view.At(pivot.Sub(axis)), view.At(pivot.Add(axis))}})
		}
	}
	return f
}

func outline(v views.View, points []rigid.Vec, role figure.Role, name string) []figure.Mark {
	line := figure.Polyline{Name: name, Role: role, Hair: true}
	marks := make([]figure.Mark, 0, len(points)+1)
	const most = 60 // dots beyond this many are noise on the page
	for i, p := range points {
		at := v.At(p)
		line.Points = append(line.Points, at)
		if i < most {
			marks = append(marks, figure.Marker{Role: role, Shape: figure.Dot, At: at})
		}
	}
	return append([]figure.Mark{line}, marks...)
}

// bounds is a ball around all landmarks.
func bounds(p Poses) (centre rigid.Vec, radius float64) {
	var b views.Bounds
	for _, x := range p.Rest {
		b.Add(x)
	}
	for _, t := range p.Targets {
		for _, x := range t.Points {
			b.Add(x)
		}
	}
	return b.Ball()
}
