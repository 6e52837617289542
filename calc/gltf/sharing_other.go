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

// Speaking lists what may speak of a node, each once: the extensions and the extras of the file, its scenes, its skins and its other
// nodes that are not understood here and hold the node's number, its name, or a path with either, such as /nodes/3.
func (d *Document) Speaking(node int) (list []string) {
	told := map[string]bool{}
	about := sought{int64(node), int64(len(d.Nodes)), "/nodes/" + strconv.Itoa(node) + "/", "/" + d.Nodes[node].Name + "/"}
	look := func(v *jsontree.Value) {
		data := v.Member("extensions")
		for i := range data.Len() {
			name := data.Name(i)
			if isHarmless(name) || slices.Contains(nodeless(), name) || told[name] || !about.in(data.At(i), true) {
				continue
			}
			told[name] = true
			list = append(list, name)
		}
		if !told["extras"] && about.in(v.Member("extras"), false) {
			told["extras"] = true
			list = append(list, "extras")
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

// sought is a node as a part of the file that is not understood here may call it.
type sought struct {
	number, nodes int64
	path, name    string // between slashes
}

// in says whether a part speaks of the node, and is told whether a bare number in it may: in extras, where anybody notes anything, only
// below a member that says so. It keeps no list: a file may have an extension on each of many nodes.
func (s *sought) in(v *jsontree.Value, numbers bool) bool {
	if at, ok := v.Int(); ok {
		return numbers && at == s.number
	}
	if s.called(v.Text()) {
		return true
	}
	numbers = numbers && !s.measures(v)
	for i := range v.Len() {
		name := v.Name(i)
		if s.called(name) || s.in(v.At(i), saysNode(name) || numbers && !slices.Contains(otherwise(), name)) {
			return true
		}
	}
	return false
}

// called says whether a text is the node's name or has it, or its number, in a path.
func (s *sought) called(text string) bool {
	if !strings.Contains(text, "/") {
		return text != "" && text == s.name[1:len(s.name)-1]
	}
	text = "/" + text + "/"
	return strings.Contains(text, s.path) || s.name != "//" && strings.Contains(text, s.name)
}

// saysNode says whether a member's name tells that the numbers below it are nodes.
func saysNode(name string) bool {
	name = strings.ToLower(name)
	return strings.Contains(name, "node") || strings.Contains(name, "joint") || strings.Contains(name, "bone")
}

// otherwise are names of members whose number is a coordinate, or a place in another of the standard's lists.
func otherwise() []string {
	return []string{"x", "y", "z", "w", "mesh", "material", "texture", "image", "sampler", "accessor", "bufferView", "buffer", "camera", "light", "skin", "scene", "animation"}
}

// measures says whether a list holds what no list of nodes does: a number that is no node's, or one more often than all others together.
func (s *sought) measures(v *jsontree.Value) bool {
	if v.Kind() != jsontree.Array || v.Len() < 2 {
		return false
	}
	most, ahead := int64(0), 0 // whoever stands more often than all others is ahead at the end
	for i := range v.Len() {
		at, ok := v.At(i).Int()
		switch {
		case !ok || at < -1 || at >= s.nodes:
			return v.At(i).Kind() == jsontree.Number
		case ahead == 0:
			most, ahead = at, 1
		case at == most:
			ahead++
		default:
			ahead--
		}
	}
	same := 0
	for i := range v.Len() {
		if at, _ := v.At(i).Int(); at == most {
			same++
		}
	}
	return 2*same > v.Len()
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
