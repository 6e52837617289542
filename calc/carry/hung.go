package carry

import (
	"errors"
	"strconv"

	"centrode/calc/affine"
	"centrode/calc/gltf"
	"centrode/calc/jsontree"
	"centrode/calc/rigid"
)

// Hung is a mesh that a node carried by itself and that a new node right below carries now, so that the mesh stays where it is.
type Hung struct {
	From int        // the node that carried it
	Name string     // of that
	New  string     // the new node's
	At   affine.Map // where that stands in the other's frame, in metres
}

// hang notes that a node which moves is to carry its mesh no longer, if it does. Data of a program on the node may be about the mesh, such as copies of
// it; that cannot be told apart here, so it is refused.
func (p *Plan) hang(node int) error {
	if !p.Body.Carries(node) {
		return nil
	}
	if p.Body.Doc.Root().Member("nodes").At(node).Member("extensions").Len() > 0 {
		return errors.New(p.name(node) + ": carries a mesh of its own and data of a program that may be about it; hang the mesh on a node below it first")
	}
	p.Hung = append(p.Hung, Hung{node, p.name(node), p.free(node), p.back[node]})
	return nil
}

// free is a name for what takes over a node's mesh, which no other node has.
func (p *Plan) free(node int) string {
	taken := map[string]bool{}
	nodes := p.Body.Doc.Nodes
	for i := range nodes {
		taken[nodes[i].Name] = true
	}
	for i := range p.Hung {
		taken[p.Hung[i].New] = true
	}
	name := gltf.HungName(nodes[node].Name)
	fresh := name
	for i := 2; taken[fresh]; i++ {
		fresh = name + " " + strconv.Itoa(i)
	}
	return fresh
}

// leaves lists the nodes whose mesh is the surface of what they hang on because they stand in it, and which then stand beside it: their names do
// not tell what they are, so the new file notes it.
func (p *Plan) leaves() (list []int) {
	for _, place := range p.Places {
		joint := p.Body.JointOf(place.Node)
		if joint >= 0 && p.Body.Segment(joint) != joint && place.Was.T == (rigid.Vec{}) && place.Is.T != (rigid.Vec{}) {
			list = append(list, place.Node)
		}
	}
	return list
}

// before is the node that carried what a node of the written file carries: new nodes are the last, in the order of Hung.
func (p *Plan) before(node int) int {
	if at := node - len(p.Body.Doc.Nodes); at >= 0 {
		return p.Hung[at].From
	}
	return node
}

// stays tells where the mesh hangs from now on.
func (h Hung) stays() string {
	return "The mesh that " + h.Name + " carries itself hangs on a new node right below it, so that it stays where it is."
}

// parts tells what no longer finds the mesh.
func (h Hung) parts() string {
	return "What looks up the mesh of " + h.Name + " by its node, as a list of parts or a script may, finds none there any more: it is on the new node right below, and among the last parts of the file."
}

// Values returns what to type in for the new node, in the frame of the one that carried the mesh.
func (h Hung) Values() Values {
	_, q, _, _ := h.At.TRS()
	return values(h.At, q)
}

func (p *Plan) hungJSON() *jsontree.Value {
	list := jsontree.NewArray()
	for k, h := range p.Hung {
		list.Append(jsontree.NewObject().Set("name", jsontree.NewString(h.Name)).Set("node", jsontree.NewInt(h.From)).
			Set("new_node", jsontree.NewInt(len(p.Body.Doc.Nodes)+k)).Set("new_name", jsontree.NewString(h.New)).Set("is", h.Values().json()))
	}
	return list
}
