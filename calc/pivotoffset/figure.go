package pivotoffset

import (
	"math"

	"centrode/calc/catalog"
	"centrode/calc/figure"
	"centrode/calc/plane"
	"centrode/calc/quantity"
	"centrode/calc/views"
)

// Figure implements catalog.Calculator. It is drawn looking down the z axis: x to the right, y up. Where the pivots lie
// too close together to be told apart, they are shown again, enlarged.
func (c Calculator) Figure(v catalog.Values, r catalog.Result) figure.Figure {
	d := gather(v, r)
	paper := d.paper()
	if on := v.On; on != nil {
		paper = gather(on.Values, on.Result).paper()
	}
	sheet, detail, small := paper.sheet, paper.detail, paper.small
	detail.Same = views.Together(read(v).offset.Len(), sheet.Size)
	f := figure.Figure{
		Title: "One segment turned about two pivots, seen along the z axis",
		Desc:  c.Say(v, r),
		View:  sheet.Rect,
		Marks: append(sheet.Views[0].Frame(), d.travel()...),
	}
	share := 0.45
	if small {
		share = 0.85 // the detail stands within
	}
	f.Marks = append(f.Marks, d.turn(v.Numbers["angle"], share)...)
	for _, line := range d.lines() {
		f.Marks = append(f.Marks, line)
	}
	f.Marks = append(f.Marks, d.owed(r.Numbers["owed_length"])...)
	if small {
		f.View = f.View.Union(detail.Box())
		f.Marks = append(f.Marks, d.enlarged(detail)...)
	} else {
		f.Marks = append(f.Marks, d.pivots(func(p plane.Vec) plane.Vec { return p })...)
	}
	f.Handles = d.handles(detail, small)
	return f
}

// drawing is the segment as seen along z, the current pivot at the origin. The base is the point of the segment that lies
// on the current pivot at rest.
type drawing struct {
	pivot, rest, current, candidate plane.Vec
	angle                           float64 // radians as seen, when the axis points at the reader or away
	flat                            bool    // the axis does
	units                           quantity.Units
}

func gather(v catalog.Values, r catalog.Result) drawing {
	in, n := read(v), r.Numbers
	d := drawing{
		pivot: plane.Vec{X: in.offset.X, Y: in.offset.Y}, rest: plane.Vec{X: in.point.X, Y: in.point.Y},
		current:   plane.Vec{X: n["current_x"], Y: n["current_y"]},
		candidate: plane.Vec{X: n["candidate_x"], Y: n["candidate_y"]},
		angle:     math.Copysign(in.angle, in.angle*in.axis.Z), flat: in.axis.X == 0 && in.axis.Y == 0, units: v.Units,
	}
	return d
}

// paper is the sheet and the detail on it, if the pivots lie too close together without one.
type paper struct {
	sheet  views.Sheet
	detail views.Detail
	small  bool
}

func (d drawing) paper() paper {
	p := paper{sheet: views.Flat(d.area())}
	if p.detail, p.small = views.Enlarge(plane.Vec{}, d.pivot, p.sheet.Size); p.small {
		p.detail.To = p.detail.Place(p.sheet, d.occupied())
	}
	return p
}

// base is where the turn about the candidate puts the base.
func (d drawing) base() plane.Vec { return d.candidate.Sub(d.current) }

// area holds the segment through the whole turn, and on to the next of the steps of 30° that lie at 20°, 50°, 80° …, so
// that it keeps still while a reader turns between two of them; round angles lie clear of the steps.
func (d drawing) area() figure.Rect {
	box := figure.Hull(0, plane.Vec{}, d.pivot, d.rest, d.current, d.candidate, d.base())
	if !d.flat {
		return figure.Snug(box)
	}
	const degree, parts = math.Pi / 180, 24
	end := math.Min(360, math.Ceil((math.Abs(d.angle)/degree-20)/30)*30+20)
	for k := range parts {
		angle := math.Copysign(end*degree*float64(k+1)/parts, d.angle)
		for _, pivot := range [2]plane.Vec{{}, d.pivot} {
			box = box.Union(figure.Hull(0, plane.TurnAbout(pivot, angle).Apply(d.rest)))
		}
	}
	return figure.Snug(box)
}

// lines are the segment at rest and at its two places, and how it is tied to the candidate.
func (d drawing) lines() []figure.Polyline {
	return []figure.Polyline{
		{Role: figure.Guide, Points: []plane.Vec{{}, d.pivot, d.base()}, Hair: true},
		{Name: "The segment at rest", Role: figure.Bone, Points: []plane.Vec{{}, d.rest}},
		{Name: "The segment turned about the current pivot", Role: figure.Current, Points: []plane.Vec{{}, d.current}},
		{Name: "The segment turned about the candidate pivot", Role: figure.Candidate, Points: []plane.Vec{d.base(), d.candidate}},
	}
}

// travel is the way of the point about either pivot, where it can be seen as an arc.
func (d drawing) travel() []figure.Mark {
	if !d.flat || d.angle == 0 {
		return nil
	}
	arc := func(name string, role figure.Role, pivot plane.Vec) figure.Mark {
		arm := d.rest.Sub(pivot)
		return figure.Arc{Name: name, Role: role, Centre: pivot, Radius: arm.Len(), From: arm.Angle(), To: arm.Angle() + d.angle, Hair: true}
	}
	return []figure.Mark{arc("Travel of the point about the current pivot", figure.Current, plane.Vec{}),
		arc("Travel of the point about the candidate pivot", figure.Candidate, d.pivot)}
}

// turn is the dimension of the angle, at a share of the point's distance.
func (d drawing) turn(degrees, share float64) []figure.Mark {
	radius := share * d.rest.Len()
	if !d.flat || d.angle == 0 || !(radius > 2*d.pivot.Len()) && !(radius > 2*d.base().Len()) {
		return nil
	}
	from := d.rest.Angle()
	return []figure.Mark{figure.Angular{Name: "Turn", Role: figure.Guide, Radius: radius, From: from, To: from + d.angle,
		Text: quantity.Format(degrees, quantity.Angle, 0)}}
}

// owed is the arrow from where the point lands to where it must be, and the same one at the base.
func (d drawing) owed(length float64) []figure.Mark {
	if !(length > 1e-9) {
		return nil
	}
	return []figure.Mark{
		figure.Polyline{Name: "Owed translation", Role: figure.Caution, Points: []plane.Vec{d.current, d.candidate}, Heavy: true, Arrow: true},
		figure.Polyline{Role: figure.Caution, Points: []plane.Vec{{}, d.base()}, Arrow: true},
		figure.Label{Role: figure.Caution, At: d.current.Lerp(d.candidate, 0.5), Text: "owed " + d.units.Format(length, quantity.Length, 2), Away: d.current, Rank: 0},
	}
}

// pivots are the two pivots by name, put on the sheet by at.
func (d drawing) pivots(at func(plane.Vec) plane.Vec) []figure.Mark {
	a, b := at(plane.Vec{}), at(d.pivot)
	return []figure.Mark{
		figure.Marker{Name: "Current pivot", Role: figure.Current, Shape: figure.Ring, At: a},
		figure.Marker{Name: "Candidate pivot", Role: figure.Candidate, Shape: figure.Diamond, At: b},
		figure.Label{Role: figure.Current, At: a, Text: "current", Away: a.Sub(b).Sub(d.rest.Unit().Scale(b.Sub(a).Len())), Rank: 2},
		figure.Label{Role: figure.Candidate, At: b, Text: "candidate", Away: b.Sub(a), Rank: 2},
	}
}
