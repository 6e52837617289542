package gltf

import (
	"strconv"
	"strings"

	"centrode/calc/affine"
	"centrode/calc/jsontree"
)

// HangMesh takes the mesh that a node carries, with its skin, its weights and what clips key of these, to a new node of the given name right
// below it, and returns that. The new node stands at the given place, which must be turned and shifted alone.
func (d *Document) HangMesh(node int, name string, at affine.Map) (fresh int) {
	n := d.Nodes[node]
	t, q, _, _ := at.TRS()
	fresh = d.AddNode(Node{Name: name, Parent: node, Mesh: n.Mesh, Skin: n.Skin, Translation: t, Rotation: q})
	from, to := d.member("nodes", node), d.member("nodes", fresh)
	if w := from.Member("weights"); w != nil {
		to.Set("weights", w)
	}
	for _, member := range []string{"mesh", "skin", "weights"} {
		from.Remove(member)
	}
	d.Nodes[fresh].Weights, d.Nodes[node].Weights = n.Weights, nil
	d.Nodes[node].Mesh, d.Nodes[node].Skin = -1, -1
	for i, a := range d.Animations {
		for c := range a.Channels {
			target := d.member("animations", i).Member("channels").At(c).Member("target")
			if channel := &a.Channels[c]; channel.Node == node && channel.Path == "weights" {
				channel.Node = fresh
				target.Set("node", jsontree.NewInt(fresh))
			}
			repoint(target, node, fresh)
		}
	}
	return fresh
}

// HungName is how the new node is called, but for a number behind it, where the old one has this name.
func HungName(of string) string {
	if of == "" {
		return "mesh"
	}
	return of + " mesh"
}

// IsHung reports whether a name is one that the new node may have got, with a number behind it or without.
func IsHung(name, of string) bool {
	number, ok := strings.CutPrefix(name, HungName(of))
	return ok && (number == "" || number[0] == ' ' && strings.Trim(number[1:], "0123456789") == "" && number != " ")
}

// NoteSurface notes in the extras of a node that its mesh is the surface of what it hangs on, and no segment after it. Extras that are no object
// stay as they are.
func (d *Document) NoteSurface(node int) {
	at, way := d.member("nodes", node), surfaceNote()
	for _, name := range way[:2] {
		inner := at.Member(name)
		if inner == nil {
			inner = jsontree.NewObject()
			at.Set(name, inner)
		}
		if inner.Kind() != jsontree.Object {
			return
		}
		at = inner
	}
	at.Set(way[2], jsontree.NewBool(true))
}

// SurfaceNoted reports whether that is noted.
func (d *Document) SurfaceNoted(node int) bool {
	at := d.member("nodes", node)
	for _, name := range surfaceNote() {
		at = at.Member(name)
	}
	return at.True()
}

// surfaceNote is the way to the note.
func surfaceNote() [3]string { return [3]string{"extras", "centrode", "surface"} }

// repoint has a channel that keys the weights of a node by a pointer, all of them or one, key those of another.
func repoint(target *jsontree.Value, node, fresh int) {
	by := target.Member("extensions").Member("KHR_animation_pointer")
	rest, ok := strings.CutPrefix(by.Member("pointer").Text(), pointed(node))
	if ok && (rest == "" || rest[0] == '/') {
		by.Set("pointer", jsontree.NewString(pointed(fresh)+rest))
	}
}

func pointed(node int) string { return "/nodes/" + strconv.Itoa(node) + "/weights" }
