package character

import (
	"centrode/calc/affine"
	"centrode/calc/gltf"
	"centrode/calc/jsontree"
	"centrode/calc/rigid"
)

// keys of the clip: so many that no turn between two of them exceeds 15°.
const keys = 13

func metres(v rigid.Vec) rigid.Vec {
	return rigid.Vec{X: v.X / gltf.CmPerUnit, Y: v.Y / gltf.CmPerUnit, Z: v.Z / gltf.CmPerUnit}
}

func appendVec(list []float32, v rigid.Vec) []float32 {
	return append(list, float32(v.X), float32(v.Y), float32(v.Z))
}

// file writes the figure.
func (f figure) file(c Character) *gltf.Document {
	d := gltf.New("centrode")
	d.Root().Member("asset").Set("extras", jsontree.NewObject().Set("invented", jsontree.NewBool(true)).
		Set("title", jsontree.NewString(c.Title)).Set("cast", jsontree.NewString(c.Cast)).Set("purpose", jsontree.NewString(c.Purpose)))
	d.Root().List("materials").Append(jsontree.NewObject().Set("name", jsontree.NewString("paper")).
		Set("pbrMetallicRoughness", jsontree.NewObject().Set("baseColorFactor", jsontree.NewNumbers(0.8, 0.75, 0.66, 1)).
			Set("metallicFactor", jsontree.NewInt(0)).Set("roughnessFactor", jsontree.NewNumber(0.9))))
	mesh := f.mesh(d, c.ID)
	top := d.AddNode(gltf.Node{Name: c.ID, Parent: -1, Mesh: -1, Skin: -1})
	nodes := f.nodes(d, top)
	skin := f.skin(d, nodes)
	d.AddNode(gltf.Node{Name: "surface", Parent: -1, Mesh: mesh, Skin: skin})
	f.animate(d, nodes)
	f.confess(d, nodes)
	return d
}

func (f figure) mesh(d *gltf.Document, name string) int {
	var points, normals, weights []float32
	var joints, corners []uint32
	place := f.skinPlaces()
	for i, n := range f.surface.normals() {
		b := f.surface.bonds[i]
		points, normals = appendVec(points, metres(f.surface.points[i])), appendVec(normals, n)
		first, second := b.shares()
		other := place[b.second]
		if second == 0 {
			other = 0 // the standard wants no joint where there is no weight
		}
		joints = append(joints, uint32(place[b.first]), uint32(other), 0, 0)
		weights = append(weights, float32(first), float32(second), 0, 0)
	}
	for _, t := range f.surface.triangles {
		corners = append(corners, uint32(t[0]), uint32(t[1]), uint32(t[2]))
	}
	p := gltf.Primitive{Mode: 4, Indices: d.AddUints("SCALAR", 5123, corners), Material: 0, Attributes: []gltf.Attribute{
		{Name: "POSITION", Accessor: d.AddFloats("VEC3", points)}, {Name: "NORMAL", Accessor: d.AddFloats("VEC3", normals)},
		{Name: "JOINTS_0", Accessor: d.AddUints("VEC4", 5121, joints)}, {Name: "WEIGHTS_0", Accessor: d.AddFloats("VEC4", weights)},
	}}
	var names []string
	for _, t := range f.targets {
		var moved []float32
		for i, v := range f.posed(t.turns) {
			moved = appendVec(moved, metres(v.Sub(f.surface.points[i])))
		}
		p.Targets = append(p.Targets, []gltf.Attribute{{Name: "POSITION", Accessor: d.AddFloats("VEC3", moved)}})
		names = append(names, t.name)
	}
	return d.AddMesh(gltf.Mesh{Name: name, Primitives: []gltf.Primitive{p}, TargetNames: names})
}

// skinPlaces are the places of the joints in the skin; ends have none.
func (f figure) skinPlaces() []int {
	list, n := make([]int, len(f.joints)), 0
	for i, j := range f.joints {
		list[i] = n
		if !j.end {
			n++
		}
	}
	return list
}

func (f figure) nodes(d *gltf.Document, top int) []int {
	list := make([]int, len(f.joints))
	for i, j := range f.joints {
		parent := top
		if j.parent >= 0 {
			parent = list[j.parent]
		}
		at := f.local(i, f.frame(i))
		list[i] = d.AddNode(gltf.Node{Name: j.name, Parent: parent, Mesh: -1, Skin: -1, Translation: metres(at.T), Rotation: at.R.Quat()})
	}
	return list
}

func (f figure) skin(d *gltf.Document, nodes []int) int {
	var joints []int
	var binds []affine.Map
	worlds := d.Worlds()
	for i, j := range f.joints {
		if j.end {
			continue
		}
		back, _ := worlds[nodes[i]].Inverse() // a place and a rotation always have one
		joints, binds = append(joints, nodes[i]), append(binds, back)
	}
	skin, err := d.AddSkin("skin", joints, binds)
	if err != nil {
		panic(err) // the lists above are of one length
	}
	return skin
}

// animate keys the flawed joint so that what hangs on it turns about the true pivot: the joint itself must then move.
func (f figure) animate(d *gltf.Document, nodes []int) {
	i := f.flawed()
	var times, places, turns []float32
	for k := range keys {
		u := float64(k) / (keys - 1)
		at := f.local(i, f.joints[i].bent(f.clip.from+u*(f.clip.to-f.clip.from)).Then(f.frame(i)))
		q := at.R.Quat()
		times = append(times, float32(u*f.clip.seconds))
		places = appendVec(places, metres(at.T))
		turns = append(turns, float32(q.X), float32(q.Y), float32(q.Z), float32(q.W))
	}
	clip := d.AddAnimation(f.clip.name)
	for _, t := range []struct {
		path   string
		values []float32
	}{{"rotation", turns}, {"translation", places}} {
		if err := d.AddTrack(clip, nodes[i], t.path, times, t.values, "LINEAR"); err != nil {
			panic(err) // the lists above are of the right lengths
		}
	}
}

// confess writes into the node of the flawed joint where it belongs, in the frame of its parent, in metres, with the
// axis of its hinge there and the length of its segment.
func (f figure) confess(d *gltf.Document, nodes []int) {
	i := f.flawed()
	j := f.joints[i]
	parent := rigid.Motion{R: rigid.Identity()}
	if j.parent >= 0 {
		parent = f.frame(j.parent)
	}
	back := parent.Inverse()
	at, axis := metres(back.Apply(j.at)), back.R.Apply(j.hinge.Unit())
	segment := 0.0
	for _, k := range f.joints {
		if k.parent == i && segment == 0 {
			segment = metres(k.at.Sub(j.at)).Len()
		}
	}
	d.Root().Member("nodes").At(nodes[i]).Set("extras", jsontree.NewObject().Set("centrode", jsontree.NewObject().
		Set("true", jsontree.NewNumbers(at.X, at.Y, at.Z)).Set("axis", jsontree.NewNumbers(axis.X, axis.Y, axis.Z)).
		Set("segment", jsontree.NewNumber(segment))))
}
