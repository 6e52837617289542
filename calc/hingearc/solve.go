// Package hingearc measures the sweep of a point about one hinge and compares two places for that hinge.
//
// Start at Sweep, which is the geometry; Calculator.Solve applies it to the current and the candidate pivot. Planar;
// angles in radians from rest, counter-clockwise positive (the Spec shows degrees); any one unit of length. The parent
// does not move. Not covered: hinges whose centre moves (use posefit) and chains of several hinges (use limbfold).
package hingearc

import (
	"math"

	"centrode/calc/catalog"
	"centrode/calc/plane"
)

// Calculator is the catalogue's entry "hinge-arc".
type Calculator struct{}

const degree = math.Pi / 180

// Solve implements catalog.Calculator. Every prepared input has an answer; coincident points are explained by warnings.
func (Calculator) Solve(v catalog.Values) (catalog.Result, error) {
	in := read(v)
	r := catalog.NewResult()
	n := r.Numbers
	n["sweep"], n["touch"] = in.to-in.from, in.gap
	warnOfSweep(&r, in)
	for _, p := range in.placements() {
		in.measure(&r, p)
	}
	d := in.candidate.Sub(in.pivot)
	sin, half := math.Sin(in.to*degree), math.Sin(in.to*degree/2)
	shift := d.Scale(2 * half * half).Sub(d.Perp().Scale(sin)) // (I − R)·d; small angles keep their digits
	n["shift_x"], n["shift_y"] = shift.X, shift.Y
	n["pivot_shift"], n["half_sine"] = d.Len(), math.Abs(half)
	n["shift_length"] = 2 * d.Len() * math.Abs(half)
	return r, nil
}

// inputs are the prepared values; angles stay in degrees so that where a sweep begins or ends is answered as it was typed.
type inputs struct {
	root, pivot, candidate, tip plane.Vec
	from, to                    float64 // degrees
	parentRadius, childRadius   float64
	gap                         float64 // parent and child radius together
	sharedParent                bool    // the parent segment ends at the current pivot in both placements
}

func read(v catalog.Values) inputs {
	n := v.Numbers
	return inputs{
		root:         plane.Vec{X: n["root_x"], Y: n["root_y"]},
		pivot:        plane.Vec{X: n["pivot_x"], Y: n["pivot_y"]},
		candidate:    plane.Vec{X: n["candidate_x"], Y: n["candidate_y"]},
		tip:          plane.Vec{X: n["tip_x"], Y: n["tip_y"]},
		from:         n["from_angle"],
		to:           n["to_angle"],
		parentRadius: n["parent_radius"],
		childRadius:  n["child_radius"],
		gap:          n["parent_radius"] + n["child_radius"],
		sharedParent: v.Choices["parent_end"] == "current",
	}
}

// placement is one place of the pivot with what follows from it.
type placement struct {
	name   string // "current" or "candidate"
	sweep  Sweep
	parent plane.Segment
}

func (in inputs) placements() [2]placement {
	at := func(name string, pivot, end plane.Vec) placement {
		return placement{name, Sweep{Pivot: pivot, Tip: in.tip, From: in.from * degree, To: in.to * degree}, plane.Segment{A: in.root, B: end}}
	}
	end := in.candidate
	if in.sharedParent {
		end = in.pivot
	}
	return [2]placement{at("current", in.pivot, in.pivot), at("candidate", in.candidate, end)}
}

// measure puts all outputs of one placement into r, with warnings for what has no meaning.
func (in inputs) measure(r *catalog.Result, p placement) {
	put := func(id string, value float64) { r.Numbers[p.name+"_"+id] = value }
	reach, end := p.sweep.Reach(in.root), p.sweep.At(p.sweep.To)
	put("radius", p.sweep.Radius())
	put("arc_length", p.sweep.Length())
	put("chord", p.sweep.Chord())
	put("sagitta", p.sweep.Sagitta())
	put("reach_from", reach.From)
	put("reach_to", reach.To)
	put("reach_min", reach.Min)
	put("reach_max", reach.Max)
	put("tip_x", end.X)
	put("tip_y", end.Y)
	put("parent", p.sweep.Pivot.Sub(in.root).Len())
	put("straight", p.sweep.Straight(in.root)/degree)
	warnOfPlacement(r, in, p)
	contact, touches := p.sweep.Contact(p.parent, in.gap)
	field := p.name + "_contact_angle"
	switch {
	case !touches:
		r.Note("no-contact", field, "With the "+p.name+" pivot the tip never comes within touch of the parent in this sweep.")
	case contact == p.sweep.From:
		put("contact_angle", in.from)
		r.Warn("contact-at-start", field, "With the "+p.name+" pivot the tip touches the parent already where the sweep begins.")
	case contact == p.sweep.To:
		put("contact_angle", in.to)
	default:
		put("contact_angle", contact/degree)
	}
}

func warnOfSweep(r *catalog.Result, in inputs) {
	switch turn := math.Abs(in.to - in.from); {
	case turn == 0:
		r.Warn("no-sweep", "to_angle", "Both angles are equal, so nothing sweeps: arc, chord and sagitta are 0 and the reach is that of one position.")
	case turn > 360:
		r.Warn("past-full-turn", "to_angle", "The sweep is more than one full turn: the arc length counts all of it, the reach covers the whole circle, and chord and sagitta compare only the start, the middle and the end of the path.")
	}
}

func warnOfPlacement(r *catalog.Result, in inputs, p placement) {
	if p.sweep.Tip == p.sweep.Pivot {
		r.Warn("tip-on-pivot", p.name+"_radius", "The tip lies on the "+p.name+" pivot, so turning does not move it: its arc is 0.")
	}
	if in.root == p.sweep.Pivot {
		r.Warn("parent-without-length", p.name+"_reach_to", "The root lies on the "+p.name+" pivot: the parent has no length, and the reach is the radius at every angle.")
	}
}
