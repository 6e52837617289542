package gltf

import (
	"strconv"

	"centrode/calc/quantity"
	"centrode/calc/spell"
)

func (r *reader) readAnimations() {
	list := r.root.member("animations")
	for i := range r.size(list) {
		p := list.item(i)
		if !r.object(p) {
			return
		}
		a := Animation{Name: r.text(p.member("name"))}
		samplers, channels := p.member("samplers"), p.member("channels")
		for j := range r.size(samplers) {
			a.Samplers = append(a.Samplers, r.sampler(samplers.item(j)))
		}
		moved := map[Channel]bool{}
		for j := range r.size(channels) {
			at := channels.item(j)
			c := r.channel(at, a)
			if what := (Channel{Node: c.Node, Path: c.Path}); c.Node >= 0 && moved[what] {
				r.note(at, "the "+c.Path+" of node "+strconv.Itoa(c.Node)+" is moved twice; the last one is used")
			} else {
				moved[what] = true
			}
			a.Channels = append(a.Channels, c)
		}
		if r.err != nil {
			return
		}
		r.doc.Animations = append(r.doc.Animations, a)
	}
}

func interpolations() []string { return []string{"LINEAR", "STEP", "CUBICSPLINE"} }

func (r *reader) sampler(p *place) Sampler {
	s := Sampler{Interpolation: "LINEAR"}
	if !r.object(p) {
		return s
	}
	s.Input = r.must(p.member("input"), len(r.doc.Accessors), "accessors")
	s.Output = r.must(p.member("output"), len(r.doc.Accessors), "accessors")
	if at := p.member("interpolation"); at.v != nil {
		s.Interpolation = r.text(at)
		if s.Interpolation != "LINEAR" && s.Interpolation != "STEP" && s.Interpolation != "CUBICSPLINE" {
			r.refuse(at, at.given(), "is LINEAR, STEP or CUBICSPLINE"+spell.Offer(s.Interpolation, interpolations()))
		}
	}
	if r.err == nil {
		r.times(p.member("input"), s.Input)
	}
	return s
}

// times checks that the times of keys rise from 0 or later.
func (r *reader) times(p *place, accessor int) {
	a := r.doc.Accessors[accessor]
	if a.Type != "SCALAR" || a.Component != 5126 {
		r.refuse(p, a.form(), "is SCALAR of floats")
		return
	}
	if !r.once("times ", accessor) {
		return
	}
	last := float32(-1)
	for i, t := range r.doc.Floats(accessor) {
		if t < 0 || t <= last {
			r.refuse(p, "key "+strconv.Itoa(i)+" is at "+strconv.FormatFloat(float64(t), 'g', -1, 32)+" s", "are times that rise from 0 or later")
			return
		}
		last = t
	}
}

func (r *reader) channel(p *place, a Animation) Channel {
	c := Channel{Node: -1}
	if !r.object(p) {
		return c
	}
	c.Sampler = r.must(p.member("sampler"), len(a.Samplers), "samplers of the animation")
	target := p.member("target")
	if !r.object(target) {
		return c
	}
	c.Node = r.index(target.member("node"), len(r.doc.Nodes), "nodes")
	c.Path = r.text(target.member("path"))
	if c.Path == "" {
		r.refuse(target.member("path"), "nothing", "is translation, rotation, scale or weights")
	}
	if r.err != nil || c.Node < 0 {
		return c
	}
	if c.Path == "weights" && r.doc.Nodes[c.Node].Mesh < 0 { // a mesh that was left out, as in a file of motion alone
		r.note(target.member("path"), "weights of a node without a mesh; they are kept and not played")
		return c
	}
	width := r.doc.pathWidth(c)
	if n := r.doc.Nodes[c.Node]; n.HasMatrix && c.Path != "weights" && width > 0 && r.once("matrix of node ", c.Node) {
		text := "node " + strconv.Itoa(c.Node) + " has a matrix, and the standard lets a clip move no such node; the matrix is taken apart into translation, rotation and scale for the clip"
		if _, _, _, whole := n.Local.TRS(); !whole {
			text += ", which leaves its shear out"
		}
		r.note(target.member("node"), text)
	}
	if width < 0 {
		r.note(target.member("path"), short(c.Path)+" is no path of the standard; it is kept and not played")
		return c
	}
	r.output(p, a.Samplers[c.Sampler], c, width)
	return c
}

// pathWidth is how many numbers a key of the channel has; -1 for a path that is not of the standard.
func (d *Document) pathWidth(c Channel) int {
	switch c.Path {
	case "translation", "scale":
		return 3
	case "rotation":
		return 4
	case "weights":
		if m := d.Nodes[c.Node].Mesh; m >= 0 {
			return len(d.Meshes[m].Weights)
		}
		return 0
	}
	return -1
}

// output checks that a sampler has as many values as its channel needs.
func (r *reader) output(p *place, s Sampler, c Channel, width int) {
	at := p.member("sampler")
	in, out := r.doc.Accessors[s.Input], r.doc.Accessors[s.Output]
	want := outputType(c.Path)
	if out.Type != want || out.Component != 5126 && !out.Normalized {
		r.refuse(at, "an output that is "+out.form(), "is "+want+" of floats or of normalised whole numbers for a "+c.Path)
		return
	}
	r.spend(at, &r.keys, in.Count+out.Count*out.Width, maxKeys, "numbers in all channels")
	keys := in.Count
	if s.Interpolation == "CUBICSPLINE" {
		keys *= 3
	}
	if keys*width != out.Count*out.Width {
		r.refuse(at, quantity.Things(out.Count, "value", "values")+" for "+quantity.Things(in.Count, "key", "keys"), "are "+strconv.Itoa(keys*width/out.Width)+" for a "+c.Path+" that is "+s.Interpolation)
		return
	}
	r.sized(at, s.Output)
}
