package limbfold

import (
	"math"
	"strconv"

	"centrode/calc/catalog"
	"centrode/calc/figure"
	"centrode/calc/plane"
	"centrode/calc/quantity"
)

// Figure implements catalog.Calculator: the chain at rest, stretched and folded, all from one base.
func (c Calculator) Figure(v catalog.Values, r catalog.Result) figure.Figure {
	f := figure.Figure{Title: "A chain of segments at rest, stretched and folded", Desc: c.Say(v, r)}
	chain, err := read(v.Tables["segments"])
	if err != nil {
		return f
	}
	poses := posesOf(chain, r, v.Units)
	size := r.Numbers["span_max"]
	f.View = view(poses, size, math.Max(v.Numbers["near"], v.Numbers["far"]))
	f.Marks = wanted(v, r, poses, size)
	for _, p := range poses {
		f.Marks = append(f.Marks, p.drawn(size)...)
	}
	for _, p := range poses[:2] {
		f.Marks = append(f.Marks, p.measure(size)...)
	}
	f.Marks = append(f.Marks, figure.Marker{Name: "Base", Role: figure.Bone, Shape: figure.Ring},
		figure.Label{Role: figure.Bone, Text: "base", Away: away(poses), Rank: 2})
	f.Handles = handles(chain, poses[2].points)
	return f
}

// pose is the chain with its joints at certain angles.
type pose struct {
	name, text string // "stretched", "41.2 cm"
	span       float64
	role       figure.Role
	points     []plane.Vec
	offset     float64 // of the dimension line, before it is moved clear: to the left of base → end
}

// posesOf returns the chain folded, stretched and at rest, in the order in which they are drawn.
func posesOf(chain []Segment, r catalog.Result, units quantity.Units) []pose {
	folds := func(id string) []float64 {
		list := make([]float64, len(chain))
		for i, a := range r.Tables["extremes"].Numbers[id] {
			list[i] = a * math.Pi / 180
		}
		return list
	}
	n := r.Numbers
	poses := []pose{
		{name: "folded", span: n["span_min"], role: figure.Flesh, points: Joints(chain, folds("at_min"))},
		{name: "stretched", span: n["span_max"], role: figure.Target, points: Joints(chain, folds("at_max"))},
		{name: "at rest", span: n["span_rest"], role: figure.Bone, points: Joints(chain, make([]float64, len(chain)))},
	}
	for i := range poses {
		p := &poses[i]
		p.text = units.Format(p.span, quantity.Length, 1)
		p.offset = p.clear(poses)
	}
	return poses
}

func (p pose) end() plane.Vec { return p.points[len(p.points)-1] }

// clear returns the offset of a line along base → end that just misses the chain: on the side on which the chain bulges
// less, or where it is nearly straight, on which less of the drawing lies.
func (p pose) clear(poses []pose) float64 {
	u, left, right, side := p.end().Unit(), 0.0, 0.0, 0.0
	for _, q := range p.points {
		left, right = math.Max(left, u.Cross(q)), math.Min(right, u.Cross(q))
	}
	for _, other := range poses {
		for _, q := range other.points {
			side += u.Cross(q)
		}
	}
	const straight = 0.2 // of the span
	switch bulge := left + right; {
	case bulge > straight*p.span, math.Abs(bulge) <= straight*p.span && side > 0:
		return math.Min(right, -1e-300)
	}
	return math.Max(left, 1e-300)
}

// apart is how far the dimension line stands from what it measures, for a drawing of the given size.
func (p pose) apart(size float64) float64 { return p.offset + math.Copysign(0.08*size, p.offset) }

// drawn is the chain with its end named, and an arc of the circle on which the end lies.
func (p pose) drawn(size float64) []figure.Mark {
	marks := []figure.Mark{figure.Polyline{Name: "The chain " + p.name, Role: p.role, Points: p.points}}
	if p.name != "at rest" && p.span > 0 {
		at, wide := p.end().Angle(), math.Min(0.5, 0.1*size/p.span)
		marks = append(marks, figure.Arc{Role: figure.Guide, Radius: p.span, From: at - wide, To: at + wide, Hair: true})
	}
	for _, q := range p.points[1:] {
		if p.name != "at rest" { // there, handles stand
			marks = append(marks, figure.Marker{Role: p.role, Shape: figure.Dot, At: q})
		}
	}
	last := p.points[len(p.points)-2]
	return append(marks, figure.Label{Role: p.role, At: p.end(), Text: p.name, Away: p.end().Sub(last), Rank: 1})
}

// measure is the dimension line of the span, beside the chain.
func (p pose) measure(size float64) []figure.Mark {
	if !(p.span > 1e-6*size) {
		return nil
	}
	return []figure.Mark{figure.Dimension{Name: "Span of the chain " + p.name, Role: p.role, B: p.end(), Offset: p.apart(size), Text: p.text}}
}

// view holds the three poses, their dimension lines and the farthest span asked for, but for one out of all proportion,
// and keeps still while a reader turns a segment a little.
func view(poses []pose, size, asked float64) figure.Rect {
	var points []plane.Vec
	for i, p := range poses {
		points = append(points, p.points...)
		if out := p.end().Unit().Perp().Scale(p.apart(size)); i < 2 {
			points = append(points, out, p.end().Add(out))
		}
	}
	if asked < 2*size {
		points = append(points, poses[1].end().Unit().Scale(asked))
	}
	return figure.Snug(figure.Hull(0, points...))
}

// away is the side of the base on which nothing is drawn.
func away(poses []pose) plane.Vec {
	var sum plane.Vec
	for _, p := range poses {
		sum = sum.Sub(p.points[1].Unit())
	}
	return sum
}

// handles turn the segments of the chain at rest. The first turns the second segment, which changes the span; the first
// segment only turns the whole chain.
func handles(chain []Segment, rest []plane.Vec) []figure.Handle {
	list := make([]figure.Handle, 0, len(chain))
	for i, s := range chain {
		row := strconv.Itoa(i + 1)
		along := rest[i+1].Sub(rest[i]).Unit()
		list = append(list, figure.Handle{Name: "End of segment " + row + " at rest", Role: figure.Bone, Shape: figure.Dot, At: rest[i+1],
			Axes: []figure.Axis{{Field: "segments:" + row + ":rest", Origin: rest[i], Dir: along, Base: s.Rest * 180 / math.Pi, PerUnit: 1, Turn: true}}})
	}
	list[0], list[1] = list[1], list[0]
	return list
}
