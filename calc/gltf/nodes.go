package gltf

import (
	"math"
	"slices"
	"strconv"

	"centrode/calc/affine"
	"centrode/calc/jsontree"
	"centrode/calc/rigid"
)

func (r *reader) readNodes() {
	list := r.root.member("nodes")
	n := r.size(list)
	r.doc.Nodes = make([]Node, n)
	for i := range r.doc.Nodes {
		r.doc.Nodes[i].Parent = -1
	}
	for i := range n {
		if p := list.item(i); r.object(p) {
			r.node(p, i)
		}
		if r.err != nil {
			return
		}
	}
	r.sortNodes(list)
}

func (r *reader) node(p *place, i int) {
	n := &r.doc.Nodes[i]
	n.Name = r.text(p.member("name"))
	n.Mesh = r.index(p.member("mesh"), len(r.doc.Meshes), "meshes")
	n.Skin = r.index(p.member("skin"), r.root.v.Member("skins").Len(), "skins")
	if p.member("weights").v != nil && n.Mesh < 0 {
		r.refuse(p.member("weights"), "weights without a mesh", "is nothing")
	} else if n.Mesh >= 0 {
		n.Weights = r.weights(p.member("weights"), len(r.doc.Meshes[n.Mesh].Weights))
	}
	r.transform(p, n)
	children := p.member("children")
	for j := range r.size(children) {
		at := children.item(j)
		child := r.must(at, len(r.doc.Nodes), "nodes")
		if r.err != nil {
			return
		}
		if other := r.doc.Nodes[child].Parent; other >= 0 {
			r.refuse(at, "node "+strconv.Itoa(child)+", which is a child of node "+strconv.Itoa(other)+" already", "is a node with no other parent")
		}
		r.doc.Nodes[child].Parent = i
		n.Children = append(n.Children, child)
	}
}

func (r *reader) transform(p *place, n *Node) {
	matrix := p.member("matrix")
	t, q, s := r.reals(p.member("translation"), 3, maxLength), r.reals(p.member("rotation"), 4, maxLength), r.reals(p.member("scale"), 3, maxLength)
	n.Rotation, n.Scale = rigid.Quat{W: 1}, rigid.Vec{X: 1, Y: 1, Z: 1}
	if m := r.reals(matrix, 16, maxLength); m != nil {
		if t != nil || q != nil || s != nil {
			r.refuse(matrix, "a matrix beside translation, rotation or scale", "is one or the other")
		}
		if m[3] != 0 || m[7] != 0 || m[11] != 0 || m[15] != 1 {
			r.refuse(matrix, "a last row that is not 0 0 0 1", "is a matrix of translation, rotation and scale")
		}
		var ok bool
		n.HasMatrix, n.Local = true, affine.FromColumns([16]float64(m))
		if n.Translation, n.Rotation, n.Scale, ok = n.Local.TRS(); !ok {
			r.note(matrix, "the matrix is sheared or flat; the standard asks for one of translation, rotation and scale")
		}
		return
	}
	if t != nil {
		n.Translation = rigid.Vec{X: t[0], Y: t[1], Z: t[2]}
	}
	if q != nil {
		r.rotation(p.member("rotation"), n, rigid.Quat{X: q[0], Y: q[1], Z: q[2], W: q[3]})
	}
	if s != nil {
		n.Scale = rigid.Vec{X: s[0], Y: s[1], Z: s[2]}
	}
	n.Local = affine.FromTRS(n.Translation, n.Rotation, n.Scale)
}

func (r *reader) rotation(p *place, n *Node, q rigid.Quat) {
	unit, ok := q.Unit()
	if !ok {
		r.refuse(p, "0 0 0 0", "is a quaternion of length 1")
	}
	if length := math.Sqrt(q.X*q.X + q.Y*q.Y + q.Z*q.Z + q.W*q.W); math.Abs(length-1) > 1e-3 {
		r.note(p, "the quaternion has the length "+strconv.FormatFloat(length, 'g', 4, 64)+" and not 1; it is used as if it had")
	}
	n.Rotation = unit
}

// sortNodes lists parents before children, which fails for nodes that contain themselves.
func (r *reader) sortNodes(list *place) {
	d := r.doc
	d.order = make([]int, 0, len(d.Nodes))
	for i, n := range d.Nodes {
		if n.Parent < 0 {
			d.order = append(d.order, i)
		}
	}
	for k := 0; k < len(d.order); k++ {
		d.order = append(d.order, d.Nodes[d.order[k]].Children...)
	}
	if len(d.order) == len(d.Nodes) {
		return
	}
	reached := make([]bool, len(d.Nodes))
	for _, i := range d.order {
		reached[i] = true
	}
	at := slices.Index(reached, false)
	for range d.Nodes { // so many steps up end within the circle, whatever hangs below it
		at = d.Nodes[at].Parent
	}
	r.refuse(list.item(at).member("children"), "the node contains itself", "are nodes that form trees")
}

func (r *reader) readScenes() {
	list := r.root.member("scenes")
	n := r.size(list)
	shown := r.index(r.root.member("scene"), n, "scenes")
	taken := make([]bool, len(r.doc.Nodes))
	for i := range n {
		p := list.item(i)
		if !r.object(p) {
			return
		}
		nodes := p.member("nodes")
		for j := range r.size(nodes) {
			at := nodes.item(j)
			node := r.must(at, len(r.doc.Nodes), "nodes")
			if r.err != nil {
				return
			}
			if r.doc.Nodes[node].Parent >= 0 {
				r.note(at, "the node has a parent; the standard asks for nodes without one")
			}
			if i == max(shown, 0) && !taken[node] {
				taken[node] = true
				r.doc.Roots = append(r.doc.Roots, node)
			}
		}
	}
	if n == 0 {
		for i, node := range r.doc.Nodes {
			if node.Parent < 0 {
				r.doc.Roots = append(r.doc.Roots, i)
			}
		}
	}
}

// finite checks that the frames of all nodes at rest can be computed with.
func (r *reader) finite() {
	for i, m := range r.doc.Worlds() {
		for _, x := range m.Columns() {
			if !(math.Abs(x) <= 1e3*maxLength) {
				p := r.root.member("nodes").item(i)
				r.refuse(p, "a place or a scale of "+strconv.FormatFloat(x, 'g', 4, 64)+" once all parents are counted", "is a size up to 1e+15")
				return
			}
		}
	}
}

// Locals returns the place of every node in its parent's frame, a copy to change.
func (d *Document) Locals() []affine.Map {
	list := make([]affine.Map, len(d.Nodes))
	for i, n := range d.Nodes {
		list[i] = n.Local
	}
	return list
}

// Worlds returns the place of every node in the scene at rest.
func (d *Document) Worlds() []affine.Map { return d.WorldsOf(d.Locals()) }

// WorldsOf returns the place of every node in the scene for the given places in the parents' frames, one a node.
func (d *Document) WorldsOf(locals []affine.Map) []affine.Map {
	worlds := make([]affine.Map, len(locals))
	for _, i := range d.order {
		worlds[i] = locals[i]
		if p := d.Nodes[i].Parent; p >= 0 {
			worlds[i] = worlds[p].Then(locals[i])
		}
	}
	return worlds
}

// Root returns the JSON of the file. What the fields of Document show must be changed through its methods; extras and
// extensions may be changed here.
func (d *Document) Root() *jsontree.Value { return d.root }
