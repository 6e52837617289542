package body

import (
	"errors"
	"slices"
	"strconv"
	"strings"

	"centrode/calc/gltf"
	"centrode/calc/quantity"
	"centrode/calc/rigid"
	"centrode/calc/spell"
)

// Target is something in the file, or beside it, that says how the character should be posed.
type Target struct {
	Kind string // morph, clip, file
	Name string
	Clip int // of kind clip: place in Clips

	shift []shift     // of kind morph
	posed []rigid.Vec // of kind file: where each vertex stands
}

// shift is a morph target of one part.
type shift struct {
	part   int
	target int
	share  float64 // how much of it is missing at rest
}

// morphs lists the morph targets, those of one name together, then the clips. Where a part has several of one name, each is a target of its own:
// the first of all parts together, the second, and so on.
func (b *Body) morphs() {
	type nth struct {
		name string
		n    int
	}
	known := map[nth]int{} // place in Targets
	for p, part := range b.Parts {
		had := map[string]int{}
		names, at := b.Doc.Meshes[part.Mesh].TargetNames, b.weights(part.Node)
		for k := range b.Doc.Meshes[part.Mesh].Primitives[part.Primitive].Targets {
			name := ""
			if k < len(names) {
				name = names[k]
			}
			if name == "" {
				name = "target " + strconv.Itoa(k)
			}
			share := 1.0
			if k < len(at) {
				share -= at[k]
			}
			had[name]++
			called := nth{name, had[name]}
			i, ok := known[called]
			if !ok {
				i = len(b.Targets)
				known[called] = i
				if called.n > 1 {
					name += " (" + strconv.Itoa(called.n) + ")"
				}
				b.Targets = append(b.Targets, Target{Kind: "morph", Name: name})
			}
			b.Targets[i].shift = append(b.Targets[i].shift, shift{p, k, share})
		}
	}
	for i, c := range b.Clips {
		b.Targets = append(b.Targets, Target{Kind: "clip", Name: c.Name, Clip: i})
	}
}

// AddTarget makes a second file a target: the same character, sculpted in a pose. It must have the same parts with the same
// vertices in the same order, be it before or after a joint was moved: see paired.
func (b *Body) AddTarget(name string, doc *gltf.Document) error {
	if err := b.Surfaced(); err != nil {
		return err
	}
	other, err := New(name, doc)
	if err == nil {
		err = other.Surfaced()
	}
	if err != nil {
		return err
	}
	if len(other.Parts) != len(b.Parts) {
		return errors.New(name + ": has " + quantity.Things(len(other.Parts), "part", "parts") + ", and " + b.Name + " has " + strconv.Itoa(len(b.Parts)) + "; a target needs the same vertices in the same order")
	}
	same, triangles := b.paired(other), other.trianglesOfParts()
	var joined []uint32
	for i, k := range same {
		p, q := b.Parts[i], other.Parts[k]
		if q.Count != p.Count {
			return errors.New(name + ": part " + strconv.Itoa(k+1) + " has " + quantity.Things(q.Count, "vertex", "vertices") + ", and " + b.Name + " has " + strconv.Itoa(p.Count) + " there; a target needs the same vertices in the same order")
		}
		for _, v := range triangles[k] {
			joined = append(joined, v-uint32(q.First)+uint32(p.First))
		}
	}
	if !slices.Equal(joined, b.Triangles) {
		return errors.New(name + ": joins its vertices to other triangles than " + b.Name + "; a target needs the same vertices in the same order")
	}
	t := Target{Kind: "file", Name: name, posed: make([]rigid.Vec, 0, len(b.Rest)/3)}
	for _, k := range same {
		for v := range other.Parts[k].Count {
			t.posed = append(t.posed, other.Vertex(other.Parts[k].First+v))
		}
	}
	b.Targets = append(b.Targets, t)
	return nil
}

// home is where a file has a part: a primitive of a mesh at a node.
type home struct {
	mesh, primitive, node int
	name                  string
}

// homes are a part's own and, where what it hangs on carries no mesh itself, that of this: there it was before the joint was moved, if it was
// on the joint itself.
func (b *Body) homes(p Part) []home {
	nodes := b.Doc.Nodes
	list := []home{{p.Mesh, p.Primitive, p.Node, nodes[p.Node].Name}}
	if above := nodes[p.Node].Parent; above >= 0 && nodes[above].Mesh < 0 {
		list = append(list, home{p.Mesh, p.Primitive, above, nodes[above].Name})
	}
	return list
}

// paired finds for each part its like in another file of as many: of the same primitive of a mesh, at the same node, or at what hangs on that
// in one of the two. Where not all have one, the order in the files counts.
func (b *Body) paired(other *Body) []int {
	known := map[home]int{}
	for k, p := range other.Parts {
		for _, at := range other.homes(p)[1:] {
			known[at] = k
		}
	}
	for k, p := range other.Parts {
		known[other.homes(p)[0]] = k
	}
	same, taken := make([]int, len(b.Parts)), make([]bool, len(b.Parts))
	for i, p := range b.Parts {
		k, found := 0, false
		for _, at := range b.homes(p) {
			if !found {
				k, found = known[at]
			}
		}
		if !found || taken[k] {
			for i := range same {
				same[i] = i
			}
			break
		}
		same[i], taken[k] = k, true
	}
	return same
}

// trianglesOfParts are the corners of each part's triangles.
func (b *Body) trianglesOfParts() [][]uint32 {
	list, part := make([][]uint32, len(b.Parts)), 0
	for from := 0; part < len(b.Parts); part++ { // parts stand behind one another
		to := from
		for to < len(b.Triangles) && int(b.Triangles[to]) < b.Parts[part].First+b.Parts[part].Count {
			to++
		}
		list[part], from = b.Triangles[from:to], to
	}
	return list
}

// Target finds a target written KIND:NAME, or KIND:#N, counted from 0 within its kind. A number goes
// before a name of that form. A refusal lists the nearest.
func (b *Body) Target(text string) (*Target, error) {
	kind, name, ok := strings.Cut(text, ":")
	if !ok {
		return nil, errors.New(strconv.Quote(text) + `: must be written morph:NAME, clip:NAME or file:NAME`)
	}
	if kinds := []string{"morph", "clip", "file"}; !slices.Contains(kinds, kind) {
		return nil, errors.New(strconv.Quote(kind) + ": is no kind of target; write morph, clip or file" + spell.Offer(kind, kinds))
	}
	var names []string
	var found *Target
	for i := range b.Targets {
		if t := &b.Targets[i]; t.Kind == kind {
			if name == "#"+strconv.Itoa(len(names)) {
				return t, nil
			}
			if found == nil && name == t.Name {
				found = t
			}
			names = append(names, t.Name)
		}
	}
	if found != nil {
		return found, nil
	}
	if len(names) == 0 {
		return nil, errors.New(text + ": " + b.Name + " has no " + kind + map[string]string{"morph": " target", "clip": "", "file": " beside it"}[kind])
	}
	return nil, errors.New(text + ": " + b.Name + " has no " + kind + " of that name" + spell.Offer(name, names) + "; it has " + strings.Join(names, ", "))
}

// Posed returns where a target of kind morph or file has each vertex, in the world; nil for a clip.
func (b *Body) Posed(t *Target) []rigid.Vec {
	if t.Kind != "morph" {
		return t.posed
	}
	at := make([]rigid.Vec, len(b.Positions)/3)
	for v := range at {
		at[v] = point(b.Positions, v)
	}
	for _, s := range t.shift {
		part := b.Parts[s.part]
		for i, d := range b.Doc.Target(part.Mesh, part.Primitive, s.target) {
			x := s.share * float64(d) * gltf.CmPerUnit
			p := &at[part.First+i/3]
			switch i % 3 {
			case 0:
				p.X += x
			case 1:
				p.Y += x
			default:
				p.Z += x
			}
		}
	}
	for v := range at {
		at[v] = b.place(v, at[v])
	}
	return at
}
