package gltf

import (
	"strconv"

	"centrode/calc/affine"
	"centrode/calc/jsontree"
)

// HangMesh takes the mesh that a node carries, with its skin, its weights and what clips key of these, to a new node right below it, and returns
// that. The new node stands at the given place, which must be turned and shifted alone.
func (d *Document) HangMesh(node int, at affine.Map) (fresh int) {
	n := d.Nodes[node]
	t, q, _, _ := at.TRS()
	fresh = d.AddNode(Node{Name: d.free(n.Name, "mesh"), Parent: node, Mesh: n.Mesh, Skin: n.Skin, Translation: t, Rotation: q})
	from, to := d.member("nodes", node), d.member("nodes", fresh)
	if w := from.Member("weights"); w != nil {
		to.Set("weights", w)
	}
	for _, name := range []string{"mesh", "skin", "weights"} {
		from.Remove(name)
	}
	d.Nodes[fresh].Weights, d.Nodes[node].Weights = n.Weights, nil
	d.Nodes[node].Mesh, d.Nodes[node].Skin = -1, -1
	for i, a := range d.Animations {
		for c := range a.Channels {
			if channel := &a.Channels[c]; channel.Node == node && channel.Path == "weights" {
				channel.Node = fresh
				d.member("animations", i).Member("channels").At(c).Member("target").Set("node", jsontree.NewInt(fresh))
			}
		}
	}
	return fresh
}

// free is a name for what is of a node, which no other node has.
func (d *Document) free(name, of string) string {
	taken := map[string]bool{}
	for _, n := range d.Nodes {
		taken[n.Name] = true
	}
	if name != "" {
		of = name + " " + of
	}
	fresh := of
	for i := 2; taken[fresh]; i++ {
		fresh = of + " " + strconv.Itoa(i)
	}
	return fresh
}
