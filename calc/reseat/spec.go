package reseat

import (
	"strconv"

	"centrode/calc/catalog"
	"centrode/calc/hingeplane"
	"centrode/calc/keyfit"
	"centrode/calc/quantity"
)

const far = 1e6 // ten kilometres

// Spec implements catalog.Calculator.
func (Calculator) Spec() catalog.Spec { return spec }

// spec is built once: that costs more than most answers. Nobody may change it.
var spec = func() catalog.Spec {
	keys := keyfit.KeysTable()
	keys.Optional, keys.MinRows, keys.Default = true, 0, catalog.Rows{}
	keys.Help = "Existing keys of the moved joint, if there are any: rotation and translation, both from rest and in the parent's frame."
	to := func(letter string, initial float64) catalog.Field {
		return catalog.Field{ID: "to_" + letter, Label: "New " + letter, Help: "World position of the candidate pivot.", Group: "move",
			Kind: quantity.Length, Default: initial, Min: -far, Max: far, SlideMin: initial - 10, SlideMax: initial + 10, Step: 0.1}
	}
	return catalog.Spec{
		ID:      "reseat",
		Title:   "Move one joint, disturb nothing else",
		Purpose: "Computes the values to type in when one joint's pivot moves, so that children stay, weights stay valid and old keys carry over.",
		Single:  true,
		Groups:  []catalog.Group{{ID: "move", Label: "The move"}, {ID: "orient", Label: "Orientation afterwards"}},
		Fields: []catalog.Field{
			{ID: "move", Label: "Joint to move", Help: "Its name, as it stands in the table of joints.", Group: "move", Free: true, DefaultChoice: "elbow"},
			to("x", 27.4), to("y", 141.2), to("z", -1.6),
			{ID: "orient", Label: "Orientation", Group: "orient", DefaultChoice: "keep",
				Help:    "Keep: every world orientation stays. Aim: the moved joint turns to point at its first child, and its parent to point at the moved joint.",
				Choices: []catalog.Choice{{ID: "keep", Label: "keep"}, {ID: "aim", Label: "aim"}}},
			hingeplane.AxisField("aim_axis", "Aim axis", "orient", "+x", "The joints' own axis that points along the segment."),
			keyfit.OrderField("orient"),
		},
		Tables: []catalog.Table{jointTable(), keys},
		Outputs: []catalog.Output{
			{ID: "offset_length", Label: "Distance moved", Help: "From the current pivot to the candidate.", Kind: quantity.Length, Digits: 3},
			{ID: "changed", Label: "Joints with new values", Help: "How many joints need new local values or a new inverse bind matrix.", Kind: quantity.Count},
			{ID: "drift", Label: "Drift", Help: "Farthest that any other joint has left its place in the world, when the skeleton is put together again from the values below; nought when all is well.", Kind: quantity.Length, Digits: 6},
		},
		Answers: []catalog.Table{answerTable(), {ID: "keys", Label: "Keys about the new pivot", Columns: keyColumns(keys)}},
		Steps: []catalog.Step{
			{Say: "The joint's world transform is taken to the new place; every other one is kept, but for what is aimed anew.",
				TeX: `W'_j = \begin{pmatrix} R_j & p' \\ 0 & 1 \end{pmatrix},\qquad |p' - p| = \slot{offset_length}\ \text{cm}`},
			{Say: "Local values follow from the parent's world transform, for the joint itself and for its children.",
				TeX: `L_j = W_{\text{parent}}^{-1}\,W_j`},
			{Say: "The inverse bind matrix is computed again, so painted weights still find the rest surface.",
				TeX: `B_j = W_j^{-1}`},
			{Say: "An old key turns about the new pivot, with the translation that brings the segment back where it was.",
				TeX: `t' = t - (I - R)\,d`},
		},
		Sources: []string{"gltf2"},
		Cautions: []string{
			"Save the file, the painted weights and the keys before you move a joint: a joint moved while skin is attached drags the skin, and a moved parent drags its children.",
			"For drawn and animated characters; a moved axle on a machine, puppet or worn device is a licensed engineer's decision.",
		},
	}
}()

func jointTable() catalog.Table {
	number := func(id, help string, kind quantity.Kind) catalog.Column {
		return catalog.Column{ID: id, Label: id, Help: help, Kind: kind, Min: -far, Max: far}
	}
	columns := []catalog.Column{
		{ID: "name", Label: "Joint", Help: "A name that no other joint has.", Text: true},
		{ID: "parent", Label: "Parent", Help: "Name of the parent; empty for a root.", Text: true, Optional: true},
	}
	for _, id := range []string{"x", "y", "z"} {
		columns = append(columns, number(id, "World position at rest.", quantity.Length))
	}
	for _, id := range []string{"qx", "qy", "qz", "qw"} {
		c := number(id, "World orientation at rest, a quaternion written x, y, z, w.", quantity.Ratio)
		c.Optional = true
		if id == "qw" {
			c.Default = 1
		}
		columns = append(columns, c)
	}
	return catalog.Table{ID: "joints", Label: "Joints, world transforms at rest", MinRows: 1, MaxRows: 20000,
		Help: "One row for each joint. Leave the orientation out for joints that are aligned with the world.", Columns: columns, Default: example()}
}

func answerTable() catalog.Table {
	columns := []catalog.Column{{ID: "name", Label: "Joint", Text: true, Named: true}}
	for _, id := range []string{"tx", "ty", "tz"} {
		columns = append(columns, catalog.Column{ID: id, Label: "Translate " + id[1:], Kind: quantity.Length, Digits: 4})
	}
	columns = append(columns, hingeplane.OrientationColumns()...)
	for k := range 16 {
		columns = append(columns, catalog.Column{ID: "m" + strconv.Itoa(k), Label: "m" + strconv.Itoa(k), Digits: 5})
	}
	columns = append(columns, catalog.Column{ID: "changed", Label: "Changed", Kind: quantity.Count})
	return catalog.Table{ID: "joints", Label: "Values to type in: local translation and rotation, inverse bind matrix", Columns: columns}
}

func keyColumns(keys catalog.Table) []catalog.Column {
	var columns []catalog.Column
	for _, c := range keys.Columns {
		if c.ID != "weight" {
			columns = append(columns, catalog.Column{ID: c.ID, Label: c.Label, Kind: c.Kind, Digits: 4})
		}
	}
	return columns
}

// example is the invented left arm of Odalys Brine.
func example() catalog.Rows {
	return catalog.Rows{Len: 4,
		Texts: map[string][]string{"name": {"shoulder", "elbow", "wrist", "hand"}, "parent": {"", "shoulder", "elbow", "wrist"}},
		Numbers: map[string][]float64{
			"x": {0, 27, 51, 60}, "y": {142, 141, 140.5, 140.2}, "z": {0, -1, 0.5, 1},
			"qx": {0, 0, 0, 0}, "qy": {0, 0, 0, 0}, "qz": {0, 0, 0, 0}, "qw": {1, 1, 1, 1},
		}}
}
