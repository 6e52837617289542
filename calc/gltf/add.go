package gltf

import (
	"slices"
	"strconv"

	"centrode/calc/affine"
	"centrode/calc/jsontree"
	"centrode/calc/quantity"
	"centrode/calc/rigid"
)

// New begins a document without any content; generator is written into its asset.
func New(generator string) *Document {
	root := jsontree.NewObject().Set("asset", jsontree.NewObject().
		Set("version", jsontree.NewString("2.0")).Set("generator", jsontree.NewString(generator)))
	return &Document{root: root}
}

// AddFloats adds an accessor of floats with bytes of its own. kind is SCALAR, VEC2, VEC3, VEC4, MAT2, MAT3 or MAT4; but
// for matrices the bounds are written too. The numbers must be finite and fill whole items.
func (d *Document) AddFloats(kind string, values []float32) (accessor int) {
	accessor = d.addAccessor(kind, 5126, len(values), floatBytes(values))
	if a := d.Accessors[accessor]; a.Width <= 4 && kind[0] != 'M' {
		setBounds(d.member("accessors", accessor), values, a.Width)
	}
	return accessor
}

// AddUints adds an accessor of unsigned whole numbers with bytes of its own; component is 5121, 5123 or 5125, for 8, 16
// and 32 bits, into which the numbers must fit. kind is SCALAR, VEC2, VEC3 or VEC4.
func (d *Document) AddUints(kind string, component int, values []uint32) (accessor int) {
	data := make([]byte, 0, bytes(component)*len(values)+3)
	for _, x := range values {
		data = append(data, byte(x), byte(x>>8), byte(x>>16), byte(x>>24))[:len(data)+bytes(component)]
	}
	return d.addAccessor(kind, component, len(values), data)
}

func (d *Document) addAccessor(kind string, component, numbers int, data []byte) int {
	form, _ := shapeOf(kind)
	width := form.rows * form.columns
	a := Accessor{Type: kind, Component: component, Count: numbers / width, Width: width, base: span{d.addView(data), 0, form.size(component)}}
	d.Accessors = append(d.Accessors, a)
	d.users, d.lone = grown(d.users, 0), grown(d.lone, true)
	return d.root.List("accessors").Append(jsontree.NewObject().
		Set("bufferView", jsontree.NewInt(a.base.view)).Set("componentType", jsontree.NewInt(component)).
		Set("count", jsontree.NewInt(a.Count)).Set("type", jsontree.NewString(kind)))
}

// AddNode adds a node from its Name, Parent, Mesh, Skin, Translation, Rotation and Scale; a zero Rotation or Scale stands
// for none. A node without a parent joins the first scene, which is made if there is none.
func (d *Document) AddNode(n Node) int {
	at := len(d.Nodes)
	v := jsontree.NewObject()
	if n.Name != "" {
		v.Set("name", jsontree.NewString(n.Name))
	}
	if n.Mesh >= 0 {
		v.Set("mesh", jsontree.NewInt(n.Mesh))
	}
	if n.Skin >= 0 {
		v.Set("skin", jsontree.NewInt(n.Skin))
	}
	d.root.List("nodes").Append(v)
	d.order = append(d.order, at)
	if n.Parent >= 0 {
		parent := &d.Nodes[n.Parent]
		parent.Children = append(parent.Children, at)
		d.member("nodes", n.Parent).List("children").Append(jsontree.NewInt(at))
	} else {
		d.Roots = append(d.Roots, at)
		d.addRoot(at)
	}
	d.Nodes = append(d.Nodes, Node{Name: n.Name, Parent: n.Parent, Mesh: n.Mesh, Skin: n.Skin,
		Rotation: rigid.Quat{W: 1}, Scale: rigid.Vec{X: 1, Y: 1, Z: 1}, Local: affine.Identity()})
	if n.Scale == (rigid.Vec{}) {
		n.Scale = rigid.Vec{X: 1, Y: 1, Z: 1}
	}
	d.SetLocal(at, affine.FromTRS(n.Translation, n.Rotation, n.Scale))
	return at
}

func (d *Document) addRoot(node int) {
	scenes := d.root.List("scenes")
	if scenes.Len() == 0 {
		scenes.Append(jsontree.NewObject())
		d.root.Set("scene", jsontree.NewInt(0))
	}
	scenes.At(0).List("nodes").Append(jsontree.NewInt(node))
}

// AddMesh adds a mesh; its accessors must exist. Views of vertices and of indices are marked as such.
func (d *Document) AddMesh(m Mesh) int {
	parts := jsontree.NewArray()
	for _, p := range m.Primitives {
		v := jsontree.NewObject().Set("attributes", d.attributes(p.Attributes))
		if p.Indices >= 0 {
			v.Set("indices", jsontree.NewInt(p.Indices))
			d.mark(p.Indices, 34963) // ELEMENT_ARRAY_BUFFER
		}
		if p.Material >= 0 {
			v.Set("material", jsontree.NewInt(p.Material))
		}
		if p.Mode != 4 {
			v.Set("mode", jsontree.NewInt(p.Mode))
		}
		if len(p.Targets) > 0 {
			targets := jsontree.NewArray()
			for _, t := range p.Targets {
				targets.Append(d.attributes(t))
			}
			v.Set("targets", targets)
		}
		parts.Append(v)
	}
	v := jsontree.NewObject().Set("name", jsontree.NewString(m.Name)).Set("primitives", parts)
	if len(m.TargetNames) > 0 {
		names := jsontree.NewArray()
		for _, name := range m.TargetNames {
			names.Append(jsontree.NewString(name))
		}
		v.Set("weights", jsontree.NewNumbers(make([]float64, len(m.TargetNames))...))
		v.Set("extras", jsontree.NewObject().Set("targetNames", names))
		m.Weights = make([]float64, len(m.TargetNames))
	}
	d.Meshes, d.users = append(d.Meshes, m), nil
	return d.root.List("meshes").Append(v)
}

func (d *Document) attributes(list []Attribute) *jsontree.Value {
	v := jsontree.NewObject()
	for _, a := range list {
		v.Set(a.Name, jsontree.NewInt(a.Accessor))
		d.mark(a.Accessor, 34962) // ARRAY_BUFFER
	}
	return v
}

func (d *Document) mark(accessor, target int) {
	if view := d.Accessors[accessor].base.view; view >= 0 {
		d.member("bufferViews", view).Set("target", jsontree.NewInt(target))
	}
}

// AddSkin adds a skin with the given inverse bind matrices, one a joint.
func (d *Document) AddSkin(name string, joints []int, inverseBinds []affine.Map) (int, error) {
	d.Skins = append(d.Skins, Skin{Name: name, Joints: joints, InverseBinds: -1})
	i := d.root.List("skins").Append(jsontree.NewObject().Set("name", jsontree.NewString(name)).Set("joints", jsontree.NewInts(joints...)))
	return i, d.SetInverseBinds(i, inverseBinds)
}

// AddAnimation adds an animation without tracks; the file is whole when AddTrack has given it one.
func (d *Document) AddAnimation(name string) int {
	d.Animations = append(d.Animations, Animation{Name: name})
	return d.root.List("animations").Append(jsontree.NewObject().Set("name", jsontree.NewString(name)).
		Set("channels", jsontree.NewArray()).Set("samplers", jsontree.NewArray()))
}

// AddTrack adds a channel with a sampler of its own. path is translation, rotation, scale or weights; values hold a key
// after the other, three times as many with CUBICSPLINE.
func (d *Document) AddTrack(animation, node int, path string, times, values []float32, interpolation string) error {
	c := Channel{Sampler: len(d.Animations[animation].Samplers), Node: node, Path: path}
	if err := d.fits(animation, c, times, values, interpolation); err != nil {
		return err
	}
	a := &d.Animations[animation]
	a.Channels = append(a.Channels, c)
	v := d.member("animations", animation)
	v.List("channels").Append(jsontree.NewObject().Set("sampler", jsontree.NewInt(c.Sampler)).
		Set("target", jsontree.NewObject().Set("node", jsontree.NewInt(node)).Set("path", jsontree.NewString(path))))
	d.addSampler(animation, path, times, values, interpolation, jsontree.NewObject())
	return nil
}

// addSampler adds one whose further members, as extras, are those of v.
func (d *Document) addSampler(animation int, path string, times, values []float32, interpolation string, v *jsontree.Value) {
	s := Sampler{Input: d.AddFloats("SCALAR", times), Output: d.AddFloats(outputType(path), values), Interpolation: interpolation}
	d.use(s.Input, 1)
	d.use(s.Output, 1)
	a := &d.Animations[animation]
	a.Samplers = append(a.Samplers, s)
	d.member("animations", animation).List("samplers").Append(v.Set("input", jsontree.NewInt(s.Input)).
		Set("output", jsontree.NewInt(s.Output)).Set("interpolation", jsontree.NewString(interpolation)))
}

// fits checks what a track is to hold.
func (d *Document) fits(animation int, c Channel, times, values []float32, interpolation string) error {
	path := "animations[" + strconv.Itoa(animation) + "] " + c.Path + " of node " + strconv.Itoa(c.Node)
	width := d.pathWidth(c)
	want := width * len(times)
	if interpolation == "CUBICSPLINE" {
		want *= 3
	}
	switch {
	case width <= 0:
		return &FormatError{path, "no such path", "is translation, rotation or scale, or weights of a mesh with targets"}
	case len(times) == 0 || len(values) != want:
		return &FormatError{path, quantity.Things(len(values), "number", "numbers") + " for " + quantity.Things(len(times), "key", "keys"), "are " + strconv.Itoa(want) + ", and at least one key"}
	}
	for i, t := range times {
		if !(t >= 0) || i > 0 && !(t > times[i-1]) {
			return &FormatError{path, "key " + strconv.Itoa(i) + " is at " + strconv.FormatFloat(float64(t), 'g', -1, 32) + " s", "are times that rise from 0 or later"}
		}
	}
	for i, x := range values {
		if !(x <= maxLength && x >= -maxLength) {
			return &FormatError{path, "number " + strconv.Itoa(i) + " is " + strconv.FormatFloat(float64(x), 'g', -1, 32), "is a size up to 1e+12"}
		}
	}
	return nil
}

// SetTrack replaces the keys of a channel. What its sampler or its accessors share with others is left to the others.
func (d *Document) SetTrack(animation, channel int, times, values []float32, interpolation string) error {
	a := &d.Animations[animation]
	c := a.Channels[channel]
	if err := d.fits(animation, c, times, values, interpolation); err != nil {
		return err
	}
	sharers := 0
	if d.namedIn(animation).has(c.Sampler) {
		sharers++ // which only another program knows
	}
	for _, other := range a.Channels {
		if other.Sampler == c.Sampler {
			sharers++
		}
	}
	v := d.member("animations", animation)
	if sharers > 1 {
		a.Channels[channel].Sampler = len(a.Samplers)
		v.Member("channels").At(channel).Set("sampler", jsontree.NewInt(len(a.Samplers)))
		d.addSampler(animation, c.Path, times, values, interpolation, v.Member("samplers").At(c.Sampler).Copy())
		return nil
	}
	s, sv := &a.Samplers[c.Sampler], v.Member("samplers").At(c.Sampler)
	for _, side := range []struct {
		name, kind string
		at         *int
		values     []float32
	}{{"input", "SCALAR", &s.Input, times}, {"output", outputType(c.Path), &s.Output, values}} {
		if err := d.replace(sv, side.name, side.kind, side.at, side.values); err != nil {
			return err
		}
	}
	if interpolation != s.Interpolation {
		s.Interpolation = interpolation
		sv.Set("interpolation", jsontree.NewString(interpolation))
	}
	return nil
}

// instead adds an accessor of floats in the place of another, whose name and extras it takes on; −1 for none.
func (d *Document) instead(of int, kind string, values []float32) int {
	at := d.AddFloats(kind, values)
	for _, name := range []string{"name", "extras"} {
		if v := d.member("accessors", of).Member(name); v != nil {
			d.member("accessors", at).Set(name, v)
		}
	}
	return at
}

// replace gives an accessor other numbers, or a user of it another accessor where it is shared or of another length.
func (d *Document) replace(user *jsontree.Value, name, kind string, accessor *int, values []float32) error {
	if a := d.Accessors[*accessor]; d.uses(*accessor) == 1 && a.Count*a.Width == len(values) {
		return d.SetFloats(*accessor, values)
	} else if slices.Equal(d.Floats(*accessor), values) {
		return nil // shared times, as a rule
	}
	d.use(*accessor, -1)
	*accessor = d.instead(*accessor, kind, values)
	d.use(*accessor, 1)
	user.Set(name, jsontree.NewInt(*accessor))
	return nil
}

func outputType(path string) string {
	switch path {
	case "rotation":
		return "VEC4"
	case "weights":
		return "SCALAR"
	}
	return "VEC3"
}
