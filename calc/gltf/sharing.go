package gltf

import (
	"cmp"
	"slices"
)

// uses counts where the parts of the file that are read here refer to an accessor, and once more if another program may.
func (d *Document) uses(accessor int) int {
	if d.users != nil {
		return d.users[accessor]
	}
	d.users = make([]int, len(d.Accessors))
	for _, m := range d.Meshes {
		for _, p := range m.Primitives {
			d.use(p.Indices, 1)
			for _, list := range append([][]Attribute{p.Attributes}, p.Targets...) {
				for _, a := range list {
					d.use(a.Accessor, 1)
				}
			}
		}
	}
	for _, s := range d.Skins {
		d.use(s.InverseBinds, 1)
	}
	for _, a := range d.Animations {
		for _, s := range a.Samplers {
			d.use(s.Input, 1)
			d.use(s.Output, 1)
		}
	}
	for i := range d.users {
		if d.named().has(i) {
			d.users[i]++
		}
	}
	return d.users[accessor]
}

// use counts so many users more of an accessor, −1 for none, once they are counted at all.
func (d *Document) use(accessor, more int) {
	if d.users != nil && accessor >= 0 {
		d.users[accessor] += more
	}
}

// grown adds what stands for a new accessor to a list that is there.
func grown[T any](list []T, fresh T) []T {
	if list == nil {
		return nil
	}
	return append(list, fresh)
}

// placed is the bytes from one place of a buffer to another, and the accessor whose they are.
type placed struct{ buffer, from, to, accessor int }

// apart reports whether an accessor is all floats that no other accessor's bytes touch, nor an extension of their view: one may hold
// them once more in a form of its own, as compression does, and who understands it would read those of before. Nor may another program
// name the view.
func (d *Document) apart(accessor int) bool {
	if d.lone == nil {
		d.lone = d.alone()
	}
	a := d.Accessors[accessor]
	return a.Component == 5126 && !a.Sparse && a.base.view >= 0 && d.lone[accessor] && d.member("bufferViews", a.base.view).Member("extensions") == nil && !d.named().has(a.base.view)
}

// alone says of each accessor whether no other's bytes touch its own. Bytes in the order of their first are touched by those before
// them just when the one that reaches farthest touches them.
func (d *Document) alone() []bool {
	var list []placed
	for i, a := range d.Accessors {
		form, _ := shapeOf(a.Type)
		size := form.size(a.Component)
		list = d.place(list, i, a.base, a.Count, size)
		if a.Sparse {
			list = d.place(list, i, a.sparse.values, a.sparse.count, size)
			list = d.place(list, i, a.sparse.indices, a.sparse.count, bytes(a.sparse.component))
		}
	}
	slices.SortFunc(list, func(a, b placed) int { return cmp.Or(a.buffer-b.buffer, a.from-b.from) })
	lone := make([]bool, len(d.Accessors))
	for i := range lone {
		lone[i] = true
	}
	farthest := 0
	for i, here := range list {
		last := list[farthest]
		if i > 0 && last.buffer == here.buffer && here.from < last.to && last.accessor != here.accessor {
			lone[last.accessor], lone[here.accessor] = false, false
		}
		if last.buffer != here.buffer || here.to > last.to {
			farthest = i
		}
	}
	return lone
}

// place adds the bytes of a span from its first item to the end of its last, if it has any.
func (d *Document) place(list []placed, accessor int, s span, count, size int) []placed {
	if s.view < 0 || count == 0 {
		return list
	}
	v := d.views[s.view]
	from := v.offset + s.offset
	return append(list, placed{v.buffer, from, from + (count-1)*s.stride + size, accessor})
}
