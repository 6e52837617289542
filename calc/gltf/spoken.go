package gltf

import "centrode/calc/jsontree"

// mostHeard bounds how many values of the file are looked at by Spoken: a second or so.
const mostHeard = 1 << 24

// Spoken tells of each of these nodes whether the file notes something of it that is not understood here, or has data that may be about it: see
// Noted and Speaking. Where it would take too long to find out, it says that it does.
func (d *Document) Spoken(nodes []int) []bool {
	list := make([]bool, len(nodes))
	if len(nodes) == 0 {
		return list
	}
	all := values(d.root)
	for i, node := range nodes {
		list[i] = all > mostHeard/len(nodes) || len(d.Noted(node)) > 0 || len(d.Speaking(node)) > 0
	}
	return list
}

// values counts a value and all in it.
func values(v *jsontree.Value) int {
	n := 1
	for i := range v.Len() {
		n += values(v.At(i))
	}
	return n
}
