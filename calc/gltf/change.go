package gltf

import (
	"math"
	"strconv"

	"centrode/calc/affine"
	"centrode/calc/jsontree"
	"centrode/calc/quantity"
	"centrode/calc/rigid"
)

func (d *Document) member(list string, i int) *jsontree.Value { return d.root.Member(list).At(i) }

// SetTranslation moves a node in its parent's frame; its children move with it.
func (d *Document) SetTranslation(node int, v rigid.Vec) {
	n := &d.Nodes[node]
	n.Translation, n.Local.T = v, v
	if n.HasMatrix {
		d.setMatrix(node)
		return
	}
	d.member("nodes", node).Set("translation", jsontree.NewNumbers(v.X, v.Y, v.Z))
}

// SetRotation turns a node in its parent's frame. q is made of length 1; zero counts as no rotation.
func (d *Document) SetRotation(node int, q rigid.Quat) {
	n := &d.Nodes[node]
	n.Rotation, _ = q.Unit()
	n.Local = affine.FromTRS(n.Translation, n.Rotation, n.Scale)
	if n.HasMatrix {
		d.setMatrix(node)
		return
	}
	d.member("nodes", node).Set("rotation", jsontree.NewNumbers(n.Rotation.X, n.Rotation.Y, n.Rotation.Z, n.Rotation.W))
}

// SetLocal places a node in its parent's frame, in the form that the file gives it: a matrix, or translation, rotation
// and scale of which only what differs is written. A map that is sheared keeps, in the second form, the rotation and
// scale nearest to it that affine.Map.TRS finds.
func (d *Document) SetLocal(node int, m affine.Map) {
	n := &d.Nodes[node]
	t, q, s, _ := m.TRS()
	if n.HasMatrix {
		n.Local, n.Translation, n.Rotation, n.Scale = m, t, q, s
		d.setMatrix(node)
		return
	}
	if t != n.Translation {
		d.SetTranslation(node, t)
	}
	if rigid.Turned(q.Rot(), n.Rotation.Rot()) {
		d.SetRotation(node, q)
	}
	if s.Sub(n.Scale).Len() > 1e-12*s.Len() {
		n.Scale = s
		n.Local = affine.FromTRS(n.Translation, n.Rotation, n.Scale)
		d.member("nodes", node).Set("scale", jsontree.NewNumbers(s.X, s.Y, s.Z))
	}
}

func (d *Document) setMatrix(node int) {
	m := d.Nodes[node].Local.Columns()
	d.member("nodes", node).Set("matrix", jsontree.NewNumbers(m[:]...))
}

// SetFloats replaces the numbers of an accessor for all that use it: in place where they are floats that lie apart from
// all others, else as floats at the end of the first buffer. Bounds that the file gives are renewed. The list must be as
// long as Floats returns it, and finite.
func (d *Document) SetFloats(accessor int, values []float32) error {
	a := &d.Accessors[accessor]
	if want := a.Count * a.Width; len(values) != want {
		return &FormatError{itemPath(accessor), quantity.Things(len(values), "number", "numbers"), "are " + strconv.Itoa(want)}
	}
	for i, x := range values {
		if math.IsNaN(float64(x)) || math.IsInf(float64(x), 0) {
			return &FormatError{itemPath(accessor), "number " + strconv.Itoa(i) + " is not finite", "are finite numbers"}
		}
	}
	v := d.member("accessors", accessor)
	if !d.apart(accessor) {
		a.base = span{d.addView(floatBytes(values)), 0, 4 * a.Width}
		a.Component, a.Normalized, a.Sparse, a.sparse = 5126, false, false, sparse{}
		d.lone[accessor] = true
		v.Set("bufferView", jsontree.NewInt(a.base.view)).Set("componentType", jsontree.NewInt(5126))
		for _, name := range []string{"byteOffset", "normalized", "sparse"} {
			v.Remove(name)
		}
	} else {
		at := d.views[a.base.view]
		data := d.own(at.buffer).data[at.offset+a.base.offset:]
		for i := range a.Count {
			copy(data[i*a.base.stride:], floatBytes(values[i*a.Width:(i+1)*a.Width]))
		}
	}
	if v.Member("min") != nil || v.Member("max") != nil {
		setBounds(v, values, a.Width)
	}
	return nil
}

func floatBytes(values []float32) []byte {
	b := make([]byte, 0, 4*len(values))
	for _, x := range values {
		b = appendUint32(b, math.Float32bits(x))
	}
	return b
}

// setBounds writes the least and the greatest of each number of the items, digit for digit as they stand in the buffer.
func setBounds(v *jsontree.Value, values []float32, width int) {
	least, most := make([]float64, width), make([]float64, width)
	for i, x := range values {
		k := i % width
		if i < width {
			least[k], most[k] = float64(x), float64(x)
		}
		least[k], most[k] = math.Min(least[k], float64(x)), math.Max(most[k], float64(x))
	}
	v.Set("min", jsontree.NewNumbers(least...)).Set("max", jsontree.NewNumbers(most...))
}

// SetInverseBinds replaces the inverse bind matrices of a skin, one a joint. A skin that has none, or that shares them,
// gets an accessor of its own.
func (d *Document) SetInverseBinds(skin int, list []affine.Map) error {
	s := &d.Skins[skin]
	path := "skins[" + strconv.Itoa(skin) + "].inverseBindMatrices"
	if len(list) != len(s.Joints) {
		return &FormatError{path, quantity.Things(len(list), "matrix", "matrices"), "are " + strconv.Itoa(len(s.Joints)) + ", one a joint"}
	}
	values := make([]float32, 0, 16*len(list))
	for _, m := range list {
		for _, x := range m.Columns() {
			if !(math.Abs(x) <= maxLength) {
				return &FormatError{path, strconv.FormatFloat(x, 'g', -1, 64), "are numbers of size up to 1e+12"}
			}
			values = append(values, float32(x))
		}
	}
	if a := s.InverseBinds; a >= 0 && d.uses(a) == 1 && d.Accessors[a].Count == len(list) {
		return d.SetFloats(a, values)
	}
	d.use(s.InverseBinds, -1)
	s.InverseBinds = d.instead(s.InverseBinds, "MAT4", values)
	d.use(s.InverseBinds, 1)
	d.member("skins", skin).Set("inverseBindMatrices", jsontree.NewInt(s.InverseBinds))
	return nil
}
