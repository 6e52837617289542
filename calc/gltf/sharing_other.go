package gltf

import (
	"slices"
	"strconv"
	"strings"

	"centrode/calc/jsontree"
)

// names says of each number whether a part of a file that is not understood here, an extension or extras, has it. What a number stands
// for there only its program knows, so it is taken for a place in every list. What is named so stays as it was, and what changes is written
// beside it: at worst the new file is longer than it need be.
type names []bool

func (n names) has(at int) bool { return at < len(n) && n[at] }

// named are the numbers in all of the file that may be accessors or views of it.
func (d *Document) named() names { return d.namesIn(0, d.root, max(len(d.Accessors), len(d.views))) }

// Speaking lists the extensions that may speak of a node, each once: those of the file, its scenes, its skins and its other nodes that
// are not understood here and hold the node's number, or a path such as /nodes/3.
func (d *Document) Speaking(node int) (list []string) {
	path, told := "/nodes/"+strconv.Itoa(node)+"/", map[string]bool{}
	look := func(v *jsontree.Value) {
		v = v.Member("extensions")
		for i := range v.Len() {
			name := v.Name(i)
			if isHarmless(name) || slices.Contains(nodeless(), name) || told[name] || !speaks(v.At(i), int64(node), path) {
				continue
			}
			told[name] = true
			list = append(list, name)
		}
	}
	look(d.root)
	for _, kind := range []string{"scenes", "skins", "nodes"} {
		all := d.root.Member(kind)
		for i := range all.Len() {
			if kind != "nodes" || i != node {
				look(all.At(i))
			}
		}
	}
	return list
}

// nodeless are published extensions of a file or a node whose numbers are sizes, amounts and places in other lists, and no node's.
func nodeless() []string {
	return []string{"EXT_mesh_gpu_instancing", "EXT_lights_ies", "KHR_implicit_shapes"}
}

// speaks says whether a part holds a node's number or its path. It keeps no list: a file may have an extension on each of many nodes.
func speaks(v *jsontree.Value, node int64, path string) bool {
	if at, ok := v.Int(); ok && at == node || strings.Contains(v.Text()+"/", path) {
		return true
	}
	for i := range v.Len() {
		if speaks(v.At(i), node, path) {
			return true
		}
	}
	return false
}

// namedIn are the numbers in one animation that may be samplers of it.
func (d *Document) namedIn(animation int) names {
	return d.namesIn(animation+1, d.member("animations", animation), len(d.Animations[animation].Samplers))
}

// namesIn keeps what was found the first time: what is added later nobody names.
func (d *Document) namesIn(at int, part *jsontree.Value, most int) names {
	for len(d.other) <= at {
		d.other = append(d.other, nil)
	}
	if d.other[at] == nil {
		d.other[at] = make(names, most)
		d.other[at].look(part)
	}
	return d.other[at]
}

// look goes through a part of the file for what is not understood here. Extensions about materials, textures and lights are: they name
// no numbers of a surface or a clip.
func (n names) look(v *jsontree.Value) {
	for i := range v.Len() {
		switch name, part := v.Name(i), v.At(i); name {
		case "extras":
			n.take(part)
		case "extensions":
			for k := range part.Len() {
				if !isHarmless(part.Name(k)) {
					n.take(part.At(k))
				}
			}
		default:
			n.look(part)
		}
	}
}

// take notes each number of a part, also one in a path such as /accessors/3.
func (n names) take(v *jsontree.Value) {
	at, ok := v.Int()
	n.note(at, ok)
	if path := v.Text(); strings.Contains(path, "/") {
		for word := range strings.SplitSeq(path, "/") {
			at, err := strconv.ParseInt(word, 10, 64)
			n.note(at, err == nil)
		}
	}
	for i := range v.Len() {
		n.take(v.At(i))
	}
}

func (n names) note(at int64, ok bool) {
	if ok && at >= 0 && at < int64(len(n)) {
		n[at] = true
	}
}
