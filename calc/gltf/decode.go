package gltf

import (
	"math"

	"centrode/calc/affine"
)

// Floats returns the numbers of an accessor, Width an item, matrices column by column: whole numbers that are
// normalised as the fractions they stand for, sparse items in their places. nil for -1.
func (d *Document) Floats(accessor int) []float32 {
	if accessor < 0 {
		return nil
	}
	a := &d.Accessors[accessor]
	return gather(d, a, floatReader(a.Component, a.Normalized))
}

// Uints returns the whole numbers of an accessor as they are stored; floats are cut off, negative numbers become 0. nil
// for -1.
func (d *Document) Uints(accessor int) []uint32 {
	if accessor < 0 {
		return nil
	}
	a := &d.Accessors[accessor]
	return gather(d, a, uintReader(a.Component))
}

// InverseBinds returns the inverse bind matrices of a skin, one a joint: what takes a point of the mesh into the joint's
// frame at rest. Without an accessor they are the identity.
func (d *Document) InverseBinds(skin int) []affine.Map {
	s := d.Skins[skin]
	list := make([]affine.Map, len(s.Joints))
	numbers := d.Floats(s.InverseBinds)
	for i := range list {
		list[i] = affine.Identity()
		if numbers != nil {
			list[i] = affine.FromColumns([16]float64(widen(numbers[16*i : 16*i+16])))
		}
	}
	return list
}

func widen(list []float32) []float64 {
	wide := make([]float64, len(list))
	for i, x := range list {
		wide[i] = float64(x)
	}
	return wide
}

// gather reads all items with one reader of components.
func gather[T float32 | uint32](d *Document, a *Accessor, read func([]byte) T) []T {
	form, _ := shapeOf(a.Type)
	out := make([]T, a.Count*a.Width)
	if a.base.view >= 0 {
		data := d.viewBytes(a.base.view)[a.base.offset:]
		for i := range a.Count {
			item(out[i*a.Width:], data[i*a.base.stride:], form, a.Component, read)
		}
	}
	if a.Sparse {
		data := d.viewBytes(a.sparse.values.view)[a.sparse.values.offset:]
		for i, n := range d.sparsePlaces(a) {
			item(out[int(n)*a.Width:], data[i*a.sparse.values.stride:], form, a.Component, read)
		}
	}
	return out
}

// item reads one item.
func item[T any](out []T, data []byte, form shape, component int, read func([]byte) T) {
	step, column := bytes(component), form.column(component)
	for c := range form.columns {
		for row := range form.rows {
			out[c*form.rows+row] = read(data[c*column+row*step:])
		}
	}
}

func (d *Document) sparsePlaces(a *Accessor) []uint32 {
	s := a.sparse
	out, read := make([]uint32, s.count), uintReader(s.component)
	data := d.viewBytes(s.indices.view)[s.indices.offset:]
	for i := range out {
		out[i] = read(data[i*s.indices.stride:])
	}
	return out
}

// infinite is the first item of a span of floats that is not finite, or -1.
func (d *Document) infinite(a *Accessor, s span, count int) int {
	if s.view < 0 || count == 0 {
		return -1
	}
	data := d.viewBytes(s.view)[s.offset:]
	for i := range count {
		at := data[i*s.stride:]
		for j := range a.Width {
			if uint32At(at[4*j:])&0x7f800000 == 0x7f800000 { // all bits of the exponent: infinite or no number
				return i
			}
		}
	}
	return -1
}

func floatReader(component int, normalized bool) func([]byte) float32 {
	scale := float32(1)
	switch component {
	case 5126:
		return func(b []byte) float32 { return math.Float32frombits(uint32At(b)) }
	case 5120:
		if normalized {
			return func(b []byte) float32 { return max(float32(int8(b[0]))/127, -1) }
		}
		return func(b []byte) float32 { return float32(int8(b[0])) }
	case 5122:
		if normalized {
			return func(b []byte) float32 { return max(float32(int16(uint16At(b)))/32767, -1) }
		}
		return func(b []byte) float32 { return float32(int16(uint16At(b))) }
	case 5121:
		if normalized {
			scale = 255
		}
		return func(b []byte) float32 { return float32(b[0]) / scale }
	case 5123:
		if normalized {
			scale = 65535
		}
		return func(b []byte) float32 { return float32(uint16At(b)) / scale }
	}
	return func(b []byte) float32 { return float32(uint32At(b)) }
}

func uintReader(component int) func([]byte) uint32 {
	switch component {
	case 5121:
		return func(b []byte) uint32 { return uint32(b[0]) }
	case 5123:
		return func(b []byte) uint32 { return uint32(uint16At(b)) }
	case 5125:
		return uint32At
	}
	read := floatReader(component, false)
	return func(b []byte) uint32 { return uint32(max(read(b), 0)) }
}
