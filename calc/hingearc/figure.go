package hingearc

import (
	"math"

	"centrode/calc/catalog"
	"centrode/calc/figure"
	"centrode/calc/plane"
	"centrode/calc/quantity"
)

// Figure implements catalog.Calculator: both placements at rest and along the sweep. The view goes by the eighths of a
// turn that the sweep enters, so it keeps still while a reader turns an angle within one of them.
func (c Calculator) Figure(v catalog.Values, r catalog.Result) figure.Figure {
	in := read(v)
	both := in.placements()
	current, candidate := both[0], both[1]
	f := figure.Figure{
		Title: "A limb swept about its current and about a candidate pivot",
		Desc:  c.Say(v, r),
		View:  in.view(both),
	}
	f.Marks = append(f.Marks, in.flesh(candidate)...)
	f.Marks = append(f.Marks, limb(current, figure.Current)...)
	f.Marks = append(f.Marks, limb(candidate, figure.Candidate)...)
	f.Marks = append(f.Marks, names(current, candidate)...)
	f.Marks = append(f.Marks, contacts(in, r, both)...)
	f.Marks = append(f.Marks, in.measures(candidate, r, length(v))...)
	f.Handles = in.handles(candidate, f.View)
	return f
}

// view holds the parent and the sectors that the sweeps enter, counted from rest in eighths of a turn, all with flesh.
func (in inputs) view(both [2]placement) figure.Rect {
	const eighth, steps = 45.0, 4 // a point every 11.25°: the box misses at most 0.5 % of the radius, less than Snug's air
	lo := math.Floor(math.Min(0, math.Min(in.from, in.to))/eighth) * eighth
	hi := math.Ceil(math.Max(0, math.Max(in.from, in.to))/eighth) * eighth
	if hi-lo > 360 {
		lo, hi = 0, 360
	}
	box := figure.Hull(in.parentRadius, in.root, in.pivot, in.candidate)
	for _, p := range both {
		for angle := lo; angle <= hi; angle += eighth / steps {
			box = box.Union(figure.Hull(in.childRadius, p.sweep.At(angle*degree)))
		}
	}
	return figure.Snug(box)
}

// flesh is the parent's outline as it is at the placement, and the round tip where the sweep ends.
func (in inputs) flesh(p placement) []figure.Mark {
	var marks []figure.Mark
	if in.parentRadius > 0 {
		marks = append(marks, figure.Region{Name: "Flesh of the parent segment", Role: figure.Flesh, Points: stadium(p.parent, in.parentRadius)})
	}
	if in.childRadius > 0 {
		marks = append(marks, figure.Circle{Name: "Flesh of the tip where the sweep ends", Role: figure.Flesh, Centre: p.sweep.At(p.sweep.To), Radius: in.childRadius, Fill: true})
	}
	return marks
}

// stadium is the outline of all points within radius of the segment, its caps drawn with 12 edges each.
func stadium(s plane.Segment, radius float64) []plane.Vec {
	const edges = 12
	points := make([]plane.Vec, 0, 2*edges+2)
	along := s.B.Sub(s.A).Angle()
	for i, end := range [...]plane.Vec{s.B, s.A} {
		start := along - math.Pi/2 + float64(i)*math.Pi
		for k := range edges + 1 {
			points = append(points, end.Add(plane.Polar(radius, start+math.Pi*float64(k)/edges)))
		}
	}
	return points
}

// limb is the parent's line, the moving segment at rest and at both ends of the sweep, and the tip's path.
func limb(p placement, role figure.Role) []figure.Mark {
	s := p.sweep
	return []figure.Mark{
		figure.Polyline{Name: "The parent segment with the " + p.name + " pivot", Role: role, Points: []plane.Vec{p.parent.A, s.Pivot}},
		figure.Polyline{Name: "The moving segment at rest", Role: figure.Bone, Points: []plane.Vec{s.Pivot, s.Tip}},
		figure.Polyline{Role: role, Points: []plane.Vec{s.Pivot, s.At(s.From)}, Hair: true},
		figure.Polyline{Name: "The moving segment where the sweep ends, about the " + p.name + " pivot", Role: role, Points: []plane.Vec{s.Pivot, s.At(s.To)}},
		path(p, role),
	}
}

// path is the tip's travel; from one full turn on it is the whole circle.
func path(p placement, role figure.Role) figure.Mark {
	s, name := p.sweep, "The tip's path about the "+p.name+" pivot"
	if math.Abs(s.Turn()) >= 2*math.Pi {
		return figure.Circle{Name: name, Role: role, Centre: s.Pivot, Radius: s.Radius()}
	}
	rest := s.arm().Angle()
	return figure.Arc{Name: name, Role: role, Centre: s.Pivot, Radius: s.Radius(), From: rest + s.From, To: rest + s.To, Arrow: true}
}

// names say which path is which, where they lie apart a third of the way along.
func names(current, candidate placement) []figure.Mark {
	a := current.sweep.At(current.sweep.From + current.sweep.Turn()/3)
	b := candidate.sweep.At(candidate.sweep.From + candidate.sweep.Turn()/3)
	return []figure.Mark{
		figure.Label{Role: figure.Current, At: a, Text: "current", Away: a.Sub(b), Rank: 6},
		figure.Label{Role: figure.Candidate, At: b, Text: "candidate", Away: b.Sub(a), Rank: 6},
	}
}

// contacts marks where each tip first touches.
func contacts(in inputs, r catalog.Result, both [2]placement) []figure.Mark {
	var marks []figure.Mark
	for _, p := range both {
		angle, ok := r.Numbers[p.name+"_contact_angle"]
		if !ok {
			continue
		}
		at := p.sweep.At(angle * degree)
		if in.childRadius > 0 && p.name == "candidate" {
			marks = append(marks, figure.Circle{Name: "The tip's flesh at its first contact about the " + p.name + " pivot", Role: figure.Caution, Centre: at, Radius: in.childRadius})
		}
		marks = append(marks, figure.Marker{Name: "First contact about the " + p.name + " pivot", Role: figure.Caution, Shape: figure.Cross, At: at})
		if p.name == "candidate" {
			marks = append(marks, figure.Label{Role: figure.Caution, At: at, Text: "touches at " + quantity.Format(angle, quantity.Angle, 1), Away: at.Sub(p.sweep.Pivot), Rank: 2})
		}
	}
	return marks
}

// measures are the numbers on the drawing: reach, chord, sagitta and sweep of the candidate, and what the tip is shifted by.
func (in inputs) measures(p placement, r catalog.Result, cm func(float64) string) []figure.Mark {
	n, s := r.Numbers, p.sweep
	least := 1e-6 * (s.Radius() + n["candidate_parent"])
	a, b := s.At(s.From), s.At(s.To)
	var marks []figure.Mark
	if n["candidate_reach_to"] > least {
		marks = append(marks, figure.Dimension{Name: "Reach of the candidate where the sweep ends", Role: figure.Candidate, A: in.root, B: b, Text: "reach " + cm(n["candidate_reach_to"])})
	}
	if n["candidate_chord"] > least {
		marks = append(marks, figure.Dimension{Name: "Chord of the candidate's path", Role: figure.Candidate, A: a, B: b, Text: "chord " + cm(n["candidate_chord"]), Spare: true})
	}
	if n["candidate_sagitta"] > least {
		marks = append(marks, figure.Dimension{Name: "Sagitta of the candidate's path", Role: figure.Candidate,
			A: a.Lerp(b, 0.5), B: s.At(s.From + s.Turn()/2), Text: "sagitta " + cm(n["candidate_sagitta"]), Spare: true})
	}
	if turn := math.Abs(s.Turn()); turn > 0 && turn < 2*math.Pi && s.Radius() > 0 {
		rest := s.arm().Angle()
		marks = append(marks, figure.Angular{Role: figure.Guide, Centre: s.Pivot, Radius: 0.25 * s.Radius(), From: rest + s.From, To: rest + s.To, Text: deg(n["sweep"])})
	}
	if n["shift_length"] > least {
		was := b.Sub(plane.Vec{X: n["shift_x"], Y: n["shift_y"]})
		marks = append(marks,
			figure.Polyline{Name: "Shift of the tip at the end of the sweep", Role: figure.Caution, Points: []plane.Vec{was, b}, Heavy: true, Arrow: true},
			figure.Label{Role: figure.Caution, At: was.Lerp(b, 0.5), Text: "shift " + cm(n["shift_length"]), Away: b.Sub(s.Pivot), Rank: 1})
	}
	return marks
}

// handles are the points and the two ends of the sweep. The ends sit part-way along the limb, clear of the tip.
func (in inputs) handles(candidate placement, view figure.Rect) []figure.Handle {
	arm := candidate.sweep.arm()
	if arm == (plane.Vec{}) { // a tip on its pivot shows no direction; count from +x, close to the pivot
		arm = plane.Vec{X: (view.Max.X - view.Min.X) / 20}
	}
	return []figure.Handle{
		point("Candidate pivot", figure.Candidate, figure.Diamond, in.candidate, "candidate"),
		point("Current pivot", figure.Current, figure.Ring, in.pivot, "pivot"),
		point("Tip at rest", figure.Bone, figure.Dot, in.tip, "tip"),
		point("Root, the far end of the parent", figure.Bone, figure.Dot, in.root, "root"),
		turnHandle("End of the sweep", in.candidate, arm.Scale(0.7), "to_angle", in.to),
		turnHandle("Start of the sweep", in.candidate, arm.Scale(0.5), "from_angle", in.from),
	}
}

func point(name string, role figure.Role, shape figure.Shape, at plane.Vec, field string) figure.Handle {
	return figure.Handle{Name: name, Role: role, Shape: shape, At: at, Axes: []figure.Axis{
		{Field: field + "_x", Dir: plane.Vec{X: 1}, PerUnit: 1}, {Field: field + "_y", Dir: plane.Vec{Y: 1}, PerUnit: 1}}}
}

// turnHandle edits an angle by turning the arm about the centre. Whole turns already in the value are kept.
func turnHandle(name string, centre, arm plane.Vec, field string, value float64) figure.Handle {
	return figure.Handle{Name: name, Role: figure.Candidate, Shape: figure.Dot,
		At: centre.Add(plane.TurnAbout(plane.Vec{}, value*degree).Turn(arm)),
		Axes: []figure.Axis{{Field: field, Origin: centre, Dir: arm.Unit(), Turn: true, PerUnit: 1,
			Base: 360 * math.Ceil((value-180)/360)}}}
}
