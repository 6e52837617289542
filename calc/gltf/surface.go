package gltf

import "strconv"

// Surface is one primitive, decoded.
type Surface struct {
	Positions  []float32 // 3 a vertex
	Normals    []float32 // 3 a vertex; nil where the file has none
	Triangles  []uint32  // 3 a triangle, in the file's sense of turn; nil for points and lines
	Influences int       // joints a vertex may have: 0, 4, 8, …
	Joints     []uint16  // Influences a vertex: places in Skin.Joints
	Weights    []float32 // Influences a vertex, as in the file: not divided by their sum
}

// Surface decodes a primitive. Strips, fans and triangles without indices become a list of triangles; triangles that
// name a vertex twice, as strips do, are kept.
func (d *Document) Surface(mesh, primitive int) Surface {
	p := d.Meshes[mesh].Primitives[primitive]
	s := Surface{Positions: d.Floats(p.Attribute("POSITION")), Normals: d.Floats(p.Attribute("NORMAL"))}
	count := len(s.Positions) / 3
	if len(p.Attributes) > 0 && s.Positions == nil {
		count = d.Accessors[p.Attributes[0].Accessor].Count
		s.Positions = make([]float32, 3*count)
	}
	s.Triangles = triangles(p.Mode, d.Uints(p.Indices), count)
	for p.Attribute("JOINTS_"+strconv.Itoa(s.Influences/4)) >= 0 {
		s.Influences += 4
	}
	s.Joints, s.Weights = make([]uint16, s.Influences*count), make([]float32, s.Influences*count)
	for set := range s.Influences / 4 {
		name := strconv.Itoa(set)
		joints, weights := d.Uints(p.Attribute("JOINTS_"+name)), d.Floats(p.Attribute("WEIGHTS_"+name))
		for i := range 4 * count {
			at := i/4*s.Influences + 4*set + i%4
			s.Joints[at], s.Weights[at] = uint16(joints[i]), weights[i]
		}
	}
	return s
}

// triangles lists the corners of a primitive's triangles; indices nil stands for 0, 1, 2, …
func triangles(mode int, indices []uint32, count int) []uint32 {
	if indices == nil {
		indices = make([]uint32, count)
		for i := range indices {
			indices[i] = uint32(i)
		}
	}
	var list []uint32
	switch mode {
	case 4:
		return indices[:len(indices)/3*3]
	case 5:
		for i := 2; i < len(indices); i++ { // every second one turns the other way
			list = append(list, indices[i-2], indices[i-1+i%2], indices[i-i%2])
		}
	case 6:
		for i := 2; i < len(indices); i++ {
			list = append(list, indices[i-1], indices[i], indices[0])
		}
	}
	return list
}

// Target decodes the displacements of the positions that a morph target makes at weight 1, 3 a vertex; zeros where it
// moves none.
func (d *Document) Target(mesh, primitive, target int) []float32 {
	p := d.Meshes[mesh].Primitives[primitive]
	if moved := d.Floats(find(p.Targets[target], "POSITION")); moved != nil {
		return moved
	}
	if len(p.Attributes) == 0 {
		return nil
	}
	return make([]float32, 3*d.Accessors[p.Attributes[0].Accessor].Count)
}
