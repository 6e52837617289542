package hingeplane

import (
	"centrode/calc/catalog"
	"centrode/calc/keyfit"
	"centrode/calc/quantity"
	"centrode/calc/rigid"
)

const far = 1e6 // ten kilometres

// AxisField describes the choice of one of a joint's own axes; reseat takes the same one.
func AxisField(id, label, group, initial, help string) catalog.Field {
	f := catalog.Field{ID: id, Label: label, Help: help, Group: group, DefaultChoice: initial}
	for _, name := range rigid.SignedAxes() {
		f.Choices = append(f.Choices, catalog.Choice{ID: name, Label: name})
	}
	return f
}

// OrientationColumns are the columns of a quaternion and three angles in an answer table.
func OrientationColumns() []catalog.Column {
	var columns []catalog.Column
	for _, id := range []string{"qx", "qy", "qz", "qw"} {
		columns = append(columns, catalog.Column{ID: id, Label: id, Digits: 5})
	}
	for _, id := range []string{"rx", "ry", "rz"} {
		columns = append(columns, catalog.Column{ID: id, Label: "Rotate " + id[1:], Kind: quantity.Angle, Digits: 2})
	}
	return columns
}

// Spec implements catalog.Calculator.
func (Calculator) Spec() catalog.Spec { return spec }

// spec is built once: that costs more than most answers. Nobody may change it.
var spec = func() catalog.Spec {
	coordinate := func(id string) catalog.Column {
		return catalog.Column{ID: id, Label: id, Help: "Coordinate of the point.", Kind: quantity.Length, Min: -far, Max: far}
	}
	normal := func(letter string) catalog.Output {
		return catalog.Output{ID: "normal_" + letter, Label: "Axis " + letter, Help: "Common axis of the bends in the world, of unit length; bends are positive about it.", Digits: 4}
	}
	joints := append([]catalog.Column{{ID: "point", Label: "Point", Kind: quantity.Count}, {ID: "bend", Label: "Bend", Help: "0 when straight.", Kind: quantity.Angle, Digits: 2}},
		append(OrientationColumns(), catalog.Column{ID: "gimbal", Label: "From the singular angle", Help: "How far the middle angle of the rotation order is from ±90°, where two of the channels turn about one line.", Kind: quantity.Angle, Digits: 1})...)
	return catalog.Spec{
		ID:      "hinge-plane",
		Title:   "Axis, plane and orientation of a bend",
		Purpose: "Finds the common axis of a bent chain, how flat it is, and the orientation that makes each joint a clean hinge.",
		Single:  true,
		Groups:  []catalog.Group{{ID: "axes", Label: "How the joints are built"}},
		Fields: []catalog.Field{
			AxisField("aim_axis", "Aim axis", "axes", "+x", "The joint's own axis that points along the segment."),
			AxisField("hinge_axis", "Hinge axis", "axes", "+z", "The joint's own axis about which it bends; perpendicular to the aim axis."),
			keyfit.OrderField("axes"),
		},
		Tables: []catalog.Table{{ID: "points", Label: "Points in the order of the chain", MinRows: 3, MaxRows: 64,
			Help:    "World positions from root to tip, for instance shoulder, elbow, wrist. A clearly bent pose shows the axis; a straight one hides it.",
			Columns: []catalog.Column{coordinate("x"), coordinate("y"), coordinate("z")},
			Default: catalog.Rows{Len: 4, Numbers: map[string][]float64{"x": {0, 8.2, 12.9, 15.6}, "y": {0, -0.6, -2.4, -4.4}, "z": {0, 0.1, 0.4, 0.5}}}}},
		Outputs: []catalog.Output{normal("x"), normal("y"), normal("z"),
			{ID: "offplane_rms", Label: "Out of plane", Help: "Root mean square distance of the points from the plane that fits them best; always 0 for three points.", Kind: quantity.Length, Digits: 4},
			{ID: "offplane_max", Label: "Farthest out of plane", Help: "Greatest distance of a point from that plane.", Kind: quantity.Length, Digits: 4},
		},
		Answers:  []catalog.Table{{ID: "joints", Label: "Orientation of each interior joint", Columns: joints}},
		Workings: []catalog.Output{{ID: "bend_total", Label: "Sum of the bends", Kind: quantity.Angle, Digits: 1}},
		Steps: []catalog.Step{
			{Say: "The axis lies along the sum of the cross products of successive segments.",
				TeX: `n = \frac{\sum_i s_{i} \times s_{i+1}}{\bigl|\sum_i s_{i} \times s_{i+1}\bigr|} = (\slot{normal_x},\ \slot{normal_y},\ \slot{normal_z})`},
			{Say: "Each bend is the angle between its two segments; they add up.",
				TeX: `\sum_i \operatorname{atan2}\bigl(|s_i \times s_{i+1}|,\ s_i \cdot s_{i+1}\bigr) = \slot{bend_total}^\circ`},
			{Say: "The plane that fits best goes through the mean of the points, square to the direction m in which they spread least. So far from it is the worst of them.",
				TeX: `\max_i\,\bigl|\,m \cdot (x_i - \bar x)\,\bigr| = \slot{offplane_max}\ \text{cm}`},
			{Say: "The hinge axis of a joint is the common axis made perpendicular to the outgoing segment, whose direction is u.",
				TeX: `h_i = \frac{n - (n \cdot u_i)\,u_i}{|n - (n \cdot u_i)\,u_i|},\qquad u_i = \frac{s_{i+1}}{|s_{i+1}|}`},
		},
		Sources:  []string{"craig2005", "diebel2006"},
		Cautions: []string{"Orienting a joint again under existing animation changes what its keys mean. Save the file and the keys first."},
	}
}()
