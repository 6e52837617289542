package posefit

import (
	"strconv"

	"centrode/calc/catalog"
	"centrode/calc/figure"
	"centrode/calc/plane"
	"centrode/calc/quantity"
	"centrode/calc/rigid"
	"centrode/calc/views"
)

// What is drawn of large tables: more than this is noise on the page.
const (
	mostPoses   = 24 // drawn
	mostNamed   = 12 // numbered
	mostTurns   = 6  // numbered with their turn
	mostPoints  = 60 // landmarks of a pose
	mostHandles = 40 // rows that can be dragged, in the largest view
	mostInAll   = 24 // rows that can be dragged in every view
)

// Figure implements catalog.Calculator: the landmarks of each pose, joined in their order, with the pivot and the way of
// one landmark as it turns about it.
func (c Calculator) Figure(v catalog.Values, r catalog.Result) figure.Figure {
	d, ok := gather(r)
	if !ok {
		return figure.Figure{Title: "No landmarks to draw"}
	}
	if on := v.On; on != nil {
		if its, ok := gather(on.Result); ok {
			d.sheet = its.sheet
		}
	}
	f := figure.Figure{Title: "Landmarks of every pose, with the pivot that fits them", Desc: c.Say(v, r), View: d.sheet.Rect}
	for _, view := range d.sheet.Views {
		f.Marks = append(f.Marks, view.Frame()...)
		f.Marks = append(f.Marks, d.travel(view)...)
		for i := range min(len(d.poses.Targets), mostPoses) {
			f.Marks = append(f.Marks, outline(view, d.poses.Targets[i].Points, figure.Target, figure.Open, "Pose "+d.number(i))...)
		}
		f.Marks = append(f.Marks, outline(view, d.poses.Rest, figure.Bone, figure.Dot, "The landmarks at rest")...)
		f.Marks = append(f.Marks, d.fitted(view)...)
		if view.Main {
			f.Marks = append(f.Marks, d.words(view)...)
			f.Handles = append(d.handles(view, v.Tables["landmarks"]), f.Handles...) // the largest view comes first by Tab
		} else if rows := v.Tables["landmarks"]; rows.Len <= mostInAll {
			f.Handles = append(f.Handles, d.handles(view, rows)...)
		}
	}
	return f
}

// drawing is what all views share.
type drawing struct {
	poses Poses
	r     catalog.Result
	sheet views.Sheet
	pivot rigid.Vec
	axis  rigid.Vec // zero where the rotations share none
	known bool      // there is a pivot
	end   int       // the landmark that is followed: the farthest from the pivot, else the last
}

func gather(r catalog.Result) (drawing, bool) {
	poses, ok := r.Own.(*Poses)
	if !ok {
		return drawing{}, false
	}
	return newDrawing(*poses, r), true
}

// newDrawing arranges the views. A pivot that lies far away from the landmarks is left outside, or they would be a dot; about a nearer one the whole travel is shown.
func newDrawing(p Poses, r catalog.Result) drawing {
	n := r.Numbers
	d := drawing{poses: p, r: r, known: r.Has("pivot_x"), end: len(p.Rest) - 1,
		pivot: rigid.Vec{X: n["pivot_x"], Y: n["pivot_y"], Z: n["pivot_z"]}, axis: rigid.Vec{X: n["axis_x"], Y: n["axis_y"], Z: n["axis_z"]}}
	box := bounds(p)
	if d.known {
		for i, x := range p.Rest {
			if x.Sub(d.pivot).Len() > p.Rest[d.end].Sub(d.pivot).Len() {
				d.end = i
			}
		}
		if box.Distance(d.pivot) < 3*box.Size() {
			box.Add(d.pivot)
			for _, a := range d.arcs() {
				for _, x := range d.along(a) {
					box.Add(x)
				}
			}
		}
	}
	d.sheet = views.Arrange(box)
	return d
}

// bounds holds all landmarks of all poses.
func bounds(p Poses) views.Bounds {
	var b views.Bounds
	for _, x := range p.Rest {
		b.Add(x)
	}
	for _, t := range p.Targets {
		for _, x := range t.Points {
			b.Add(x)
		}
	}
	return b
}

func (d drawing) number(pose int) string { return strconv.Itoa(d.poses.IDs[pose]) }

// outline joins the landmarks of one pose in their order.
func outline(v views.View, points []rigid.Vec, role figure.Role, shape figure.Shape, name string) []figure.Mark {
	n := min(len(points), mostPoints)
	line := figure.Polyline{Name: v.Named(name), Points: make([]plane.Vec, 0, n), Role: role, Hair: role != figure.Bone}
	marks := make([]figure.Mark, 1, n+1)
	for i := range n {
		line.Points = append(line.Points, v.At(points[i]))
		marks = append(marks, figure.Marker{Role: role, Shape: shape, At: v.At(points[i])})
	}
	marks[0] = line
	return marks
}

// fitted is the pivot, its standard deviation, and the axis where there is one.
func (d drawing) fitted(v views.View) []figure.Mark {
	if !d.known {
		return nil
	}
	var marks []figure.Mark
	if d.axis != (rigid.Vec{}) {
		marks = v.Axis("The shared axis", figure.Candidate, d.pivot, d.axis, 0.5*d.sheet.Size)
	}
	if s, ok := d.r.Numbers["sigma_major"]; ok && s < d.sheet.Size {
		marks = append(marks, figure.Circle{Name: v.Named("One standard deviation of the pivot"), Role: figure.Guide, Centre: v.At(d.pivot), Radius: s})
	}
	return append(marks, figure.Marker{Name: v.Named("The fitted pivot"), Role: figure.Candidate, Shape: figure.Diamond, At: v.At(d.pivot)})
}

// words are the numbers of the poses, each with its turn while they are few, and the name of the pivot.
func (d drawing) words(v views.View) []figure.Mark {
	label := func(role figure.Role, p rigid.Vec, text string) figure.Mark {
		return figure.Label{Role: role, At: v.At(p), Text: text, Away: v.At(p).Sub(v.At(d.middle())), Rank: 1}
	}
	marks := []figure.Mark{label(figure.Bone, d.poses.Rest[d.end], "rest")}
	for i := range min(len(d.poses.Targets), mostNamed) {
		text := d.number(i)
		if turns := d.r.Tables["poses"].Numbers["angle"]; len(d.poses.Targets) <= mostTurns && i < len(turns) {
			text += ": " + quantity.Format(turns[i], quantity.Angle, 0)
		}
		marks = append(marks, label(figure.Target, d.poses.Targets[i].Points[d.end], text))
	}
	if d.known {
		marks = append(marks, figure.Label{Role: figure.Candidate, At: v.At(d.pivot), Text: "pivot", Away: plane.Vec{X: -1, Y: -1}, Rank: 2})
	}
	return marks
}

// middle is what words keep away from: the pivot, or without one the mean of the landmarks at rest.
func (d drawing) middle() rigid.Vec {
	if d.known {
		return d.pivot
	}
	var sum rigid.Vec
	for _, x := range d.poses.Rest {
		sum = sum.Add(x.Scale(1 / float64(len(d.poses.Rest))))
	}
	return sum
}
