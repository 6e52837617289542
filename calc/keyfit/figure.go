package keyfit

import (
	"math"
	"strconv"

	"centrode/calc/catalog"
	"centrode/calc/figure"
	"centrode/calc/plane"
	"centrode/calc/quantity"
	"centrode/calc/rigid"
	"centrode/calc/views"
)

// What is drawn of long tables: more than this is a blot.
const (
	most      = 200 // keys
	mostNamed = 12  // keys with their number
)

// Figure implements catalog.Calculator: where each key puts the current pivot, and by how little the candidate would still
// be off there. Keys that one moved pivot explains lie on a circle, or a sphere, about it.
func (c Calculator) Figure(v catalog.Values, r catalog.Result) figure.Figure {
	d := gather(v, r)
	f := figure.Figure{Title: "Keyed translation before and after the pivot moves", Desc: c.Say(v, r), View: d.sheet.Rect}
	for _, view := range d.sheet.Views {
		f.Marks = append(f.Marks, view.Frame()...)
		f.Marks = append(f.Marks, d.circle(view)...)
		f.Marks = append(f.Marks, d.pivots(view)...)
		f.Marks = append(f.Marks, d.keys(view)...)
		if view.Main {
			f.Marks = append(f.Marks, d.words(view)...)
		}
	}
	return f
}

// drawing is what all views share: translations as points about the current pivot.
type drawing struct {
	keyed, left []rigid.Vec
	offset      rigid.Vec
	known       bool // there is an offset
	r           catalog.Result
	sheet       views.Sheet
	units       quantity.Units
}

func gather(v catalog.Values, r catalog.Result) drawing {
	rows, rest := v.Tables["keys"].Numbers, r.Tables["keys"].Numbers
	d := drawing{units: v.Units, r: r, known: r.Has("offset_x"), offset: rigid.Vec{X: r.Numbers["offset_x"], Y: r.Numbers["offset_y"], Z: r.Numbers["offset_z"]}}
	var bounds views.Bounds
	bounds.Add(rigid.Vec{})
	bounds.Add(d.offset)
	for i := range min(v.Tables["keys"].Len, most) {
		d.keyed = append(d.keyed, rigid.Vec{X: rows["tx"][i], Y: rows["ty"][i], Z: rows["tz"][i]})
		d.left = append(d.left, rigid.Vec{X: rest["left_x"][i], Y: rest["left_y"][i], Z: rest["left_z"][i]})
		bounds.Add(d.keyed[i])
		bounds.Add(d.left[i])
	}
	d.sheet = views.Arrange(bounds)
	return d
}

// circle is where a key about one direction puts the current pivot when the candidate explains it: as much of the circle
// about the candidate as the keys take.
func (d drawing) circle(v views.View) []figure.Mark {
	axis := rigid.Vec{X: d.r.Numbers["axis_x"], Y: d.r.Numbers["axis_y"], Z: d.r.Numbers["axis_z"]}
	if axis == (rigid.Vec{}) || d.offset == (rigid.Vec{}) {
		return nil
	}
	const steps, past = 72, 0.2 // radians
	start, lo, hi := d.offset.Scale(-1), 0.0, 0.0
	for _, t := range d.keyed {
		arm := t.Sub(d.offset)
		angle := math.Atan2(axis.Dot(start.Cross(arm)), start.Dot(arm))
		lo, hi = math.Min(lo, angle), math.Max(hi, angle)
	}
	line := figure.Polyline{Name: v.Named("The circle about the candidate through the current pivot"), Role: figure.Guide, Hair: true}
	lo, hi = lo-past, math.Min(hi+past, lo-past+2*math.Pi)
	for k := range steps + 1 {
		turn, _ := rigid.Turn(axis, lo+(hi-lo)*float64(k)/steps)
		line.Points = append(line.Points, v.At(rigid.TurnAbout(d.offset, turn).Apply(rigid.Vec{})))
	}
	return []figure.Mark{line}
}

// keys draws each keyed translation as an open circle, tied by a hairline to the dot of what is left of it.
func (d drawing) keys(v views.View) []figure.Mark {
	var lines, marks []figure.Mark
	for i, t := range d.keyed {
		name := v.Named("Key " + strconv.Itoa(i+1) + ", translation now")
		marks = append(marks, figure.Marker{Name: name, Role: figure.Current, Shape: figure.Open, At: v.At(t)})
		if d.known {
			lines = append(lines, figure.Polyline{Role: figure.Guide, Hair: true, Points: []plane.Vec{v.At(t), v.At(d.left[i])}})
			marks = append(marks, figure.Marker{Role: figure.Candidate, Shape: figure.Dot, At: v.At(d.left[i])})
		}
	}
	return append(lines, marks...)
}

func (d drawing) pivots(v views.View) []figure.Mark {
	marks := []figure.Mark{figure.Marker{Name: v.Named("Current pivot"), Role: figure.Current, Shape: figure.Ring, At: v.At(rigid.Vec{})}}
	if d.known {
		marks = append(marks, figure.Marker{Name: v.Named("Candidate pivot"), Role: figure.Candidate, Shape: figure.Diamond, At: v.At(d.offset)})
	}
	return marks
}

// words number the keys, say which mark is which, and measure one key.
func (d drawing) words(v views.View) []figure.Mark {
	origin, measured := v.At(rigid.Vec{}), d.measured()
	marks := []figure.Mark{figure.Label{Role: figure.Current, At: origin, Text: "current pivot", Away: origin.Sub(v.At(d.offset)), Rank: 2}}
	for i, t := range d.keyed[:min(len(d.keyed), mostNamed)] {
		text := strconv.Itoa(i + 1)
		if i == measured {
			text = "key " + text + ": " + d.units.Format(t.Len(), quantity.Length, 2)
		}
		marks = append(marks, figure.Label{Role: figure.Current, At: v.At(t), Text: text, Away: v.At(t).Sub(v.At(d.offset)), Rank: 1})
	}
	if !d.known {
		return marks
	}
	left := d.left[measured]
	return append(marks, figure.Label{Role: figure.Candidate, At: v.At(d.offset), Text: "candidate pivot", Away: v.At(d.offset).Sub(origin), Rank: 2},
		figure.Label{Role: figure.Candidate, At: v.At(left), Text: "left " + d.units.Format(left.Len(), quantity.Length, 2), Away: plane.Vec{X: 1}, Rank: 3})
}

// measured is the key of which most is left; when all but nothing is left, the key that is farthest now.
func (d drawing) measured() int {
	farthest, worst := 0, 0
	for i := range d.keyed {
		if d.keyed[i].Len() > d.keyed[farthest].Len() {
			farthest = i
		}
		if d.left[i].Len() > d.left[worst].Len() {
			worst = i
		}
	}
	if worst < mostNamed && d.left[worst].Len() > 0.05*d.keyed[farthest].Len() {
		return worst
	}
	return farthest
}
