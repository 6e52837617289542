package room

import (
	"math"

	"centrode/calc/affine"
	"centrode/calc/jsontree"
	"centrode/calc/quantity"
	"centrode/calc/rigid"
	"centrode/calc/skin"
)

// fold is the two sides of a joint, and how its segments run at rest, in the frame of its parent.
type fold struct {
	region   *skin.Region
	farthest int       // the vertex of the joint's own segment that lies farthest from its pivot
	before   rigid.Vec // unit: along the segment above, to the joint
	after    rigid.Vec // unit: along the joint's own segment
}

// foldOf finds the sides of a joint: the nearest segment above with skin, and its own, or those nearest below.
func (r *Room) foldOf(joint int) fold {
	b := r.body
	near, far := make([]bool, len(b.Rest)/3), make([]bool, len(b.Rest)/3)
	above := b.Joints[joint].Parent
	for above >= 0 && b.Joints[above].Vertices == 0 {
		above = b.Joints[above].Parent
	}
	turns := make([]bool, len(b.Joints))
	for i, below := range b.Below(joint) { // own segment; where it has no skin, the first below that has
		p := b.Joints[i].Parent
		turns[i] = below && (i == joint || turns[p] && b.Joints[p].Vertices == 0)
	}
	var f fold
	at := b.At(joint)
	middle, count, most := rigid.Vec{}, 0.0, -1.0
	for v := range near {
		owner := b.Owner(v)
		if near[v], far[v] = owner == above, turns[owner]; far[v] {
			place := b.Vertex(v)
			middle, count = middle.Add(place), count+1
			if d := place.Sub(at).Len(); d > most {
				f.farthest, most = v, d
			}
		}
	}
	f.region = r.surface.Region(near, far, b.Rest)
	frame, _ := b.ParentFrame(joint).Inverse()
	if child := b.Child(joint); child >= 0 {
		f.after = frame.L.Apply(b.At(child).Sub(at)).Unit()
	} else if count > 0 {
		f.after = frame.L.Apply(middle.Scale(1 / count).Sub(at)).Unit()
	}
	f.before = f.after
	if p := b.Joints[joint].Parent; p >= 0 {
		if d := frame.L.Apply(at.Sub(b.At(p))); d.Len() > 1e-9 {
			f.before = d.Unit()
		}
	}
	return f
}

// halving is the plane that halves the bend that a motion makes of the fold; ok is false when the segment only twists.
func (f *fold) halving(turn affine.Map) (normal rigid.Vec, ok bool) {
	_, q, _, _ := turn.TRS()
	axis, angle := q.Rot().AxisAngle()
	across := func(v rigid.Vec) rigid.Vec { return v.Sub(axis.Scale(axis.Dot(v))) }
	u, v := across(f.before), across(f.after)
	if u.Len() < 0.1 || v.Len() < 0.1 {
		return rigid.Vec{}, false
	}
	half, _ := rigid.Turn(axis, angle/2)
	sum := u.Unit().Add(q.Rot().Apply(v.Unit()))
	if sum.Len() < 0.1 { // folded flat: the sum says nothing
		sum = half.Apply(v)
	}
	return sum.Unit(), true
}

// change is what a pose did to the surface around the joint.
type change struct {
	overlap, deepest float64 // squash: volume and depth
	longest, mean    float64 // stretch: the greatest ratio of lengths, and the mean of what is lengthened
}

// changed measures the surface of a view; what the rest shape itself has past the plane is not counted. bent is false when the
// segment only twists, so that there is no fold.
func (r *Room) changed(v *view) (c change, bent bool) {
	c.longest, c.mean = r.fold.region.Stretch(v.positions)
	normal, bent := r.fold.halving(v.turn)
	still, straight := r.fold.halving(affine.Identity())
	if !bent || !straight {
		return c, bent
	}
	volume, deep := r.fold.region.Squash(side(r.parentNow(), v.turn.Apply(v.pivot), normal), v.positions)
	volumeWas, deepWas := r.fold.region.Squash(side(r.body.ParentFrame(r.ask.Joint), v.pivot, still), r.body.Rest)
	c.overlap, c.deepest = math.Max(0, volume-volumeWas), math.Max(0, deep-deepWas)
	return c, bent
}

// side is a plane of a frame in the world. A normal goes there by the inverse, transposed: where the frame scales unevenly, what stands square on
// the plane in it does not in the world.
func side(frame affine.Map, pivot, normal rigid.Vec) skin.Fold {
	p, n := frame.Apply(pivot), inverseOf(frame).L.Back(normal).Unit()
	return skin.Fold{Pivot: [3]float64{p.X, p.Y, p.Z}, Normal: [3]float64{n.X, n.Y, n.Z}}
}

// Owed returns the translation, in cm in the world of the rest pose, that must be keyed beside the rotation of the pose: about
// the current pivot, and about the candidate. What is to be reached is what the clip keys; where it keys no translation, it is
// where the candidate leads.
func (r *Room) Owed() (current, candidate rigid.Vec) {
	frame := r.body.ParentFrame(r.ask.Joint)
	v := &r.views[0]
	keyed := v.turn.Apply(v.pivot).Sub(v.pivot)
	if !r.ask.Candidate {
		return frame.L.Apply(keyed), rigid.Vec{}
	}
	d := r.views[1].pivot.Sub(v.pivot)
	explained := d.Sub(v.turn.L.Apply(d)) // (I − R)·d
	if keyed.Len() <= 1e-9*(1+v.pivot.Len()) {
		return frame.L.Apply(explained), rigid.Vec{}
	}
	return frame.L.Apply(keyed), frame.L.Apply(keyed.Sub(explained))
}

// point is the vertex whose reach and arc are told.
func (r *Room) point() int {
	if r.ask.Point >= 0 {
		return r.ask.Point
	}
	return r.fold.farthest
}

// way tells how a point travels about a view's pivot: how far it then is from the joint above, and how long its arc is: all that the
// dial turns, and of a clip, which does not say how often it has gone round, the shortest way.
func (r *Room) way(v *view, vertex int) (reach, arc float64) {
	back, _ := r.body.ParentFrame(r.ask.Joint).Inverse()
	at := back.Apply(r.body.Vertex(vertex))
	root := rigid.Vec{} // the parent's own pivot, in its frame
	if r.body.Joints[r.ask.Joint].Parent < 0 {
		root = v.pivot
	}
	scale := r.body.ParentFrame(r.ask.Joint).L
	_, q, _, _ := v.turn.TRS()
	axis, angle := q.Rot().AxisAngle()
	if r.ask.Clip < 0 {
		axis, angle = back.L.Apply(r.ask.Axis).Unit(), r.body.Sense(r.ask.Joint)*r.ask.Angle*math.Pi/180
	}
	arm := at.Sub(v.pivot)
	arm = arm.Sub(axis.Scale(axis.Dot(arm)))
	reach = scale.Apply(v.turn.Apply(at).Sub(root)).Len()
	if r.body.ParentFrame(r.ask.Joint).Even() {
		return reach, scale.Apply(arm).Len() * math.Abs(angle)
	}
	return reach, ellipse(scale, arm, axis.Cross(arm), angle)
}

// ellipse is how long the way is of which a map makes a part of a circle, from u toward v, which are its radii.
func ellipse(scale rigid.Rot, u, v rigid.Vec, angle float64) (length float64) {
	steps := math.Ceil(math.Abs(angle) * 180 / math.Pi) // of a degree or less, which is short by some hundred-thousandths
	u, v = scale.Apply(u), scale.Apply(v)
	last := u
	for k := range int(steps) {
		sin, cos := math.Sincos(angle * float64(k+1) / steps)
		next := u.Scale(cos).Add(v.Scale(sin))
		length, last = length+next.Sub(last).Len(), next
	}
	return length
}

// Measure compares the two poses, as JSON: a sentence, rows of words, the owed translation, warnings. Call it after Pose.
func (r *Room) Measure() []byte {
	current, candidate := r.Owed()
	was, bent := r.changed(&r.views[0])
	is := was
	vertex := r.point()
	reach, arc := r.way(&r.views[0], vertex)
	reachIs, arcIs := reach, arc
	if r.ask.Candidate {
		is, _ = r.changed(&r.views[1])
		reachIs, arcIs = r.way(&r.views[1], vertex)
	}
	rows := &table{candidate: r.ask.Candidate, list: jsontree.NewArray()}
	rows.add("owed", "Owed translation", current.Len(), candidate.Len(), centimetres(2))
	rows.add("reach", "Reach", reach, reachIs, centimetres(2))
	rows.add("arc", "Arc", arc, arcIs, centimetres(2))
	rows.add("squash", "Squash, volume", was.overlap, is.overlap, func(v float64) string { return quantity.Number(v, 2) + "\u00a0cm³" })
	rows.add("deepest", "Squash, depth", was.deepest, is.deepest, centimetres(2))
	rows.add("stretch", "Stretch, most", was.longest-1, is.longest-1, percent)
	rows.add("spread", "Stretch, mean", was.mean-1, is.mean-1, percent)
	warnings := jsontree.NewArray()
	if !bent {
		warnings.Append(jsontree.NewString("The segment twists about its own length here, so there is no fold in which flesh could be squashed."))
	}
	return jsontree.NewObject().Set("say", jsontree.NewString(r.sentence(current, candidate))).Set("rows", rows.list).
		Set("owed", vec(current)).Set("owedCandidate", vec(candidate)).Set("point", jsontree.NewInt(vertex)).Set("warnings", warnings).AppendTo(nil)
}

func (r *Room) sentence(current, candidate rigid.Vec) string {
	name := r.body.Joints[r.ask.Joint].Name
	far := quantity.Format(current.Len(), quantity.Length, 2)
	switch {
	case !r.ask.Candidate && current.Len() < 0.005:
		return name + " turns about its current pivot; nothing else is keyed."
	case !r.ask.Candidate:
		return name + " turns about its current pivot, and an animator keys " + far + " of translation beside it."
	case candidate.Len() < 0.005 && current.Len() < 0.005:
		return "Here both pivots of " + name + " lead to the same pose."
	case candidate.Len() < 0.005:
		return "About the current pivot an animator owes " + far + " of translation here; about the candidate, rotation alone is enough."
	}
	return "About the current pivot an animator owes " + far + " of translation here, about the candidate " + quantity.Format(candidate.Len(), quantity.Length, 2) + "."
}

// table is rows of words for a page.
type table struct {
	candidate bool
	list      *jsontree.Value
}

func (t *table) add(id, label string, current, candidate float64, print func(float64) string) {
	row := jsontree.NewObject().Set("id", jsontree.NewString(id)).Set("label", jsontree.NewString(label)).Set("current", jsontree.NewString(print(current)))
	if t.candidate {
		row.Set("candidate", jsontree.NewString(print(candidate))).Set("difference", jsontree.NewString(signed(print, candidate-current)))
	}
	t.list.Append(row)
}

func signed(print func(float64) string, v float64) string {
	if text := print(math.Abs(v)); text == print(0) || v >= 0 {
		if text != print(0) {
			text = "+" + text
		}
		return text
	}
	return "−" + print(-v)
}

func centimetres(digits int) func(float64) string {
	return func(v float64) string { return quantity.Format(v, quantity.Length, digits) }
}

func percent(v float64) string { return quantity.Number(100*v, 1) + "\u00a0%" }

func vec(v rigid.Vec) *jsontree.Value { return jsontree.NewNumbers(v.X, v.Y, v.Z) }
