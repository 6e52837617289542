// Package gltf reads a character from a glTF 2.0 file, changes what moving a joint changes, and writes the file again.
//
// Start at Read; New begins an empty Document. A file may be binary (.glb) or text (.gltf); files beside it come through
// an Opener, since nothing here touches a disk. Lengths are those of the file: metres, with y up, right-handed, as the
// standard says; CmPerUnit turns them into the centimetres of the handbook. An index is -1 where the file has none.
//
// Everything is checked when it is read, so that what follows needs no errors: every index leads somewhere, every
// accessor lies within its bytes, the nodes are trees, numbers are finite, weights name joints that exist. What breaks
// the standard so far that it cannot be used is refused with a *FormatError that names the place in the JSON; what is
// odd but usable is told in Notes. Work and memory are bounded: see limits.go.
//
// The JSON is kept as an ordered tree and only changed members are written anew: extensions, extras, materials and
// whatever else is not understood here come out as they went in, and so do the bytes of buffers.
//
// Not covered: materials, textures, cameras and lights (kept, not read), compressed geometry (refused by name), and
// drawing. Source of all rules: the glTF 2.0 specification of the Khronos Group, key gltf2.
package gltf

import (
	"centrode/calc/affine"
	"centrode/calc/jsontree"
	"centrode/calc/rigid"
)

// CmPerUnit is how many centimetres a unit of length of the file is.
const CmPerUnit = 100

// Document is a file that was read, or one in the making. Read the fields; change them through the methods alone.
type Document struct {
	Nodes      []Node
	Roots      []int // nodes of the scene that is shown first: scene, else the first, else every node without a parent
	Meshes     []Mesh
	Skins      []Skin
	Animations []Animation
	Accessors  []Accessor
	Notes      []Note // odd but usable

	root    *jsontree.Value
	buffers []buffer
	views   []view
	order   []int // all nodes, parents before children
	extra   []byte
	// What is shared, counted when it is first asked and kept up to date: see sharing.go.
	users []int
	lone  []bool
	other []names // of the file, and then of each animation: see sharing_other.go
}

// Note tells of something odd in the file that does not keep it from being used.
type Note struct {
	Path string // in the JSON: "skins[0]"
	Text string
}

// Node is a place that can be moved: a joint, the carrier of a mesh, or both.
type Node struct {
	Name       string
	Parent     int
	Children   []int
	Mesh, Skin int
	Local      affine.Map // in the parent's frame
	HasMatrix  bool       // the file gives a matrix; the three fields below are then that matrix taken apart
	// Rotation is of length 1.
	Translation rigid.Vec
	Rotation    rigid.Quat
	Scale       rigid.Vec
	Weights     []float64 // of the morph targets; empty means those of the mesh
}

// Mesh is a surface in one or several parts.
type Mesh struct {
	Name        string
	Primitives  []Primitive
	Weights     []float64 // of the morph targets at rest, one each
	TargetNames []string  // one a morph target, "" where the file gives none (extras.targetNames)
}

// Primitive is a part of a mesh with one material. Its vertices are the items of its accessors.
type Primitive struct {
	Mode       int // 4 triangles, 5 strip, 6 fan; below 4 points and lines
	Indices    int // accessor
	Material   int
	Attributes []Attribute
	Targets    [][]Attribute // morph targets: displacements of POSITION, NORMAL, TANGENT
}

// Attribute is one property of the vertices.
type Attribute struct {
	Name     string // POSITION, NORMAL, JOINTS_0, …
	Accessor int
}

// Attribute is the accessor of that name, or -1.
func (p Primitive) Attribute(name string) int { return find(p.Attributes, name) }

func find(list []Attribute, name string) int {
	for _, a := range list {
		if a.Name == name {
			return a.Accessor
		}
	}
	return -1
}

// Skin binds vertices to joints.
type Skin struct {
	Name         string
	Joints       []int // nodes; JOINTS_n of a vertex are places in this list
	InverseBinds int   // accessor
}

// Animation is a set of tracks that play together.
type Animation struct {
	Name     string
	Channels []Channel
	Samplers []Sampler
}

// Channel says what a sampler moves.
type Channel struct {
	Sampler int
	Node    int
	Path    string // translation, rotation, scale, weights, or a word of an extension
}

// Sampler holds times and values as accessors.
type Sampler struct {
	Input, Output int
	Interpolation string // LINEAR, STEP, CUBICSPLINE
}

// Accessor describes a list of equal items in a buffer.
type Accessor struct {
	Type       string // SCALAR, VEC2, …, MAT4
	Component  int    // 5120 int8, 5121 uint8, 5122 int16, 5123 uint16, 5125 uint32, 5126 float32
	Count      int    // items
	Width      int    // numbers an item
	Normalized bool   // whole numbers stand for 0…1 or -1…1
	Sparse     bool   // some items are given apart

	base   span
	sparse sparse
}
