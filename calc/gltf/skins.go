package gltf

import (
	"math"
	"strconv"

	"centrode/calc/quantity"
)

func (r *reader) readSkins() {
	list := r.root.member("skins")
	for i := range r.size(list) {
		p := list.item(i)
		if !r.object(p) {
			return
		}
		s := Skin{Name: r.text(p.member("name"))}
		r.index(p.member("skeleton"), len(r.doc.Nodes), "nodes")
		joints := p.member("joints")
		if r.size(joints) == 0 {
			r.refuse(joints, joints.given(), "is a list of at least one node")
		}
		seen := make(map[int]bool, r.size(joints))
		for j := range r.size(joints) {
			at := joints.item(j)
			node := r.must(at, len(r.doc.Nodes), "nodes")
			if seen[node] {
				r.refuse(at, "node "+strconv.Itoa(node)+" for the second time", "is each node once")
			}
			seen[node] = true
			s.Joints = append(s.Joints, node)
		}
		s.InverseBinds = r.index(p.member("inverseBindMatrices"), len(r.doc.Accessors), "accessors")
		if r.err != nil {
			return
		}
		r.doc.Skins = append(r.doc.Skins, s)
		if s.InverseBinds >= 0 {
			r.inverseBinds(p.member("inverseBindMatrices"), i, s)
		}
	}
}

func (r *reader) inverseBinds(p *place, skin int, s Skin) {
	a := r.doc.Accessors[s.InverseBinds]
	if a.Type != "MAT4" || a.Component != 5126 {
		r.refuse(p, a.form(), "is MAT4 of floats")
	} else if a.Count < len(s.Joints) {
		r.refuse(p, quantity.Things(a.Count, "matrix", "matrices"), "are at least "+strconv.Itoa(len(s.Joints))+", one for each joint")
	}
	r.sized(p, s.InverseBinds)
	if r.spend(p, &r.checked, 16*a.Count, maxChecked, "numbers of inverse bind matrices in all skins"); r.err != nil {
		return
	}
	for i, m := range r.doc.InverseBinds(skin) {
		if _, ok := m.Inverse(); !ok {
			r.note(p, "matrix "+strconv.Itoa(i)+" flattens the surface; what joint "+strconv.Itoa(i)+" carries has no volume")
		}
	}
}

// sets checks that joints and weights come in pairs, and the weights themselves.
func (r *reader) sets(p *place, part Primitive) {
	var list []int
	for n := 0; r.err == nil; n++ {
		joints, weights := "JOINTS_"+strconv.Itoa(n), "WEIGHTS_"+strconv.Itoa(n)
		j, w := part.Attribute(joints), part.Attribute(weights)
		switch {
		case j < 0 && w < 0:
			r.weighted(p, list)
			return
		case j < 0:
			r.refuse(p.member(joints), "nothing", "is an accessor, since "+weights+" is given")
		case w < 0:
			r.refuse(p.member(weights), "nothing", "is an accessor, since "+joints+" is given")
		case n == maxSets:
			r.refuse(p.member(joints), "a fifth set of joints", "are at most four sets of four")
		}
		list = append(list, w)
	}
}

// weighted checks the weights of a primitive, given as one accessor a set of four.
func (r *reader) weighted(p *place, accessors []int) {
	key := "weights"
	for _, a := range accessors {
		key += " " + strconv.Itoa(a)
	}
	if _, done := r.memo[key]; done || len(accessors) == 0 {
		return
	}
	r.memo[key] = 0
	r.spend(p, &r.checked, len(accessors)*4*r.doc.Accessors[accessors[0]].Count, maxChecked, "weights in all combinations")
	if r.err != nil {
		return
	}
	sums := make([]float64, r.doc.Accessors[accessors[0]].Count)
	for n, a := range accessors {
		for i, w := range r.doc.Floats(a) {
			if w < 0 {
				r.refuse(p.member("WEIGHTS_"+strconv.Itoa(n)), "vertex "+strconv.Itoa(i/4)+" has the weight "+strconv.FormatFloat(float64(w), 'g', -1, 32), "are weights of 0 or more")
				return
			}
			sums[i/4] += float64(w)
		}
	}
	worst := 0
	for i, sum := range sums {
		if sum == 0 {
			r.refuse(p.member("WEIGHTS_0"), "the weights of vertex "+strconv.Itoa(i)+" sum to 0", "are weights that sum to 1")
			return
		}
		if math.Abs(sum-1) > math.Abs(sums[worst]-1) {
			worst = i
		}
	}
	if math.Abs(sums[worst]-1) > 1e-3 {
		r.note(p.member("WEIGHTS_0"), "the weights of vertex "+strconv.Itoa(worst)+" sum to "+strconv.FormatFloat(sums[worst], 'g', 4, 64)+" and not to 1")
	}
}

// named is what the primitives of a mesh say of joints: the largest number, that of each list, and those that name none.
type named struct {
	most  int
	lists []jointList
	loose []int
}

type jointList struct {
	primitive int
	name      string // of its attribute
	most      int
}

// namedBy asks every primitive of a mesh once, however many nodes place it.
func (r *reader) namedBy(mesh int) (n named) {
	for j, part := range r.doc.Meshes[mesh].Primitives {
		if part.Attribute("JOINTS_0") < 0 {
			n.loose = append(n.loose, j)
		}
		for k := range maxSets {
			name := "JOINTS_" + strconv.Itoa(k)
			a := part.Attribute(name)
			if a < 0 {
				break
			}
			list := jointList{j, name, r.largest(a)}
			n.lists, n.most = append(n.lists, list), max(n.most, list.most)
		}
	}
	return n
}

// bindings checks every skinned node: the joints that its vertices name must exist in its skin.
func (r *reader) bindings() {
	meshes := map[int]named{}
	for i, n := range r.doc.Nodes {
		p := r.root.member("nodes").item(i)
		if n.Skin < 0 {
			continue
		}
		if n.Mesh < 0 {
			r.note(p.member("skin"), "a skin without a mesh moves nothing")
			continue
		}
		pair := "bound " + strconv.Itoa(n.Mesh) + " " + strconv.Itoa(n.Skin)
		if _, done := r.memo[pair]; done {
			continue
		}
		r.memo[pair] = 0
		said, known := meshes[n.Mesh]
		if !known {
			said = r.namedBy(n.Mesh)
			meshes[n.Mesh] = said
		}
		for _, j := range said.loose {
			if len(r.doc.Notes) == mostNotes {
				break
			}
			r.note(p.member("skin"), "primitive "+strconv.Itoa(j)+" of the mesh has no joints and weights, so the skin does not move it")
		}
		joints := len(r.doc.Skins[n.Skin].Joints)
		if said.most < joints { // many nodes may place a mesh of many parts
			continue
		}
		for _, l := range said.lists {
			if l.most >= joints {
				at := r.root.member("meshes").item(n.Mesh).member("primitives").item(l.primitive).member("attributes").member(l.name)
				r.refuse(at, "joint "+strconv.Itoa(l.most), numbered("joints of the skin of node "+strconv.Itoa(i), joints))
				return
			}
		}
	}
}

// Jointed marks the nodes that some skin has as a joint.
func (d *Document) Jointed() []bool {
	list := make([]bool, len(d.Nodes))
	for _, s := range d.Skins {
		for _, node := range s.Joints {
			list[node] = true
		}
	}
	return list
}
