// Package body is one character as it stands in a glTF file: its joints, its whole surface, its clips and its target poses.
//
// Start at New. Lengths are centimetres (a unit of the file is a metre), angles radians, and places are in the world of
// the rest pose: where the nodes of the file stand when nothing is played. A joint is told by its place in Joints.
// Parents come before their children there. What is posed here is the skeleton; the surface follows through calc/skin.
// Only the scene that the file shows first is the character. A file may also hold a skeleton and its clips without a surface, as
// motion that is kept apart does: see Bare.
// Not covered: morph targets that a clip moves, and meshes that are placed by several nodes at once in skinned form.
package body

import (
	"errors"
	"math"
	"slices"
	"strconv"

	"centrode/calc/affine"
	"centrode/calc/gltf"
	"centrode/calc/rigid"
	"centrode/calc/skin"
	"centrode/calc/spell"
)

// Body is a character, or its skeleton alone. It is made once and not changed, but for AddTarget.
type Body struct {
	Name    string
	Doc     *gltf.Document
	Joints  []Joint
	Binds   []Bind
	Parts   []Part
	Clips   []Clip
	Targets []Target
	Notes   []string // what a person should know of the file

	Positions []float32       // three a vertex, where its motion finds it: the mesh's own space, in cm
	Rest      []float32       // three a vertex, at rest in the world
	Normals   []float32       // as the file has them; nil where some part has none
	Triangles []uint32        // counter-clockwise at rest, seen from outside
	Held      skin.Influences // joints are places in Binds

	local   []affine.Map // of each joint at rest, in its parent's frame
	motion  []affine.Map // of each bind at rest
	joint   []int        // at each node; −1 for none
	child   []int        // of each joint: see Child
	segment []int        // of each joint: itself, or the one whose surface it is, see alone
	bare    bool         // see Bare
}

// Joint is a node that carries skin, or stands above or below one that does; in a file without a surface, one of its skeleton.
type Joint struct {
	Name     string
	Node     int
	Parent   int        // joint; −1 for a root
	World    affine.Map // at rest
	Length   float64    // to its first child that stands elsewhere, or to the far end of its own skin; 0 without either
	Vertices int        // that it holds more than any other joint does
}

// Bind is one way in which a joint holds skin: the map from the mesh's space to the joint's own.
type Bind struct {
	Joint   int
	Inverse affine.Map
}

// Part is one primitive of a mesh, placed by a node.
type Part struct {
	Node, Mesh, Primitive int
	First, Count          int // its vertices
}

// most bounds how many vertices a character may have: enough for film, few enough for a page's memory.
const most = 4_000_000

// New takes a character from a file, or a skeleton without a surface. Refused is a file that holds neither.
func New(name string, doc *gltf.Document) (*Body, error) {
	b := &Body{Name: name, Doc: doc}
	for _, n := range doc.Notes {
		b.Notes = append(b.Notes, n.Path+": "+n.Text)
	}
	shown := b.shown()
	b.bare = !b.draws(shown)
	b.gather(shown)
	if err := b.collect(shown); err != nil {
		return nil, err
	}
	if err := b.settle(); err != nil {
		return nil, err
	}
	if odd := b.Doubt(); odd != "" {
		b.Notes = append(b.Notes, odd)
	}
	b.clips()
	b.morphs()
	return b, nil
}

// At is where a joint's pivot stands at rest.
func (b *Body) At(joint int) rigid.Vec { return b.Joints[joint].World.T }

// Find returns the joint of that name, or refuses it with the nearest that exists, or with those that do. A name that several joints have is
// refused too: "#7" names the node 7 of the file.
func (b *Body) Find(name string) (int, error) {
	found, names := -1, []string{}
	for i, j := range b.Joints { // a number first: other joints may be called like it
		if name == "#"+strconv.Itoa(j.Node) {
			return i, nil
		}
	}
	for i, j := range b.Joints {
		if j.Name == name {
			if found >= 0 {
				return 0, errors.New(strconv.Quote(name) + ": several joints have this name; write #" + strconv.Itoa(b.Joints[found].Node) + " or #" + strconv.Itoa(j.Node) + ", the number of its node")
			}
			found = i
		}
		names = append(names, j.Name)
	}
	if found < 0 {
		return 0, errors.New(strconv.Quote(name) + ": is no joint of " + b.Name + spell.Choose(name, names, "it has"))
	}
	return found, nil
}

// cm takes a map of the file to centimetres.
func cm(m affine.Map) affine.Map {
	m.T = m.T.Scale(gltf.CmPerUnit)
	return m
}

// shown marks the nodes of the scene that is shown first.
func (b *Body) shown() []bool {
	shown := make([]bool, len(b.Doc.Nodes))
	open := append([]int(nil), b.Doc.Roots...)
	for len(open) > 0 {
		node := open[len(open)-1]
		open = open[:len(open)-1]
		if !shown[node] { // a root may hang below another
			shown[node] = true
			open = append(open, b.Doc.Nodes[node].Children...)
		}
	}
	return shown
}

// Carries reports whether a node moves something drawn by itself: a mesh without a skin, or a part of a mesh that no joint of its skin
// holds, be it of lines or points alone.
func (b *Body) Carries(node int) bool {
	n := b.Doc.Nodes[node]
	return n.Mesh >= 0 && (n.Skin < 0 || slices.ContainsFunc(b.Doc.Meshes[n.Mesh].Primitives, func(p gltf.Primitive) bool {
		return p.Attribute("JOINTS_0") < 0
	}))
}

// alone marks the nodes that are the surface of what they hang on, and no segment after it: they carry a mesh, no skin and no clip
// knows them, nothing hangs below them, and what they hang on carries no mesh itself. So a mesh hangs that was on a joint itself until the joint
// was moved, and the name tells it; by any other name it is surface where it stands in the joint, or did until the joint was moved, which a note
// tells, or where a skin says where it is, and else it may be the segment at its end.
func (b *Body) alone() []bool {
	list, known := make([]bool, len(b.Doc.Nodes)), b.Doc.Jointed()
	for _, a := range b.Doc.Animations {
		for _, c := range a.Channels {
			if c.Node >= 0 && c.Path != "weights" {
				known[c.Node] = true
			}
		}
	}
	for i, n := range b.Doc.Nodes {
		list[i] = n.Parent >= 0 && n.Mesh >= 0 && !known[i] && len(n.Children) == 0 && b.Doc.Nodes[n.Parent].Mesh < 0 &&
			(n.Skin >= 0 || n.Local.T == rigid.Vec{} || b.hung(i) || b.Doc.SurfaceNoted(i))
	}
	return list
}

// hung reports whether a node is called as the one that takes over the mesh of what it hangs on.
func (b *Body) hung(node int) bool {
	n := b.Doc.Nodes[node]
	return gltf.IsHung(n.Name, b.Doc.Nodes[n.Parent].Name)
}

// holders marks the nodes that hold the surface: the joints of skins that are used, and those that carry a part of it by themselves, or did until
// they were moved.
func (b *Body) holders(shown, alone []bool) []bool {
	doc := b.Doc
	holds := make([]bool, len(doc.Nodes))
	carries, used := map[int]bool{}, make([]bool, len(doc.Skins)) // of a skinned mesh: whether a part of it is bound to nothing
	for i, n := range doc.Nodes {
		if n.Mesh < 0 || !shown[i] {
			continue
		}
		carry, known := carries[n.Mesh]
		if n.Skin < 0 {
			carry = true
		} else if !known {
			carry = b.Carries(i)
			carries[n.Mesh] = carry
		}
		holds[i] = holds[i] || carry
		if carry && alone[i] && b.hung(i) { // which held it, so what hangs on it stays a joint
			holds[n.Parent] = true
		}
		if n.Skin >= 0 && !used[n.Skin] {
			used[n.Skin] = true
			for _, j := range doc.Skins[n.Skin].Joints {
				holds[j] = true
			}
		}
	}
	return holds
}

// around marks the nodes that are joints: those given, all above them, and what hangs below them without a mesh, such as the tip of a
// finger.
func (b *Body) around(holds []bool) []bool {
	doc := b.Doc
	wanted := make([]bool, len(doc.Nodes))
	var below []int
	for i, h := range holds {
		if h {
			below = append(below, i)
		}
		for node := i; h && node >= 0 && !wanted[node]; node = doc.Nodes[node].Parent {
			wanted[node] = true
		}
	}
	for len(below) > 0 {
		node := below[len(below)-1]
		below = below[:len(below)-1]
		for _, c := range doc.Nodes[node].Children {
			if !wanted[c] && doc.Nodes[c].Mesh < 0 {
				wanted[c] = true
				below = append(below, c)
			}
		}
	}
	return wanted
}

// gather lists the joints, parents before children.
func (b *Body) gather(shown []bool) {
	doc, alone := b.Doc, b.alone()
	var holds []bool
	if b.bare {
		holds = b.skeleton(shown)
	} else {
		holds = b.holders(shown, alone)
	}
	wanted := b.around(holds)
	b.joint = slices.Repeat([]int{-1}, len(doc.Nodes))
	var open []int // nodes still to be listed; a chain may be too deep to call oneself
	for i := len(doc.Nodes) - 1; i >= 0; i-- {
		if doc.Nodes[i].Parent < 0 {
			open = append(open, i)
		}
	}
	for len(open) > 0 {
		node := open[len(open)-1]
		open = open[:len(open)-1]
		if !wanted[node] {
			continue
		}
		n := doc.Nodes[node]
		j := Joint{Name: n.Name, Node: node, Parent: -1}
		if j.Name == "" {
			j.Name = "node " + strconv.Itoa(node)
		}
		if n.Parent >= 0 {
			j.Parent = b.joint[n.Parent]
		}
		b.joint[node] = len(b.Joints)
		b.Joints, b.local = append(b.Joints, j), append(b.local, cm(n.Local))
		for k := len(n.Children) - 1; k >= 0; k-- {
			open = append(open, n.Children[k])
		}
	}
	worlds := b.Worlds(b.local, nil)
	b.segment = make([]int, len(b.Joints))
	for i, j := range b.Joints {
		b.Joints[i].World = worlds[i]
		if b.segment[i] = i; alone[j.Node] {
			b.segment[i] = j.Parent
		}
	}
}

// JointOf returns the joint at a node; −1 where there is none, and for no node.
func (b *Body) JointOf(node int) int {
	if node < 0 {
		return -1
	}
	return b.joint[node]
}

// Locals returns a copy of the joints' places in their parents' frames at rest.
func (b *Body) Locals() []affine.Map { return append([]affine.Map(nil), b.local...) }

// Worlds writes where the joints stand, from their places in their parents' frames, into worlds, and returns it; nil makes
// a new list.
func (b *Body) Worlds(locals, worlds []affine.Map) []affine.Map {
	if worlds == nil {
		worlds = make([]affine.Map, len(locals))
	}
	for i, j := range b.Joints {
		if worlds[i] = locals[i]; j.Parent >= 0 {
			worlds[i] = worlds[j.Parent].Then(locals[i])
		}
	}
	return worlds
}

// Motions writes twelve numbers a bind, as calc/skin takes them, for joints that stand at worlds.
func (b *Body) Motions(worlds []affine.Map, list []float32) []float32 {
	list = list[:0]
	for _, bind := range b.Binds {
		m := worlds[bind.Joint].Then(bind.Inverse)
		list = append(list,
			float32(m.L[0][0]), float32(m.L[0][1]), float32(m.L[0][2]), float32(m.T.X),
			float32(m.L[1][0]), float32(m.L[1][1]), float32(m.L[1][2]), float32(m.T.Y),
			float32(m.L[2][0]), float32(m.L[2][1]), float32(m.L[2][2]), float32(m.T.Z))
	}
	return list
}

// RestMotions are the motions that bring the surface to rest.
func (b *Body) RestMotions() []float32 { return b.Motions(b.Worlds(b.local, nil), nil) }

// Below reports of each joint whether it is the given one or hangs below it.
func (b *Body) Below(joint int) []bool {
	below := make([]bool, len(b.Joints))
	for i, j := range b.Joints {
		below[i] = i == joint || j.Parent >= 0 && below[j.Parent]
	}
	return below
}

// Segment is the joint on whose segment a joint is: itself, or what it hangs on where it is that one's surface alone.
func (b *Body) Segment(joint int) int { return b.segment[joint] }

// Share is how much of a vertex a joint holds, from 0 to 1, by itself or by what is its surface alone.
func (b *Body) Share(vertex, joint int) float64 {
	sum := 0.0
	binds, weights := b.Held.Of(vertex)
	for k, w := range weights {
		if at := b.Binds[binds[k]].Joint; at == joint || b.segment[at] == joint {
			sum += float64(w)
		}
	}
	return sum
}

// Owner is the joint that holds a vertex most.
func (b *Body) Owner(vertex int) int { return b.Binds[b.Held.Strongest(vertex)].Joint }

// place is where a vertex stands at rest when the mesh has it at p: the blend of its joints' motions, in full precision.
func (b *Body) place(vertex int, p rigid.Vec) rigid.Vec {
	var sum rigid.Vec
	binds, weights := b.Held.Of(vertex)
	for k, w := range weights {
		if w > 0 {
			sum = sum.Add(b.motion[binds[k]].Apply(p).Scale(float64(w)))
		}
	}
	return sum
}

// Vertex is where a vertex stands at rest, in full precision.
func (b *Body) Vertex(vertex int) rigid.Vec { return b.place(vertex, point(b.Positions, vertex)) }

func point(list []float32, i int) rigid.Vec {
	return rigid.Vec{X: float64(list[3*i]), Y: float64(list[3*i+1]), Z: float64(list[3*i+2])}
}

// Size is the diagonal of the box around the surface at rest.
func (b *Body) Size() float64 {
	least, greatest := b.Box()
	return greatest.Sub(least).Len()
}

// Box returns the corners of the box around the surface at rest, of a body that has one.
func (b *Body) Box() (least, greatest rigid.Vec) {
	least, greatest = point(b.Rest, 0), point(b.Rest, 0)
	for i := range len(b.Rest) / 3 {
		p := point(b.Rest, i)
		least = rigid.Vec{X: math.Min(least.X, p.X), Y: math.Min(least.Y, p.Y), Z: math.Min(least.Z, p.Z)}
		greatest = rigid.Vec{X: math.Max(greatest.X, p.X), Y: math.Max(greatest.Y, p.Y), Z: math.Max(greatest.Z, p.Z)}
	}
	return least, greatest
}
