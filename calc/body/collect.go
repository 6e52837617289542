package body

import (
	"errors"
	"math"
	"slices"
	"strconv"

	"centrode/calc/affine"
	"centrode/calc/gltf"
	"centrode/calc/rigid"
)

// collect puts all parts of the surface behind one another.
func (b *Body) collect(shown []bool) error {
	made := bindings{map[int]int{}, map[int][]uint16{}}
	normals, apart := true, 0
	solid, shifts, moved := map[int][]int{}, 0, 0
	for node, n := range b.Doc.Nodes {
		if n.Mesh < 0 {
			continue
		}
		if !shown[node] {
			apart++
			continue
		}
		shows, known := solid[n.Mesh]
		if !known {
			shows = b.solid(n.Mesh)
			solid[n.Mesh] = shows
		}
		for _, p := range shows {
			s := b.Doc.Surface(n.Mesh, p)
			shifts += len(b.Doc.Meshes[n.Mesh].Primitives[p].Targets)
			moved += len(s.Positions) / 3 * len(b.Doc.Meshes[n.Mesh].Primitives[p].Targets)
			each := max(1, b.Held.Each, s.Influences) // all vertices have room for as many joints as those of the widest part
			if fits := min(most, mostHeld/each); (len(b.Positions)+len(s.Positions))/3 > fits {
				return errors.New(b.Name + ": has more than " + strconv.Itoa(fits) + " vertices with up to " + strconv.Itoa(each) + " weights each, which is more than fits here; leave out parts that do not bend")
			}
			if shifts > mostShifts || moved > mostMoved {
				return errors.New(b.Name + ": shows its morph targets in more than " + strconv.Itoa(mostShifts) + " parts, or with more than " + strconv.Itoa(mostMoved) + " vertices together, which is more than fits here; leave out parts that do not bend")
			}
			normals = normals && s.Normals != nil
			if b.append(node, p, s, made); len(b.Binds) > mostBinds {
				return errors.New(b.Name + ": its meshes are bound to joints in more than " + strconv.Itoa(mostBinds) + " ways, which is more than can be numbered here; leave out parts that do not bend")
			}
		}
	}
	if apart > 0 {
		b.Notes = append(b.Notes, "Nodes that carry a mesh outside the scene that the file shows first are left out: "+strconv.Itoa(apart)+".")
	}
	if !b.bare && b.skinless() {
		b.Notes = append(b.Notes, "The file holds no skin: each mesh moves as a whole with its node, so there are no weights to keep and no skin to fold.")
	}
	if b.bare && apart > 0 {
		return errors.New(b.Name + ": shows no surface of triangles in its first scene, and nodes that carry a mesh stand outside of it (" + strconv.Itoa(apart) + "); save it with those in that scene")
	}
	if b.bare && len(b.Joints) == 0 {
		return errors.New(b.Name + ": holds neither a surface of triangles nor a skeleton: no skin, no clip that moves a node, no node in its first scene; save it with one of them")
	}
	if !normals {
		b.Normals = nil
	}
	b.Held, _ = b.Held.Clean(len(b.Positions) / 3) // what was odd stands in the notes of the file
	return nil
}

// What all placed parts may hold together: a file may place one mesh by many nodes, and then says it once.
const (
	mostHeld   = 1 << 24 // joints of vertices, room for which all have alike
	mostShifts = 1 << 20 // morph targets of parts
	mostMoved  = 1 << 26 // vertices of morph targets
)

// bindings are the binds made so far: of nodes whose mesh has no skin, and of the joints of each skin, in its order.
type bindings struct {
	nodes map[int]int
	skins map[int][]uint16
}

// solid lists the primitives of a mesh that have triangles.
func (b *Body) solid(mesh int) (list []int) {
	for i, p := range b.Doc.Meshes[mesh].Primitives {
		corners := 0
		if p.Indices >= 0 {
			corners = b.Doc.Accessors[p.Indices].Count
		} else if len(p.Attributes) > 0 {
			corners = b.Doc.Accessors[p.Attributes[0].Accessor].Count
		}
		if p.Mode >= 4 && corners >= 3 {
			list = append(list, i)
		}
	}
	return list
}

// mostBinds is how many binds a uint16 can tell apart.
const mostBinds = math.MaxUint16 + 1

// skinless reports whether every part is carried by its node alone.
func (b *Body) skinless() bool {
	for _, p := range b.Parts {
		if b.Doc.Nodes[p.Node].Skin >= 0 {
			return false
		}
	}
	return true
}

// append adds one primitive.
func (b *Body) append(node, primitive int, s gltf.Surface, made bindings) {
	n := b.Doc.Nodes[node]
	first, count := len(b.Positions)/3, len(s.Positions)/3
	b.Parts = append(b.Parts, Part{node, n.Mesh, primitive, first, count})
	for _, v := range s.Triangles {
		b.Triangles = append(b.Triangles, v+uint32(first))
	}
	for _, x := range s.Positions {
		b.Positions = append(b.Positions, float32(float64(x)*gltf.CmPerUnit))
	}
	b.Normals = append(b.Normals, s.Normals...)
	b.standing(node, primitive, first)
	if n.Skin < 0 || s.Influences == 0 {
		at, known := made.nodes[node]
		if !known {
			at = b.bind(node, affine.Identity())
			made.nodes[node] = at
		}
		b.hold(at, count)
		return
	}
	place, known := made.skins[n.Skin]
	if !known { // many parts may be bound by one skin
		inverse, joints := b.Doc.InverseBinds(n.Skin), b.Doc.Skins[n.Skin].Joints
		place = make([]uint16, len(joints))
		for k, joint := range joints {
			place[k] = uint16(b.bind(joint, cm(inverse[k])))
		}
		made.skins[n.Skin] = place
	}
	b.widen(s.Influences)
	for v := range count {
		for k := range b.Held.Each {
			var joint uint16
			var weight float32
			if k < s.Influences {
				joint, weight = place[s.Joints[v*s.Influences+k]], s.Weights[v*s.Influences+k]
			}
			b.Held.Joints, b.Held.Weights = append(b.Held.Joints, joint), append(b.Held.Weights, weight)
		}
	}
}

// standing adds what the morph targets that are on at rest do to a part.
func (b *Body) standing(node, primitive, first int) {
	for k, w := range b.weights(node) {
		if w == 0 {
			continue
		}
		for i, d := range b.Doc.Target(b.Doc.Nodes[node].Mesh, primitive, k) {
			b.Positions[3*first+i] += float32(w * float64(d) * gltf.CmPerUnit)
		}
	}
}

// weights are those of the morph targets at rest.
func (b *Body) weights(node int) []float64 {
	if n := b.Doc.Nodes[node]; len(n.Weights) > 0 {
		return n.Weights
	}
	return b.Doc.Meshes[b.Doc.Nodes[node].Mesh].Weights
}

// bind returns the place of a bind, which is made when it is first asked for.
func (b *Body) bind(node int, inverse affine.Map) int {
	b.Binds = append(b.Binds, Bind{b.JointOf(node), inverse})
	return len(b.Binds) - 1
}

// hold gives so many vertices wholly to one bind.
func (b *Body) hold(bind, count int) {
	b.widen(1)
	for range count {
		for k := range b.Held.Each {
			w := float32(0)
			if k == 0 {
				w = 1
			}
			b.Held.Joints, b.Held.Weights = append(b.Held.Joints, uint16(bind)), append(b.Held.Weights, w)
		}
	}
}

// widen makes room for more joints a vertex in all parts so far.
func (b *Body) widen(each int) {
	old := b.Held
	if each <= old.Each {
		return
	}
	b.Held.Each, b.Held.Joints, b.Held.Weights = each, nil, nil
	for i, j := range old.Joints {
		b.Held.Joints, b.Held.Weights = append(b.Held.Joints, j), append(b.Held.Weights, old.Weights[i])
		if (i+1)%old.Each == 0 {
			for range each - old.Each {
				b.Held.Joints, b.Held.Weights = append(b.Held.Joints, 0), append(b.Held.Weights, 0)
			}
		}
	}
}

// settle finds what follows from the surface: its rest, who owns it, how long segments are. Refused is a surface or a joint
// so far away that its place is no number any more.
func (b *Body) settle() error {
	for _, bind := range b.Binds {
		b.motion = append(b.motion, b.Joints[bind.Joint].World.Then(bind.Inverse))
	}
	b.outward()
	b.child = slices.Repeat([]int{-1}, len(b.Joints))
	for i, j := range b.Joints {
		if p := j.Parent; p >= 0 && b.child[p] < 0 && b.segment[i] == i && j.World.T.Sub(b.At(p)).Len() > 1e-6 {
			b.child[p], b.Joints[p].Length = i, j.World.T.Sub(b.At(p)).Len()
		}
	}
	b.Rest = make([]float32, len(b.Positions))
	for v := range len(b.Positions) / 3 {
		p := b.Vertex(v)
		b.Rest[3*v], b.Rest[3*v+1], b.Rest[3*v+2] = float32(p.X), float32(p.Y), float32(p.Z)
		if !(p.Len() <= farthest) {
			return errors.New(b.Name + ": vertex " + strconv.Itoa(v) + " of its surface lies farther off than can be reckoned with; check the scale of the nodes above it")
		}
		owner := b.Owner(v)
		b.Joints[owner].Vertices++
		b.reach(owner, v)
		b.reach(b.segment[owner], v)
	}
	for _, j := range b.Joints {
		if !(j.World.T.Len() <= farthest) {
			return errors.New(b.Name + ": " + j.Name + " stands farther off than can be reckoned with; check the scale of the nodes above it")
		}
	}
	return nil
}

// reach makes a joint without a child as long as it is to a vertex of its skin.
func (b *Body) reach(joint, vertex int) {
	if j := &b.Joints[joint]; b.child[joint] < 0 {
		j.Length = max(j.Length, point(b.Rest, vertex).Sub(j.World.T).Len())
	}
}

// outward turns the triangles round that stand mirrored at rest: the corners of a triangle run counter-clockwise, seen from outside,
// in the file, and then would not in the world. Source: gltf2, on the winding of a node that mirrors.
func (b *Body) outward() {
	mirrors := make([]bool, len(b.motion))
	for i, m := range b.motion {
		mirrors[i] = m.Det() < 0
	}
	for t := 0; t+2 < len(b.Triangles); t += 3 {
		if v := b.Triangles[t : t+3]; mirrors[b.Held.Strongest(int(v[0]))] {
			v[1], v[2] = v[2], v[1]
		}
	}
}

// farthest is how far from the origin anything may lie, in cm: the distance of the moon.
const farthest = 4e10

// Child is the first child of a joint that stands elsewhere and is a segment of its own; −1 for none.
func (b *Body) Child(joint int) int { return b.child[joint] }

// Fold is an axis of unit length across the segment of a joint, about which it may well turn: the normal of the bend
// that the skeleton has there at rest, else that of a clip's widest turn, else the joint's own axis most across it.
func (b *Body) Fold(joint int) rigid.Vec {
	at := b.At(joint)
	along := rigid.Vec{}
	if child := b.Child(joint); child >= 0 {
		along = b.At(child).Sub(at)
		if p := b.Joints[joint].Parent; p >= 0 {
			from := at.Sub(b.At(p))
			if n := from.Cross(along); n.Len() > 0.05*from.Len()*along.Len() {
				return n.Unit()
			}
		}
	}
	if axis, ok := b.widest(joint); ok {
		return axis
	}
	if along == (rigid.Vec{}) && b.Joints[joint].Parent >= 0 {
		along = at.Sub(b.At(b.Joints[joint].Parent))
	}
	best, least := rigid.Vec{Z: 1}, 2.0
	for k := range 3 {
		axis := b.Joints[joint].World.L.Column(2 - k).Unit().Scale(b.Sense(joint))
		if across := axis.Dot(along.Unit()); axis != (rigid.Vec{}) && across*across < least {
			best, least = axis, across*across-1e-9
		}
	}
	return best
}
