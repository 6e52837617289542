// Package reseat is the calculator "reseat": move one joint of a skeleton and disturb nothing else.
//
// Start at Solve, or at Move for the skeleton alone. Joints are given by their world transforms at rest; out come the local values to type in, the inverse
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
	before, after, moved, warnings, err := move(v)
	if err != nil {
		return catalog.Result{}, err
	}
	order, _ := rigid.ParseOrder(v.Choices["order"])
	r := catalog.NewResult()
	r.Warnings = warnings
	r.Numbers["offset_length"] = after.world[moved].T.Sub(before.world[moved].T).Len()
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

// move reads the skeleton and moves the joint that is asked for.
func move(v catalog.Values) (before, after skeleton, joint int, warnings []catalog.Warning, err error) {
	if before, err = read(v.Tables["joints"]); err != nil {
		return
	}
	if joint, err = before.find(v.Choices["move"]); err != nil {
		return
	}
	var aim *Aim
	if v.Choices["orient"] == "aim" {
		axis, _ := rigid.ParseAxis(v.Choices["aim_axis"])
		aim = &Aim{Axis: axis, Child: before.firstChild(joint)}
	}
	after = before
	after.world, warnings = Move(before.names, before.parent, before.world, joint, rigid.Vec{X: v.Numbers["to_x"], Y: v.Numbers["to_y"], Z: v.Numbers["to_z"]}, aim)
	return before, after, joint, warnings, nil
}

// Aim says where orientations are to point after a move.
type Aim struct {
	Axis  rigid.Vec // the joints' own axis that points along the segment, of unit length
	Child int       // that the moved joint points at; −1 for none
}

// Move tells where the joints of a skeleton stand when the pivot of one goes elsewhere: all others stay. With an aim, the
// moved joint turns, by the shortest arc, so that its axis points at the child, and its parent so that it points at the moved
// joint; what has nothing to point at keeps its orientation, and a warning says so. parent is −1 for a root, world the
// transforms at rest; names serve the warnings alone.
func Move(names []string, parent []int, world []rigid.Motion, joint int, to rigid.Vec, aim *Aim) (after []rigid.Motion, warnings []catalog.Warning) {
	after = append([]rigid.Motion(nil), world...)
	after[joint].T = to
	if aim == nil {
		return after, nil
	}
	point := func(joint, target int) {
		at := after[joint]
		arc, ok := rigid.ShortestArc(at.R.Apply(aim.Axis), after[target].T.Sub(at.T))
		if !ok {
			warnings = append(warnings, catalog.Warning{Code: "no-direction", Field: "to_x", Text: "Joint " + names[joint] + " stands where it should aim, so its orientation is kept."})
			return
		}
		after[joint].R = arc.Mul(at.R)
	}
	if aim.Child >= 0 {
		point(joint, aim.Child)
	} else {
		warnings = append(warnings, catalog.Warning{Code: "no-child", Field: "orient", Text: "The moved joint has no child to aim at, so its orientation is kept."})
	}
	if p := parent[joint]; p >= 0 {
		point(p, joint)
	}
	return after, warnings
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
	reframed := rigid.Turned(turned, rigid.Identity())
	d := parent.Back(after.world[moved].T.Sub(before.world[moved].T))
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
	others := "every other joint stays where it was."
	if drift := r.Numbers["drift"]; drift >= 0.5e-6 {
		others = "no other joint leaves its place by more than " + v.Units.Format(drift, quantity.Length, 6) + "."
	}
	return "Moving " + v.Choices["move"] + " by " + v.Units.Format(r.Numbers["offset_length"], quantity.Length, 2) +
		" gives new values to " + quantity.Things(int(r.Numbers["changed"]), "joint", "joints") + "; " + others
}
