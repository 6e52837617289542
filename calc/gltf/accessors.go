package gltf

import (
	"strconv"

	"centrode/calc/jsontree"
	"centrode/calc/quantity"
	"centrode/calc/spell"
)

// span is where the items of an accessor lie; view is -1 for zeros.
type span struct{ view, offset, stride int }

// sparse is what replaces some items.
type sparse struct {
	count, component int
	indices, values  span
}

// shape is the form of one item.
type shape struct{ rows, columns int }

func typeNames() []string { return []string{"SCALAR", "VEC2", "VEC3", "VEC4", "MAT2", "MAT3", "MAT4"} }

// shapeOf is the form of a type's items; ok is false for a word that is no type.
func shapeOf(name string) (s shape, ok bool) {
	for i, known := range typeNames() {
		if known == name {
			if i < 4 {
				return shape{i + 1, 1}, true
			}
			return shape{i - 2, i - 2}, true
		}
	}
	return shape{}, false
}

// bytes is the size of a component.
func bytes(component int) int {
	switch component {
	case 5120, 5121:
		return 1
	case 5122, 5123:
		return 2
	case 5125, 5126:
		return 4
	}
	return 0
}

// column is the bytes from one column of an item to the next: columns of matrices begin at multiples of four.
func (s shape) column(component int) int {
	n := s.rows * bytes(component)
	if s.columns > 1 {
		n = (n + 3) &^ 3
	}
	return n
}

func (s shape) size(component int) int { return s.columns * s.column(component) }

func (r *reader) readAccessors() {
	list := r.root.member("accessors")
	r.doc.Accessors = make([]Accessor, 0, r.size(list))
	for i := range r.size(list) {
		p := list.item(i)
		if !r.object(p) {
			return
		}
		a := r.accessor(p)
		if r.err != nil {
			return
		}
		r.doc.Accessors = append(r.doc.Accessors, a)
		r.settled(p, &r.doc.Accessors[i])
	}
}

func (r *reader) accessor(p *place) Accessor {
	a := Accessor{Type: r.text(p.member("type")), Component: r.component(p.member("componentType"))}
	form, ok := shapeOf(a.Type)
	if !ok {
		at := p.member("type")
		r.refuse(at, at.given(), "is SCALAR, VEC2, VEC3, VEC4, MAT2, MAT3 or MAT4"+spell.Offer(a.Type, typeNames()))
	}
	a.Count = r.whole(p.member("count"), 0, 1, maxNumbers)
	a.Width = form.rows * form.columns
	a.Normalized = r.flag(p.member("normalized"))
	if a.Normalized && (a.Component == 5125 || a.Component == 5126) {
		r.refuse(p.member("normalized"), "true", "is true for whole numbers of 8 and 16 bits alone")
	}
	a.base.view = r.index(p.member("bufferView"), len(r.doc.views), "bufferViews")
	if r.err == nil && a.base.view >= 0 {
		a.base = r.span(p, p.member("count"), a.base.view, a.Count, a.Component, form, true)
	}
	if s := p.member("sparse"); r.err == nil && r.has(s) {
		a.Sparse, a.sparse = true, r.sparse(s, a, form)
	}
	r.budget(p.member("count"), a)
	return a
}

func (r *reader) flag(p *place) bool {
	if k := p.v.Kind(); k != jsontree.Missing && k != jsontree.Bool {
		r.refuse(p, p.given(), "is true or false")
	}
	return p.v.True()
}

func (r *reader) component(p *place) int {
	n := r.whole(p, 0, 1, 1<<16)
	if bytes(n) == 0 {
		r.refuse(p, p.given(), "is 5120, 5121, 5122, 5123, 5125 or 5126")
	}
	return n
}

// span checks that count items lie within the view. blame is what a message names when they do not.
func (r *reader) span(p, blame *place, index, count, component int, form shape, strided bool) span {
	v, size := r.doc.views[index], form.size(component)
	s := span{view: index, offset: r.whole(p.member("byteOffset"), 0, 0, v.length), stride: size}
	if v.stride > 0 {
		s.stride = v.stride
		if !strided || v.stride < size {
			r.refuse(p.member("bufferView"), "a view with a stride of "+strconv.Itoa(v.stride)+" bytes",
				"is one whose stride is at least "+quantity.Things(size, "byte", "bytes")+", the size of an item, and none for sparse data")
		}
	}
	if unit := bytes(component); unit > 0 && (s.offset%unit != 0 || (v.offset+s.offset)%unit != 0) {
		r.refuse(p.member("byteOffset"), strconv.Itoa(v.offset+s.offset)+" with that of the view", "is a multiple of the "+strconv.Itoa(unit)+" bytes of a number")
	}
	if room := v.length - s.offset - size; r.err == nil && (room < 0 || s.stride > 0 && (count-1) > room/s.stride) {
		most := 0
		if room >= 0 {
			most = room/s.stride + 1
		}
		r.refuse(blame, strconv.Itoa(count), "are at most "+strconv.Itoa(most)+", as many as the bytes hold")
	}
	return s
}

func (r *reader) sparse(p *place, a Accessor, form shape) sparse {
	s := sparse{count: r.whole(p.member("count"), 0, 1, a.Count)}
	indices, values := p.member("indices"), p.member("values")
	if !r.object(indices) || !r.object(values) {
		return s
	}
	s.component = r.component(indices.member("componentType"))
	if s.component%2 == 0 { // 5121, 5123 and 5125 are the unsigned ones, and 5126 no whole number
		r.refuse(indices.member("componentType"), strconv.Itoa(s.component), "is 5121, 5123 or 5125")
	}
	for _, part := range []struct {
		at        *place
		component int
		form      shape
		to        *span
	}{{indices, s.component, shape{1, 1}, &s.indices}, {values, a.Component, form, &s.values}} {
		index := r.must(part.at.member("bufferView"), len(r.doc.views), "bufferViews")
		if r.err != nil {
			return s
		}
		*part.to = r.span(part.at, p.member("count"), index, s.count, part.component, part.form, false)
	}
	return s
}

// budget keeps the sum of all accessors within the limits.
func (r *reader) budget(p *place, a Accessor) {
	if r.err != nil {
		return
	}
	n := a.Count * a.Width // at most 2³¹
	r.spend(p, &r.numbers, n, maxNumbers, "numbers in all accessors")
	if a.base.view >= 0 {
		return
	}
	r.unbacked += n
	if n > maxUnbacked || r.unbacked > maxUnbackedAll {
		r.refuse(p, strconv.Itoa(a.Count)+" items without bytes of their own", "are at most "+strconv.Itoa(maxUnbacked/a.Width)+", and fewer where there are many such accessors")
	}
}

// settled checks the values: that numbers are finite, and that the places of sparse items rise.
func (r *reader) settled(p *place, a *Accessor) {
	if a.Sparse {
		last := -1
		for i, n := range r.doc.sparsePlaces(a) {
			if int(n) <= last || int64(n) >= int64(a.Count) {
				r.refuse(p.member("sparse").member("indices"), "item "+strconv.Itoa(i)+" is "+strconv.FormatUint(uint64(n), 10),
					"are rising numbers below "+strconv.Itoa(a.Count))
				return
			}
			last = int(n)
		}
	}
	if a.Component != 5126 {
		return
	}
	if i := r.doc.infinite(a, a.base, a.Count); i >= 0 {
		r.refuse(p, "item "+strconv.Itoa(i)+" is no finite number", "are finite numbers")
	}
	if i := r.doc.infinite(a, a.sparse.values, a.sparse.count); a.Sparse && i >= 0 {
		r.refuse(p.member("sparse").member("values"), "item "+strconv.Itoa(i)+" is no finite number", "are finite numbers")
	}
}
