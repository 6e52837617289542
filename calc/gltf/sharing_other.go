package gltf

import (
	"cmp"
	"math"
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

// Speaking lists what may speak of a node, each once: the extensions and the extras anywhere in the file, but for the node's own, that are not
// understood here and hold its number, its name, or a path with either, such as /nodes/3.
//
// It would rather tell once too often: a false alarm costs whoever moves the joint a look at one part of the file, and a constraint or a
// collider that nobody told of is found when it breaks in a shot. It keeps silent only where the part itself says that it means something
// else: see measures, named and otherwise; and a bare number on a mesh or a material, which is one of the lists of these, is no node's.
func (d *Document) Speaking(node int) (list []string) {
	s := d.sought(node)
	for i := range d.root.Len() {
		switch name := d.root.Name(i); name {
		case "nodes", "scenes", "skins", "animations", "extensions", "extras":
			list = s.heard(list, name, d.root.At(i), maybe)
		default:
			list = s.heard(list, name, d.root.At(i), no)
		}
	}
	return list
}

// heard adds what in a member of the file speaks of the node; taken says how a bare number in an extension there is taken. An extension that
// is understood, such as a list of lights, may hold others and extras as any member may.
func (s *sought) heard(list []string, name string, v *jsontree.Value, taken numbers) []string {
	switch {
	case v == s.own:
	case name == "extras":
		list = s.hear(list, name, v, no)
	case name == "extensions":
		for i := range v.Len() {
			if name := v.Name(i); isHarmless(name) || slices.Contains(nodeless(), name) {
				list = s.heard(list, "", v.At(i), no)
			} else {
				list = s.hear(list, name, v.At(i), taken)
			}
		}
	default:
		for i := range v.Len() {
			list = s.heard(list, v.Name(i), v.At(i), taken)
		}
	}
	return list
}

// hear adds the name of a part that speaks of the node, once.
func (s *sought) hear(list []string, name string, part *jsontree.Value, taken numbers) []string {
	if s.told[name] || !s.in(part, taken) {
		return list
	}
	s.told[name] = true
	return append(list, name)
}

// Noted are the names of what a node's own extras say of it; of extras that are no object and say something, the word extras.
func (d *Document) Noted(node int) (list []string) {
	extras := d.member("nodes", node).Member("extras")
	if extras.Kind() == jsontree.Number || extras.Kind() == jsontree.Array && extras.Len() > 0 || extras.Text() != "" {
		return []string{"extras"}
	}
	for i := range extras.Len() {
		if name := extras.Name(i); name != surfaceNote()[1] || extras.At(i).Len() != 1 || !d.SurfaceNoted(node) { // which is understood here
			list = append(list, cmp.Or(name, "extras"))
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
	own           *jsontree.Value
	number, nodes int64
	digits        string
	called, word  string          // its name, and the longest word of that
	path, name    string          // between slashes
	before        string          // its parent between slashes, empty where that has no name
	after         map[string]bool // what follows its name in a path of it: a child, or what can be keyed
	longest       int             // of these
	told          map[string]bool // the parts that spoke of it
}

func (d *Document) sought(node int) *sought {
	n, digits := d.Nodes[node], strconv.Itoa(node)
	s := &sought{own: d.member("nodes", node), number: int64(node), nodes: int64(len(d.Nodes)), digits: digits, called: n.Name, path: "/nodes/" + digits + "/", name: slashed(n.Name),
		after: map[string]bool{"translation": true, "rotation": true, "scale": true, "matrix": true}, told: map[string]bool{}}
	if n.Parent >= 0 && d.Nodes[n.Parent].Name != "" {
		s.before = slashed(d.Nodes[n.Parent].Name)
	}
	for word := range strings.SplitSeq(s.name, "/") {
		if len(word) > len(s.word) {
			s.word = word
		}
	}
	for _, c := range n.Children {
		if name := strings.Trim(slashed(d.Nodes[c].Name), "/"); name != "" {
			s.after[name] = true
		}
	}
	for after := range s.after {
		s.longest = max(s.longest, len(after))
	}
	return s
}

// numbers says how a bare number in a part is taken: for no node's; for one unless it looks like a measure; or for one, since the member says so.
type numbers int

const (
	no numbers = iota
	maybe
	sure
)

// in says whether a part speaks of the node, and is told how to take a bare number in it: in extras, where anybody notes anything, one is a
// node's only below a member that says so. It keeps no list: a file may have an extension on each of many nodes.
func (s *sought) in(v *jsontree.Value, taken numbers) bool {
	if at, ok := v.Int(); ok {
		return taken != no && at == s.number
	}
	if text := v.Text(); s.calls(text) || taken != no && text == s.digits {
		return true
	}
	if s.measures(v, taken) {
		taken = no
	}
	for i := range v.Len() {
		name := v.Name(i)
		if name == "targetNames" { // of a mesh, which are read: a shape may be called like the joint that it mends
			continue
		}
		if s.calls(name) || taken != no && name == s.digits { // an object may have a member for each node
			return true
		}
		below := taken
		switch {
		case name == "": // an item of a list
		case saysNode(name):
			below = sure
		case slices.Contains(otherwise(), name):
			below = no
		default:
			below = min(taken, maybe)
		}
		if s.in(v.At(i), below) {
			return true
		}
	}
	return false
}

// calls says whether a text is the node's name, or has its number or its name in a path.
func (s *sought) calls(text string) bool {
	if text == s.called {
		return text != ""
	}
	if !strings.ContainsAny(text, separators) || !strings.Contains(text, "nodes") && !strings.Contains(text, s.word) {
		return false // without a copy of it: it may be a whole picture
	}
	whole := slashed(text)
	return strings.Contains(whole, s.path) || s.called != "" && !strings.Contains(text, "://") && s.named(whole)
}

// separators stand between the names of a path, each in some program.
const separators = "/|:."

// slashed is a path with a slash for each separator, and between slashes.
func slashed(path string) string {
	return "/" + strings.Map(func(r rune) rune {
		if strings.ContainsRune(separators, r) {
			return '/'
		}
		return r
	}, path) + "/"
}

// named says whether a path of names has the node's: at its end, behind its parent's, or before a child's or what can be keyed of it. Elsewhere
// it is taken for a folder, which programs note of pictures and which may well be called like a joint.
func (s *sought) named(path string) bool {
	for from := 0; ; {
		at := strings.Index(path[from:], s.name)
		if at < 0 {
			return false
		}
		at += from
		from = at + len(s.name) - 1
		rest := path[from+1:]
		if rest == "" || s.before != "" && strings.HasSuffix(path[:at+1], s.before) {
			return true
		}
		for end := range min(len(rest), s.longest+1) { // a child's name may have separators, too
			if rest[end] == '/' && s.after[rest[:end]] {
				return true
			}
		}
	}
}

// saysNode says whether a member's name tells that the numbers below it are nodes, and not what is measured of one or how many there are.
func saysNode(name string) bool {
	name = strings.ToLower(name)
	has := func(words ...string) bool {
		return slices.ContainsFunc(words, func(word string) bool { return strings.Contains(name, word) })
	}
	return has("node", "joint", "bone") && !strings.HasPrefix(name, "num") &&
		!has("axis", "offset", "position", "scale", "size", "length", "limit", "radius", "count")
}

// otherwise are names of members whose number is a coordinate or a measure, or a place in another of the standard's lists.
func otherwise() []string {
	return []string{"x", "y", "z", "w", "translation", "rotation", "scale", "matrix", "axis", "size", "offset", "color", "min", "max", "count",
		"mesh", "material", "texture", "image", "sampler", "accessor", "bufferView", "buffer", "camera", "light", "skin", "scene", "animation"}
}

// measures says whether a list holds what no list of nodes does: a number that is no node's, or, unless its name says nodes, nothing but −1,
// 0 and 1 with one of them more often than the others together, as axes, sizes and turns have it. A list in which another number is the most
// frequent may be of the nodes that several things follow, and is told. So is one in which programs say that there is no node, see nobody.
func (s *sought) measures(v *jsontree.Value, taken numbers) bool {
	if v.Kind() != jsontree.Array || v.Len() < 2 {
		return false
	}
	var often [3]int // of −1, 0 and 1
	units := 0
	for i := range v.Len() {
		at, ok := v.At(i).Int()
		switch {
		case nobody(v.At(i)):
		case !ok || at < -1 || at >= s.nodes:
			return v.At(i).Kind() == jsontree.Number
		case at <= 1:
			often[at+1]++
			units++
		}
	}
	return taken != sure && units == v.Len() && 2*max(often[0], often[1], often[2]) > units
}

// nobody says whether a number stands for no node where numbers have no sign: the largest of 16, 32 or 64 bits.
func nobody(v *jsontree.Value) bool {
	x, ok := v.Float()
	return ok && (x == math.MaxUint16 || x == math.MaxUint32 || x == math.MaxUint64)
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
