package gltf

import (
	"slices"
	"strconv"
	"strings"

	"centrode/calc/jsontree"
	"centrode/calc/quantity"
)

func (r *reader) readMeshes() {
	list := r.root.member("meshes")
	for i := range r.size(list) {
		p := list.item(i)
		if !r.object(p) {
			return
		}
		m := Mesh{Name: r.text(p.member("name"))}
		parts := p.member("primitives")
		if r.size(parts) == 0 {
			r.refuse(parts, parts.given(), "is a list of at least one primitive")
		}
		for j := range r.size(parts) {
			m.Primitives = append(m.Primitives, r.primitive(parts.item(j)))
		}
		if r.err != nil {
			return
		}
		r.targets(p, &m)
		r.doc.Meshes = append(r.doc.Meshes, m)
	}
}

func (r *reader) primitive(p *place) Primitive {
	part := Primitive{Mode: 4, Indices: -1, Material: -1}
	if !r.object(p) {
		return part
	}
	part.Mode = r.whole(p.member("mode"), 4, 0, 6)
	part.Material = r.index(p.member("material"), r.root.v.Member("materials").Len(), "materials")
	attributes := p.member("attributes")
	if r.object(attributes) {
		part.Attributes = r.attributes(attributes)
	}
	r.packed(p.member("extensions").member("KHR_draco_mesh_compression"), part)
	r.sets(attributes, part)
	count := r.count(part)
	r.spend(attributes, &r.vertices, count, maxVertices, "vertices in all primitives")
	if part.Indices = r.index(p.member("indices"), len(r.doc.Accessors), "accessors"); part.Indices >= 0 && r.err == nil {
		r.indices(p.member("indices"), part.Indices, count)
	}
	list := p.member("targets")
	if r.size(list) > maxTargets {
		r.refuse(list, strconv.Itoa(r.size(list)), "are at most "+strconv.Itoa(maxTargets))
	}
	r.spend(list, &r.moved, count*r.size(list), maxMoved, "vertices in all morph targets")
	for i := range r.size(list) {
		at := list.item(i)
		if !r.object(at) {
			break
		}
		target := r.attributes(at)
		for _, a := range target {
			if n := r.doc.Accessors[a.Accessor].Count; n != count {
				r.refuse(at.member(a.Name), quantity.Things(n, "item", "items"), "are "+strconv.Itoa(count)+", as many as the vertices")
				return part
			}
		}
		part.Targets = append(part.Targets, target)
	}
	return part
}

// packed refuses a primitive whose places are compressed and nowhere else, which some files do not say they require: they would all be 0.
func (r *reader) packed(p *place, part Primitive) {
	at := part.Attribute("POSITION")
	if r.err != nil || p.v == nil || at < 0 {
		return
	}
	if a := r.doc.Accessors[at]; a.base.view < 0 && !a.Sparse {
		r.refuse(p, "places that are compressed and nowhere else, which cannot be read here", "is a file saved without it")
	}
}

// count is the number of vertices of a primitive; its attributes have been checked to agree.
func (r *reader) count(p Primitive) int {
	if len(p.Attributes) == 0 || r.err != nil {
		return 0
	}
	return r.doc.Accessors[p.Attributes[0].Accessor].Count
}

// attributes reads a list of accessors by name and checks the forms of those that are used here.
func (r *reader) attributes(p *place) []Attribute {
	var list []Attribute
	for i := range p.v.Len() {
		a := Attribute{Name: p.v.Name(i)}
		at := &place{p.v.At(i), p, a.Name, 0} // and no search by name: there may be many
		a.Accessor = r.must(at, len(r.doc.Accessors), "accessors")
		if r.err != nil {
			return nil
		}
		r.form(at, a)
		if first := r.doc.Accessors[a.Accessor].Count; len(list) > 0 && first != r.doc.Accessors[list[0].Accessor].Count {
			r.refuse(at, quantity.Things(first, "item", "items"), "are as many as the "+strconv.Itoa(r.doc.Accessors[list[0].Accessor].Count)+" of "+short(list[0].Name))
		}
		list = append(list, a)
	}
	return list
}

func (r *reader) form(p *place, a Attribute) {
	acc := r.doc.Accessors[a.Accessor]
	fits, want := true, ""
	switch {
	case a.Name == "POSITION" || a.Name == "NORMAL":
		fits, want = acc.Type == "VEC3" && acc.Component != 5125, "is VEC3 of floats, or of whole numbers of 8 or 16 bits"
	case strings.HasPrefix(a.Name, "JOINTS_"):
		fits, want = acc.Type == "VEC4" && (acc.Component == 5121 || acc.Component == 5123) && !acc.Normalized, "is VEC4 of unsigned whole numbers of 8 or 16 bits"
	case strings.HasPrefix(a.Name, "WEIGHTS_"):
		fits = acc.Type == "VEC4" && (acc.Component == 5126 || acc.Normalized && (acc.Component == 5121 || acc.Component == 5123))
		want = "is VEC4 of floats, or of normalised unsigned numbers of 8 or 16 bits"
	}
	if !fits {
		r.refuse(p, acc.form(), want)
	} else if a.Name == "POSITION" {
		r.sized(p, a.Accessor)
	}
}

// form tells what an accessor holds, for messages.
func (a Accessor) form() string {
	text := a.Type + " of component type " + strconv.Itoa(a.Component)
	if a.Normalized {
		text += ", normalised"
	}
	return text
}

// once reports whether the question about an accessor is asked for the first time: many may share one.
func (r *reader) once(question string, accessor int) bool {
	key := question + strconv.Itoa(accessor)
	_, asked := r.memo[key]
	r.memo[key] = 0
	return !asked
}

// sized checks that lengths can be computed with.
func (r *reader) sized(p *place, accessor int) {
	if r.err != nil || !r.once("length ", accessor) {
		return
	}
	for i, x := range r.doc.Floats(accessor) {
		if x > maxLength || x < -maxLength {
			r.refuse(p, "item "+strconv.Itoa(i/r.doc.Accessors[accessor].Width)+" holds "+strconv.FormatFloat(float64(x), 'g', -1, 32), "is a size up to 1e+12")
			return
		}
	}
}

// largest is the largest whole number of an accessor.
func (r *reader) largest(accessor int) int {
	key := "largest " + strconv.Itoa(accessor)
	if n, ok := r.memo[key]; ok {
		return n
	}
	n := int(slices.Max(r.doc.Uints(accessor)))
	r.memo[key] = n
	return n
}

func (r *reader) indices(p *place, accessor, count int) {
	a := r.doc.Accessors[accessor]
	if a.Type != "SCALAR" || a.Component%2 == 0 || a.Normalized {
		r.refuse(p, a.form(), "is SCALAR of unsigned whole numbers")
		return
	}
	r.spend(p, &r.corners, a.Count, maxCorners, "indices in all primitives")
	if n := r.largest(accessor); n >= count {
		r.refuse(p, "vertex "+strconv.Itoa(n), numbered("vertices", count))
	}
}

// targets reads what a mesh says of its morph targets.
func (r *reader) targets(p *place, m *Mesh) {
	n := len(m.Primitives[0].Targets)
	for i, part := range m.Primitives {
		if len(part.Targets) != n {
			at := p.member("primitives").item(i).member("targets")
			r.refuse(at, strconv.Itoa(len(part.Targets)), "are as many as the "+strconv.Itoa(n)+" of the first primitive")
		}
	}
	if m.Weights = r.weights(p.member("weights"), n); m.Weights == nil {
		m.Weights = make([]float64, n)
	}
	m.TargetNames = make([]string, n)
	names := p.v.Member("extras").Member("targetNames")
	for i := range min(n, names.Len()) {
		m.TargetNames[i] = names.At(i).Text()
	}
}

// weights reads one number a morph target, nil where there are none.
func (r *reader) weights(p *place, targets int) []float64 {
	if p.v.Kind() != jsontree.Missing && targets == 0 {
		r.refuse(p, p.given(), "is nothing, for the mesh has no targets")
		return nil
	}
	return r.reals(p, targets, maxLength)
}
