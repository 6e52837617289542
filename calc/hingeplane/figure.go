package hingeplane

import (
	"strconv"

	"centrode/calc/catalog"
	"centrode/calc/figure"
	"centrode/calc/plane"
	"centrode/calc/quantity"
	"centrode/calc/rigid"
	"centrode/calc/views"
)

// mostHandles is up to how many points can be dragged; more would lie upon each other.
const mostHandles = 16

// Figure implements catalog.Calculator: the chain with its points numbered, and the common axis at every interior joint.
func (c Calculator) Figure(v catalog.Values, r catalog.Result) figure.Figure {
	f := figure.Figure{Title: "A bent chain, with its common axis", Desc: c.Say(v, r)}
	points, err := read(v.Tables["points"])
	if err != nil {
		return f
	}
	d := drawing{points, rigid.Vec{X: r.Numbers["normal_x"], Y: r.Numbers["normal_y"], Z: r.Numbers["normal_z"]}, r, arrange(points)}
	if on := v.On; on != nil {
		if its, err := read(on.Values.Tables["points"]); err == nil {
			d.sheet = arrange(its)
		}
	}
	f.View = d.sheet.Rect
	for _, view := range d.sheet.Views {
		f.Marks = append(f.Marks, view.Frame()...)
		f.Marks = append(f.Marks, d.chain(view)...)
		if view.Main {
			f.Marks = append(f.Marks, d.words(view)...)
		}
		if len(points) > mostHandles {
			continue
		}
		if view.Main { // its handles come first
			f.Handles = append(d.handles(view), f.Handles...)
		} else {
			f.Handles = append(f.Handles, d.handles(view)...)
		}
	}
	return f
}

func arrange(points []rigid.Vec) views.Sheet {
	var bounds views.Bounds
	for _, p := range points {
		bounds.Add(p)
	}
	return views.Arrange(bounds)
}

type drawing struct {
	points []rigid.Vec
	normal rigid.Vec
	r      catalog.Result
	sheet  views.Sheet
}

// chain is the line through the points, with the axis at each joint that bends.
func (d drawing) chain(v views.View) []figure.Mark {
	line := figure.Polyline{Name: v.Named("The chain"), Role: figure.Bone}
	var dots []figure.Mark
	for i, p := range d.points {
		line.Points = append(line.Points, v.At(p))
		dots = append(dots, figure.Marker{Role: figure.Bone, Shape: figure.Dot, At: v.At(p)})
		if i > 0 && i+1 < len(d.points) {
			dots = append(dots, v.Axis("The common axis at point "+strconv.Itoa(i+1), figure.Candidate, p, d.normal, 0.25*d.sheet.Size)...)
		}
	}
	return append([]figure.Mark{line}, dots...)
}

// words number the points on the outside of the bends, and tell each bend.
func (d drawing) words(v views.View) []figure.Mark {
	var marks []figure.Mark
	bends := d.r.Tables["joints"].Numbers["bend"]
	for i, p := range d.points {
		text := strconv.Itoa(i + 1)
		if i > 0 && i <= len(bends) {
			text += ": " + quantity.Format(bends[i-1], quantity.Angle, 0)
		}
		marks = append(marks, figure.Label{Role: figure.Bone, At: v.At(p), Text: text, Away: d.outside(v, i), Rank: 1})
	}
	inside := d.outside(v, 1).Scale(-1)
	return append(marks, figure.Label{Role: figure.Candidate, At: v.At(d.points[1]), Text: "axis", Away: inside, Rank: 5})
}

// outside points from a point away from both its neighbours; at an end, away from the chain.
func (d drawing) outside(v views.View, i int) plane.Vec {
	at := v.At(d.points[i])
	var away plane.Vec
	if i > 0 {
		away = away.Add(at.Sub(v.At(d.points[i-1])).Unit())
	}
	if i+1 < len(d.points) {
		away = away.Add(at.Sub(v.At(d.points[i+1])).Unit())
	}
	return away
}

// handles let a reader drag the points; the first is the one whose place turns the axis most, the second point.
func (d drawing) handles(v views.View) []figure.Handle {
	var list []figure.Handle
	for i, p := range d.points {
		list = append(list, figure.Handle{Name: "Point " + strconv.Itoa(i+1) + ", " + v.Name + " view", Role: figure.Bone, Shape: figure.Dot,
			At: v.At(p), Axes: v.Axes(p, views.Cell("points", i+1))})
	}
	if v.Main {
		list[0], list[1] = list[1], list[0]
	}
	return list
}
