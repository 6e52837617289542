// Package carry carries out a move of one joint in the file of a character, and disturbs nothing else.
//
// Start at Make, which changes nothing: a Plan tells what will change and what could be lost, and Plan.GLB writes the new
// file. Several makes moves of several joints, one after another. Where the joints stand afterwards is the answer of the calculator
// reseat. Centimetres at the interface, metres in the file, angles in radians.
//
// Let W be where a node stands at rest, W' where it stands afterwards, and N = W⁻¹·W' its own move, seen from itself; N is the
// identity for all nodes but the moved one and, if it aims anew, its parent. Then
//
//	place in the parent   L' = N_parent⁻¹ · L · N
//	inverse bind          B' = N⁻¹ · B
//
// leave every other node where it was and the skin as it was, not at rest alone but at each moment of each clip. Derived.
package carry

import (
	"errors"
	"math"
	"strconv"

	"centrode/calc/affine"
	"centrode/calc/body"
	"centrode/calc/catalog"
	"centrode/calc/gltf"
	"centrode/calc/reseat"
	"centrode/calc/rigid"
)

// Options say what is to be done.
type Options struct {
	To      rigid.Vec // the new pivot, in cm, in the world of the rest pose
	Aim     bool      // the joint turns to point at its first child, and its parent at it; else orientations are kept
	AimAxis string    // the joints' own axis that points along the segment; empty for the one that does so now
	Text    bool      // the new file may be one of text
	Leave   bool      // clips keep their rotations alone: what they key of the moved joint's translation is dropped
	// Within is how far the segment may stray from its old path in a clip, in cm: the same is dropped where that strays no farther, and new keys
	// are as many as that needs. 0 is as near as nobody sees, see fineness.
	Within float64
}

// Plan is a move that has been worked out.
type Plan struct {
	Body    *body.Body
	Joint   int
	Options Options
	From    rigid.Vec
	Places  []Place // nodes that get new values, in the order of the file
	Hung    []Hung  // meshes that a node which moves carried by itself
	Skins   []Skin  // skins that get new inverse binds
	Tracks  []Track // tracks of clips that change
	Notes   []string

	own  []affine.Map // N of each node, in the file's units
	back []affine.Map // its inverse
	// unseen are nodes of skinned meshes that may go along: see unseen.go.
	unseen map[int]bool
	fine   float64  // see fineness
	alone  *float64 // see Track.Alone, of the track at hand
	keys   int      // written into new tracks so far
	// looks is how often the nodes above were asked for it.
	looks int
}

// Place is a node before and after: where it stands in its parent's frame, in metres.
type Place struct {
	Node   int
	Name   string
	Was    affine.Map
	Is     affine.Map
	Moved  bool // it stands elsewhere in the world, or is turned there; else only its parent has moved
	Folded bool // the file gives it as a matrix

	was, is rigid.Quat // its rotation as the file tells it: Was and Is alone do not tell along which axis a scale mirrors
}

// Skin is a skin with its new inverse binds, one a joint.
type Skin struct {
	Skin  int
	Nodes []int // whose matrix changed
	Binds []affine.Map
}

// Make works out a move. Refused are a joint that cannot be given a place, or be turned, without harm, and a place that is no place.
func Make(b *body.Body, joint int, o Options) (*Plan, error) {
	name := b.Joints[joint].Name
	for _, x := range []float64{o.To.X, o.To.Y, o.To.Z} {
		if !(math.Abs(x) <= farthest) {
			return nil, errors.New(name + ": cannot be moved there; every coordinate must be within ten kilometres of the origin")
		}
	}
	if !(o.Within >= 0 && o.Within <= farthest) {
		return nil, errors.New("how far a segment may stray must be a length from nought to ten kilometres")
	}
	if err := b.Placed(joint); err != nil {
		return nil, err
	}
	p := &Plan{Body: b, Joint: joint, Options: o, From: b.At(joint)}
	if p.fine = p.fineness(); o.Within > 0 {
		p.fine = o.Within / gltf.CmPerUnit
	}
	if err := p.stand(); err != nil {
		return nil, err
	}
	p.places()
	p.skins()
	if err := p.tracks(); err != nil {
		return nil, err
	}
	return p, nil
}

// farthest is how far from the origin a pivot may stand, in cm.
const farthest = 1e6

// stand finds where every node stands afterwards, from reseat, and with it its own move.
func (p *Plan) stand() error {
	b, doc := p.Body, p.Body.Doc
	worlds := doc.Worlds()
	p.own, p.back = make([]affine.Map, len(worlds)), make([]affine.Map, len(worlds))
	for i := range worlds {
		p.own[i], p.back[i] = affine.Identity(), affine.Identity()
	}
	rests, after := p.reseated()
	for i, j := range b.Joints {
		if !reseat.Differs(after[i], rests[i]) {
			continue
		}
		turn := rigid.Identity()
		if rigid.Turned(after[i].R, rests[i].R) {
			turn = after[i].R.Mul(rests[i].R.Transpose())
		}
		shift := after[i].T.Sub(rests[i].T)
		was := worlds[j.Node]
		if turn != rigid.Identity() {
			if !(was.Even() && doc.Nodes[j.Node].Local.Even()) {
				return errors.New(j.Name + ": is scaled unevenly, so it cannot be turned without shear; keep its orientation")
			}
			if clip := p.bends(j.Node); clip != "" {
				return errors.New(j.Name + ": is scaled unevenly by clip " + clip + ", so it cannot be turned without shear; keep its orientation")
			}
		}
		is := affine.Map{L: turn.Mul(was.L), T: was.T.Add(shift.Scale(1.0 / gltf.CmPerUnit))}
		inverse, _ := was.Inverse()
		p.own[j.Node] = inverse.Then(is)
		if turn == rigid.Identity() { // what should be nothing is nothing, to the last digit
			p.own[j.Node].L = rigid.Identity()
		}
		p.back[j.Node], _ = p.own[j.Node].Inverse()
		if err := p.hang(j.Node); err != nil {
			return err
		}
	}
	p.leave()
	return nil
}

// reseated asks the calculator reseat where the joints stand at rest, before and after.
func (p *Plan) reseated() (rests, after []rigid.Motion) {
	b := p.Body
	names, parents := make([]string, len(b.Joints)), make([]int, len(b.Joints))
	rests = make([]rigid.Motion, len(b.Joints))
	for i, j := range b.Joints {
		// A mirrored joint keeps its mirror here: without it the axis that TRS turns round would be aimed the other way.
		_, q, s, _ := j.World.TRS()
		rest := affine.FromTRS(j.World.T, q, rigid.Vec{X: math.Copysign(1, s.X), Y: 1, Z: 1})
		names[i], parents[i], rests[i] = j.Name, j.Parent, rigid.Motion{R: rest.L, T: rest.T}
	}
	var aim *reseat.Aim
	if p.Options.Aim {
		if p.Options.AimAxis == "" {
			p.Options.AimAxis = along(b, p.Joint)
		}
		axis, _ := rigid.ParseAxis(p.Options.AimAxis)
		aim = &reseat.Aim{Axis: axis, Child: b.Child(p.Joint)}
	}
	after, warnings := reseat.Move(names, parents, rests, p.Joint, p.Options.To, aim)
	for _, w := range (catalog.Result{Warnings: warnings}).Told() {
		p.Notes = append(p.Notes, w.Text)
	}
	return rests, after
}

// along is the joint's own axis that points at its first child best; +x where it has none.
func along(b *body.Body, joint int) string {
	best, most := "+x", -2.0
	child := b.Child(joint)
	if child < 0 {
		return best
	}
	direction := b.At(child).Sub(b.At(joint)).Unit()
	for _, name := range rigid.SignedAxes() {
		axis, _ := rigid.ParseAxis(name)
		if d := b.Joints[joint].World.L.Apply(axis).Unit().Dot(direction); d > most+1e-9 {
			best, most = name, d
		}
	}
	return best
}

func (p *Plan) still(node int) bool { return p.own[node] == affine.Identity() }

// parentBack is N⁻¹ of a node's parent.
func (p *Plan) parentBack(node int) affine.Map {
	if parent := p.Body.Doc.Nodes[node].Parent; parent >= 0 {
		return p.back[parent]
	}
	return affine.Identity()
}

// touched reports whether a node gets a new place in its parent's frame: it or its parent moves.
func (p *Plan) touched(node int) bool {
	return !p.unseen[node] && (!p.still(node) || p.parentBack(node) != affine.Identity())
}

func (p *Plan) places() {
	for i, n := range p.Body.Doc.Nodes {
		if p.touched(i) {
			is := p.parentBack(i).Then(n.Local).Then(p.own[i])
			place := Place{Node: i, Name: p.name(i), Was: n.Local, Is: is, Moved: !p.still(i), Folded: n.HasMatrix}
			before, after := p.turns(i)
			place.was, place.is = n.Rotation, product(product(before, n.Rotation), after)
			if n.HasMatrix {
				_, place.is, _, _ = is.TRS()
			}
			p.Places = append(p.Places, place)
		}
	}
}

// name is how a node is called.
func (p *Plan) name(node int) string {
	if name := p.Body.Doc.Nodes[node].Name; name != "" {
		return name
	}
	return "node " + strconv.Itoa(node)
}

func (p *Plan) skins() {
	for i, s := range p.Body.Doc.Skins {
		skin := Skin{Skin: i, Binds: p.Body.Doc.InverseBinds(i)}
		for k, node := range s.Joints {
			if !p.still(node) {
				skin.Nodes = append(skin.Nodes, node)
				skin.Binds[k] = p.back[node].Then(skin.Binds[k])
			}
		}
		if len(skin.Nodes) > 0 {
			p.Skins = append(p.Skins, skin)
		}
	}
}

// Offset is how far the joint moves.
func (p *Plan) Offset() rigid.Vec { return p.Options.To.Sub(p.From) }

// Own is the move as the joint itself sees it: the new pivot in the joint's old frame, in cm. Two files of one skeleton, which may rest in
// different poses, agree after a move when this is the same in both.
func (p *Plan) Own() rigid.Vec { return p.own[p.node()].T.Scale(gltf.CmPerUnit) }
