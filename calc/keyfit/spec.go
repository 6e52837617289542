package keyfit

import (
	"centrode/calc/catalog"
	"centrode/calc/quantity"
	"centrode/calc/rigid"
)

// far bounds translations: ten kilometres.
const far = 1e6

// OrderField describes the choice of a rotation order; other calculators take the same one.
func OrderField(group string) catalog.Field {
	f := catalog.Field{ID: "order", Label: "Rotation order", Group: group, DefaultChoice: "xyz",
		Help: "The order of the turns about the parent's fixed axes: xyz means first about x, then y, then z, so R = Rz·Ry·Rx."}
	for _, name := range rigid.Orders() {
		f.Choices = append(f.Choices, catalog.Choice{ID: name, Label: name})
	}
	return f
}

// KeysTable describes the table of keys.
func KeysTable() catalog.Table {
	angle := func(id string) catalog.Column {
		return catalog.Column{ID: id, Label: "Rotate " + id[1:], Help: "Keyed rotation from rest, about the parent's " + id[1:] + " axis.", Kind: quantity.Angle, Min: -36000, Max: 36000}
	}
	shift := func(id string) catalog.Column {
		return catalog.Column{ID: id, Label: "Translate " + id[1:], Help: "Keyed translation relative to rest, in the parent's frame.", Kind: quantity.Length, Min: -far, Max: far}
	}
	return catalog.Table{ID: "keys", Label: "Keys", MinRows: 1, MaxRows: 200000,
		Help: "One row for each keyed pose: its rotation and its translation, both from rest and in the parent's frame.",
		Columns: []catalog.Column{angle("rx"), angle("ry"), angle("rz"), shift("tx"), shift("ty"), shift("tz"),
			{ID: "weight", Label: "Weight", Help: "How much the key counts; 0 to leave out a translation that was meant.", Optional: true, Default: 1, Max: 1e6}},
		Default: example()}
}

// example is an invented elbow whose pivot belongs at the offset (−0.6, −0.9, 0.2): what that offset owes at four keys,
// rounded to a hundredth as a person keys it.
func example() catalog.Rows {
	rows := [][6]float64{
		{0, 0, 30, -0.53, 0.18, 0},
		{5, 0, 75, -1.33, -0.08, 0.08},
		{-10, 10, 110, -1.58, -0.69, -0.25},
		{0, -8, 140, -1.65, -1.19, 0.09},
	}
	t := catalog.Rows{Len: len(rows), Numbers: map[string][]float64{}}
	for _, row := range rows {
		for i, id := range []string{"rx", "ry", "rz", "tx", "ty", "tz"} {
			t.Numbers[id] = append(t.Numbers[id], row[i])
		}
	}
	return t
}

// Spec implements catalog.Calculator.
func (Calculator) Spec() catalog.Spec { return spec }

// spec is built once: that costs more than most answers. Nobody may change it.
var spec = func() catalog.Spec {
	offset := func(letter string) catalog.Output {
		return catalog.Output{ID: "offset_" + letter, Label: "Offset " + letter, Help: "Candidate minus current pivot, in the parent's frame.", Kind: quantity.Length, Digits: 3}
	}
	axis := func(letter string) catalog.Output {
		return catalog.Output{ID: "axis_" + letter, Label: "Axis " + letter, Help: "Direction along which the pivot may slide; none when the keys fix a point.", Digits: 4}
	}
	left := func(letter string) catalog.Column {
		return catalog.Column{ID: "left_" + letter, Label: "Left " + letter, Kind: quantity.Length, Digits: 3}
	}
	return catalog.Spec{
		ID:      "key-fit",
		Title:   "The pivot hidden in the keys",
		Purpose: "Finds the pivot that would have spared the translation an animator keyed beside the rotation.",
		Single:  true,
		Groups:  []catalog.Group{{ID: "keys", Label: "The keys"}},
		Fields:  []catalog.Field{OrderField("keys")},
		Tables:  []catalog.Table{KeysTable()},
		Outputs: []catalog.Output{
			offset("x"), offset("y"), offset("z"),
			{ID: "before_rms", Label: "Keyed translation now", Help: "Root mean square length of the keyed translations.", Kind: quantity.Length, Digits: 3},
			{ID: "after_rms", Label: "Keyed translation left", Help: "The same after the pivot has moved: what must still be keyed.", Kind: quantity.Length, Digits: 3},
			{ID: "removed", Label: "Share removed", Help: "1 − left / now: near 1 the pivot explains the keys, near 0 it does not.", Digits: 3},
			{ID: "determined", Label: "What the keys determine", Help: "A point, a line when all keys turn about one direction, or none when no key turns.", Text: true},
			axis("x"), axis("y"), axis("z"),
			{ID: "sigma_major", Label: "Standard deviation of the offset", Help: "One standard deviation of the offset in its least certain direction, from what is left; on a line, across it.", Kind: quantity.Length, Digits: 4},
		},
		Answers: []catalog.Table{{ID: "keys", Label: "Key by key", Columns: []catalog.Column{
			{ID: "key", Label: "Key", Kind: quantity.Count},
			{ID: "before", Label: "Now", Kind: quantity.Length, Digits: 3},
			{ID: "after", Label: "Left", Kind: quantity.Length, Digits: 3}, left("x"), left("y"), left("z")}}},
		Workings: []catalog.Output{{ID: "key_count", Label: "Number of keys", Kind: quantity.Count}},
		Steps: []catalog.Step{
			{Say: "A pivot moved by d owes (I − R)d at every key; the best d owes as nearly as can be what was keyed.",
				TeX: `\min_d\ \sum_{i=1}^{\slot{key_count}} w_i\,\bigl|\,(I - R_i)\,d - t_i\,\bigr|^2`},
			{Say: "The offset of the least sum solves a linear system of three unknowns.",
				TeX: `\sum_i w_i\,(I - R_i)^{\mathsf T}(I - R_i)\;d = \sum_i w_i\,(I - R_i)^{\mathsf T}\,t_i`},
			{Say: "Its solution is the offset.", TeX: `d = (\slot{offset_x},\ \slot{offset_y},\ \slot{offset_z})\ \text{cm}`},
			{Say: "The share removed compares what is left with what was keyed.",
				TeX: `1 - \frac{\slot{after_rms}}{\slot{before_rms}} = \slot{removed}`},
		},
		Sources: []string{"ehrig2006"},
		Cautions: []string{
			"Moving a joint under existing animation changes every shot that uses it. Save the scene and the keys first, and carry the old keys over before anyone opens them.",
			"For drawn and animated characters; a moved axle on a machine is a licensed engineer's decision.",
		},
	}
}()
