// Package reseat is the calculator "reseat": move one joint of a skeleton and disturb nothing else.
//
// Start at Solve. Joints are given by their world transforms at rest; out come the local values to type in, the inverse
// bind matrices that keep painted weights valid, and, with keys, the translation that reproduces old animation about
// the new pivot. Any one unit of length. Scale and shear are not covered: joints are rigid here.
package reseat

import (
	"math"

	"centrode/calc/catalog"
	"centrode/calc/keyfit"
	"centrode/calc/quantity"
	"centrode/calc/rigid"
)

// Calculator is the catalogue's entry "reseat".
type Calculator struct{}

// Solve implements catalog.Calculator.
func (Calculator) Solve(v catalog.Values) (catalog.Result, error) {
	before, err := read(v.Tables["joints"])
	if err != nil {
		return catalog.Result{}, err
	}
	moved, err := before.find(v.Choices["move"])
	if err != nil {
		return catalog.Result{}, err
	}
	to := rigid.Vec{X: v.Numbers["to_x"], Y: v.Numbers["to_y"], Z: v.Numbers["to_z"]}
	order, _ := rigid.ParseOrder(v.Choices["order"])
	aim, _ := rigid.ParseAxis(v.Choices["aim_axis"])
	r := catalog.NewResult()
	after := before.move(moved, to)
	if v.Choices["orient"] == "aim" {
		after.aim(moved, aim, &r)
	}
	r.Numbers["offset_length"] = to.Sub(before.world[moved].T).Len()
	r.Tables["joints"] = after.table(before, order)
	r.Numbers["drift"] = drift(before, after, moved)
	for _, changed := range r.Tables["joints"].Numbers["changed"] {
		r.Numbers["changed"] += changed
	}
	if keys, ok := v.Tables["keys"]; ok && keys.Len > 0 {
		r.Tables["keys"] = carry(keys, order, before, after, moved)
	}
	return r, nil
}

// move returns a copy of the skeleton with one joint's pivot put elsewhere.
func (s skeleton) move(joint int, to rigid.Vec) skeleton {
	c := s
	c.world = append([]rigid.Motion(nil), s.world...)
	c.world[joint].T = to
	return c
}

// aim turns the moved joint, by the shortest arc, so that its aim axis points at its first child, and its parent so that it
// points at the moved joint.
func (s skeleton) aim(joint int, axis rigid.Vec, r *catalog.Result) {
	if child := s.firstChild(joint); child >= 0 {
		s.point(joint, s.world[child].T, axis, r)
	} else {
		r.Warn("no-child", "orient", "The moved joint has no child to aim at, so its orientation is kept.")
	}
	if parent := s.parent[joint]; parent >= 0 {
		s.point(parent, s.world[joint].T, axis, r)
	}
}

func (s skeleton) point(joint int, target rigid.Vec, axis rigid.Vec, r *catalog.Result) {
	at := s.world[joint]
	arc, ok := rigid.ShortestArc(at.R.Apply(axis), target.Sub(at.T))
	if !ok {
		r.Warn("no-direction", "to_x", "Joint "+s.names[joint]+" stands where it should aim, so its orientation is kept.")
		return
	}
	s.world[joint].R = arc.Mul(at.R)
}

// drift is the largest distance that any joint's rest position, other than the moved one's, differs from before when the
// skeleton is put together again from the local values that are printed.
func drift(before, after skeleton, moved int) float64 {
	worst := 0.0
	for i, m := range after.rebuilt() {
		if i != moved {
			worst = math.Max(worst, m.T.Sub(before.world[i].T).Len())
		}
	}
	return worst
}

// carry rewrites the moved joint's keys: t' = t − (I − R)·d, with d the offset in the parent's frame. When the parent was
// aimed anew, rotation and translation are given in its new frame.
func carry(rows catalog.Rows, order rigid.Order, before, after skeleton, moved int) catalog.Rows {
	parent, turned := rigid.Identity(), rigid.Identity()
	if p := before.parent[moved]; p >= 0 {
		parent = before.world[p].R
		turned = after.world[p].R.Transpose().Mul(parent) // old parent frame to new
	}
	reframed := differs(rigid.Motion{R: turned}, rigid.Motion{R: rigid.Identity()})
	d := parent.Transpose().Apply(after.world[moved].T.Sub(before.world[moved].T))
	t := catalog.Rows{Len: rows.Len, Numbers: map[string][]float64{}}
	for i, k := range keyfit.Read(rows, order) {
		kept := turned.Apply(k.T.Sub(d.Sub(k.R.Apply(d))))
		// Where the parent's frame is the old one, the keyed angles stand as they were typed: another triple of the same
		// rotation would break the curves between keys.
		angles := rigid.Vec{X: rows.Numbers["rx"][i], Y: rows.Numbers["ry"][i], Z: rows.Numbers["rz"][i]}
		if reframed {
			angles = order.Angles(turned.Mul(k.R).Mul(turned.Transpose())).Scale(180 / math.Pi)
		}
		for id, x := range map[string]float64{"rx": angles.X, "ry": angles.Y, "rz": angles.Z, "tx": kept.X, "ty": kept.Y, "tz": kept.Z} {
			t.Numbers[id] = append(t.Numbers[id], x)
		}
	}
	return t
}

// Say implements catalog.Calculator.
func (Calculator) Say(v catalog.Values, r catalog.Result) string {
	joints := " joints"
	if r.Numbers["changed"] == 1 {
		joints = " joint"
	}
	others := "every other joint stays where it was."
	if drift := r.Numbers["drift"]; drift >= 0.5e-6 {
		others = "no other joint leaves its place by more than " + quantity.Format(drift, quantity.Length, 6) + "."
	}
	return "Moving " + v.Choices["move"] + " by " + quantity.Format(r.Numbers["offset_length"], quantity.Length, 2) +
		" gives new values to " + quantity.Number(r.Numbers["changed"], 0) + joints + "; " + others
}
