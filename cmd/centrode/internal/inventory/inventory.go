// Package inventory lists what a character file holds: joints and where they lie, skins, meshes, morph targets, animations.
//
// Start at Of. Lengths are in centimetres, in the frame of the scene and at rest.
package inventory

import (
	"math"

	"centrode/calc/body"
	"centrode/calc/gltf"
	"centrode/calc/rigid"
)

// Inventory is what `rig show` prints. Its members are never renamed; members may be added.
type Inventory struct {
	File       string      `json:"file"`
	Unit       string      `json:"unit"`
	Generator  string      `json:"generator"`
	Invented   bool        `json:"invented"` // the file says of itself that its measurements are made up
	Nodes      []Node      `json:"nodes"`
	Meshes     []Mesh      `json:"meshes"`
	Skins      []Skin      `json:"skins"`
	Animations []Animation `json:"animations"`
	Notes      []Note      `json:"notes"`
}

// Node is a joint or a carrier. An index is -1 for none.
type Node struct {
	Index      int        `json:"index"`
	Name       string     `json:"name"`
	Parent     int        `json:"parent"`
	Joint      bool       `json:"joint"`       // some skin names it
	Position   [3]float64 `json:"position"`    // cm, in the scene
	FromParent *float64   `json:"from_parent"` // cm; null without a parent
	Mesh       int        `json:"mesh"`
	Skin       int        `json:"skin"`
}

// Mesh is a surface. Vertices and triangles are summed over its primitives.
type Mesh struct {
	Index      int      `json:"index"`
	Name       string   `json:"name"`
	Primitives int      `json:"primitives"`
	Vertices   int      `json:"vertices"`
	Triangles  int      `json:"triangles"`
	Influences int      `json:"influences"` // joints a vertex may have at most
	Size       float64  `json:"size"`       // cm, the diagonal of its bounds in its own frame
	Targets    []Target `json:"targets"`
}

// Target is a morph target.
type Target struct {
	Name  string  `json:"name"`
	Moves float64 `json:"moves"` // cm, the largest displacement
}

// Skin binds vertices to joints.
type Skin struct {
	Index        int    `json:"index"`
	Name         string `json:"name"`
	Joints       []int  `json:"joints"`        // nodes
	InverseBinds bool   `json:"inverse_binds"` // the file has the matrices
}

// Animation is a clip.
type Animation struct {
	Index   int     `json:"index"`
	Name    string  `json:"name"`
	Seconds float64 `json:"seconds"` // until its last key
	Tracks  []Track `json:"tracks"`
}

// Track is what moves one property of one node.
type Track struct {
	Node          int    `json:"node"`
	Path          string `json:"path"`
	Keys          int    `json:"keys"`
	Interpolation string `json:"interpolation"`
}

// Note tells of something odd in the file.
type Note struct {
	Path string `json:"path"`
	Text string `json:"text"`
}

// Of lists what the document holds; file is the name it is shown by.
func Of(file string, d *gltf.Document) Inventory {
	asset := d.Root().Member("asset")
	list := Inventory{File: file, Unit: "cm", Generator: asset.Member("generator").Text(), Invented: asset.Member("extras").Member("invented").True(),
		Nodes: nodes(d), Meshes: []Mesh{}, Skins: []Skin{}, Animations: []Animation{}, Notes: []Note{}}
	for i := range d.Meshes {
		list.Meshes = append(list.Meshes, mesh(d, i))
	}
	for i, s := range d.Skins {
		list.Skins = append(list.Skins, Skin{i, s.Name, s.Joints, s.InverseBinds >= 0})
	}
	for i := range d.Animations {
		list.Animations = append(list.Animations, animation(d, i))
	}
	for _, n := range d.Notes {
		list.Notes = append(list.Notes, Note(n))
	}
	if b, err := body.New(file, d); err == nil { // what is no character is listed all the same
		if odd := b.Doubt(); odd != "" {
			list.Notes = append(list.Notes, Note{Path: "scenes", Text: odd})
		}
	}
	return list
}

func nodes(d *gltf.Document) []Node {
	list, worlds, joint := []Node{}, d.Worlds(), d.Jointed()
	for i, n := range d.Nodes {
		at := worlds[i].T.Scale(gltf.CmPerUnit)
		out := Node{Index: i, Name: n.Name, Parent: n.Parent, Joint: joint[i], Position: [3]float64{at.X, at.Y, at.Z}, Mesh: n.Mesh, Skin: n.Skin}
		if n.Parent >= 0 {
			length := at.Sub(worlds[n.Parent].T.Scale(gltf.CmPerUnit)).Len()
			out.FromParent = &length
		}
		list = append(list, out)
	}
	return list
}

func mesh(d *gltf.Document, i int) Mesh {
	m := d.Meshes[i]
	out := Mesh{Index: i, Name: m.Name, Primitives: len(m.Primitives), Targets: []Target{}}
	low := rigid.Vec{X: math.Inf(1), Y: math.Inf(1), Z: math.Inf(1)}
	high := low.Scale(-1)
	for j := range m.Primitives {
		s := d.Surface(i, j)
		out.Vertices += len(s.Positions) / 3
		out.Triangles += len(s.Triangles) / 3
		out.Influences = max(out.Influences, s.Influences)
		for p := s.Positions; len(p) > 0; p = p[3:] {
			low = rigid.Vec{X: math.Min(low.X, float64(p[0])), Y: math.Min(low.Y, float64(p[1])), Z: math.Min(low.Z, float64(p[2]))}
			high = rigid.Vec{X: math.Max(high.X, float64(p[0])), Y: math.Max(high.Y, float64(p[1])), Z: math.Max(high.Z, float64(p[2]))}
		}
	}
	if out.Vertices > 0 {
		out.Size = high.Sub(low).Len() * gltf.CmPerUnit
	}
	for t, name := range m.TargetNames {
		target := Target{Name: name}
		for j := range m.Primitives {
			for p := d.Target(i, j, t); len(p) > 0; p = p[3:] {
				target.Moves = math.Max(target.Moves, rigid.Vec{X: float64(p[0]), Y: float64(p[1]), Z: float64(p[2])}.Len()*gltf.CmPerUnit)
			}
		}
		out.Targets = append(out.Targets, target)
	}
	return out
}

func animation(d *gltf.Document, i int) Animation {
	a := d.Animations[i]
	out := Animation{Index: i, Name: a.Name, Tracks: []Track{}}
	ends := map[int]float64{} // by accessor: many channels may share their times
	for _, c := range a.Channels {
		s := a.Samplers[c.Sampler]
		end, known := ends[s.Input]
		if !known {
			times := d.Floats(s.Input)
			end = float64(times[len(times)-1])
			ends[s.Input] = end
		}
		out.Seconds = math.Max(out.Seconds, end)
		out.Tracks = append(out.Tracks, Track{c.Node, c.Path, d.Accessors[s.Input].Count, s.Interpolation})
	}
	return out
}
