package reseat

import (
	"centrode/calc/catalog"
	"centrode/calc/figure"
	"centrode/calc/plane"
	"centrode/calc/quantity"
	"centrode/calc/rigid"
	"centrode/calc/views"
)

// mostNamed is up to how many joints carry their names.
const mostNamed = 8

// Figure implements catalog.Calculator: the skeleton before and after, and the moved joint enlarged when its move is small.
func (c Calculator) Figure(v catalog.Values, r catalog.Result) figure.Figure {
	f := figure.Figure{Title: "A skeleton before and after one joint moves", Desc: c.Say(v, r)}
	d, err := gather(v)
	if err != nil {
		return f
	}
	paper := d
	if on := v.On; on != nil {
		if its, err := gather(on.Values); err == nil {
			paper, d.sheet = its, its.sheet
		}
	}
	f.View = d.sheet.Rect
	for _, view := range d.sheet.Views {
		f.Marks = append(f.Marks, view.Frame()...)
		f.Marks = append(f.Marks, d.bones(view)...)
		if !view.Main {
			f.Marks = append(f.Marks, d.pivots(view.At, "")...)
			f.Handles = append(f.Handles, d.handle(view))
			continue
		}
		detail, small := paper.detail(view)
		if small {
			detail.Same = views.Together(d.after.world[d.moved].T.Sub(d.before.world[d.moved].T).Len(), d.sheet.Size)
			f.View = f.View.Union(detail.Box())
			f.Marks = append(f.Marks, d.enlarged(view, detail)...)
			f.Handles = append([]figure.Handle{d.enlargedHandle(view, detail)}, f.Handles...)
			continue
		}
		f.Marks = append(f.Marks, d.named(view.At, d.sheet.Size)...)
		if text, ok := d.move(); ok {
			a, b := view.At(d.before.world[d.moved].T), view.At(d.after.world[d.moved].T)
			f.Marks = append(f.Marks, figure.Label{Role: figure.Candidate, At: a.Lerp(b, 0.5), Text: text, Away: a.Sub(b).Perp(), Rank: 2})
		}
		f.Handles = append([]figure.Handle{d.handle(view)}, f.Handles...)
	}
	return f
}

// drawing is what all views share.
type drawing struct {
	before, after skeleton
	moved         int
	aims          bool
	aim           rigid.Vec
	sheet         views.Sheet
	units         quantity.Units
}

func gather(v catalog.Values) (drawing, error) {
	d := drawing{units: v.Units, aims: v.Choices["orient"] == "aim"}
	d.aim, _ = rigid.ParseAxis(v.Choices["aim_axis"])
	var err error
	if d.before, d.after, d.moved, _, err = move(v); err != nil { // the warnings stand in the answer already
		return drawing{}, err
	}
	var bounds views.Bounds
	for i := range d.before.world {
		bounds.Add(d.before.world[i].T)
	}
	bounds.Add(d.after.world[d.moved].T)
	bounds.Tell(d.after.world[d.moved].T.Sub(d.before.world[d.moved].T))
	d.sheet = views.Arrange(bounds)
	return d, nil
}

// touched reports whether the segment that ends at a joint moves.
func (d drawing) touched(i int) bool { return i == d.moved || d.before.parent[i] == d.moved }

// bones are all segments and joints of a view but the moved joint's own marks.
func (d drawing) bones(v views.View) []figure.Mark {
	var marks []figure.Mark
	for i, p := range d.before.parent {
		at := v.At(d.before.world[i].T)
		if i != d.moved {
			marks = append(marks, figure.Marker{Name: v.Named("Joint " + d.before.names[i]), Role: figure.Bone, Shape: figure.Dot, At: at})
			if v.Main && len(d.before.names) <= mostNamed {
				marks = append(marks, figure.Label{Role: figure.Bone, At: at, Text: d.before.names[i], Own: true, Rank: 6})
			}
		}
		if p >= 0 && !d.touched(i) {
			marks = append(marks, figure.Polyline{Role: figure.Bone, Points: []plane.Vec{v.At(d.before.world[p].T), at}})
		}
	}
	for _, line := range d.lines(v.At) {
		marks = append(marks, line)
	}
	return marks
}

// lines are the segments that move, before and after, and the aim axes where joints aim.
func (d drawing) lines(at func(rigid.Vec) plane.Vec) []figure.Polyline {
	var lines []figure.Polyline
	for i, p := range d.before.parent {
		if p >= 0 && d.touched(i) {
			lines = append(lines,
				figure.Polyline{Role: figure.Current, Points: []plane.Vec{at(d.before.world[p].T), at(d.before.world[i].T)}},
				figure.Polyline{Role: figure.Candidate, Points: []plane.Vec{at(d.after.world[p].T), at(d.after.world[i].T)}})
		}
	}
	return lines
}

func (d drawing) pivots(at func(rigid.Vec) plane.Vec, name string) []figure.Mark {
	marks := []figure.Mark{
		figure.Marker{Role: figure.Current, Shape: figure.Ring, At: at(d.before.world[d.moved].T)},
		figure.Marker{Role: figure.Candidate, Shape: figure.Diamond, At: at(d.after.world[d.moved].T)}}
	if name != "" {
		marks[0] = figure.Marker{Name: "Current pivot of " + name, Role: figure.Current, Shape: figure.Ring, At: at(d.before.world[d.moved].T)}
		marks[1] = figure.Marker{Name: "Candidate pivot of " + name, Role: figure.Candidate, Shape: figure.Diamond, At: at(d.after.world[d.moved].T)}
	}
	return marks
}

// named are the two pivots with their names, and the aim axes of what aims.
func (d drawing) named(at func(rigid.Vec) plane.Vec, size float64) []figure.Mark {
	from, to := d.before.world[d.moved].T, d.after.world[d.moved].T
	a, b := at(from), at(to)
	marks := d.pivots(at, d.before.names[d.moved])
	away := a.Sub(b)
	marks = append(marks, figure.Label{Role: figure.Current, At: a, Text: "current", Away: away, Rank: 1},
		figure.Label{Role: figure.Candidate, At: b, Text: "candidate", Away: away.Scale(-1), Rank: 1})
	if d.aims {
		marks = append(marks, d.aimAxes(at, size)...)
	}
	return marks
}

// move says how far the joint moves; ok is false when it stays.
func (d drawing) move() (text string, ok bool) {
	moved := d.after.world[d.moved].T.Sub(d.before.world[d.moved].T).Len()
	return "moved " + d.units.Format(moved, quantity.Length, 2), moved > 0
}

// aimAxes are the moved joint's own aim axis before and after.
func (d drawing) aimAxes(at func(rigid.Vec) plane.Vec, size float64) []figure.Mark {
	var marks []figure.Mark
	for _, side := range []struct {
		world rigid.Motion
		role  figure.Role
		name  string
	}{
		{d.before.world[d.moved], figure.Current, "Aim axis, current"},
		{d.after.world[d.moved], figure.Candidate, "Aim axis, candidate"},
	} {
		along := side.world.R.Apply(d.aim)
		from := at(side.world.T)
		end := from.Add(at(side.world.T.Add(along)).Sub(from).Unit().Scale(0.14 * size))
		if at(side.world.T.Add(along)).Sub(from).Len() > 0 {
			marks = append(marks, figure.Polyline{Name: side.name, Role: side.role, Heavy: true, Arrow: true, Points: []plane.Vec{from, end}},
				figure.Label{Role: side.role, At: end, Text: "aim", Away: end.Sub(from), Rank: 3})
		}
	}
	return marks
}
