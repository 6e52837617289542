package carry

import (
	"math"

	"centrode/calc/body"
	"centrode/calc/gltf"
	"centrode/calc/rigid"
)

// GLB writes the moved character as one binary file. Only the values of the plan are new; everything else is as it was. It is
// read again and its rest surface compared: drift is the farthest that any vertex has left its place, in cm; not a number where the file
// shows no surface.
func (p *Plan) GLB() (data []byte, drift float64, err error) {
	doc, err := gltf.Read(p.Body.Doc.GLB(), nil) // a copy, so that the plan can be thrown away
	if err != nil {
		return nil, 0, err
	}
	for _, h := range p.Hung {
		doc.HangMesh(h.From, h.New, h.At)
	}
	for _, place := range p.Places {
		node := place.Node
		doc.SetTranslation(node, place.Is.T)
		switch {
		case p.own[node].L == rigid.Identity() && p.parentBack(node).L == rigid.Identity():
		case place.Folded:
			doc.SetLocal(node, place.Is)
		default: // The scale stays as the file has it: clips turn what it has scaled, and a mirror along another axis they would turn elsewhere.
			doc.SetRotation(node, place.is)
		}
	}
	for _, node := range p.leaves() {
		doc.NoteSurface(node)
	}
	for _, s := range p.Skins {
		if err := doc.SetInverseBinds(s.Skin, s.Binds); err != nil {
			return nil, 0, err
		}
	}
	for _, t := range p.Tracks {
		switch {
		case len(t.times) == 0:
		case t.Channel >= 0:
			err = doc.SetTrack(t.Animation, t.Channel, t.times, t.values, t.interpolation)
		default:
			err = doc.AddTrack(t.Animation, t.Node, t.Path, t.times, t.values, t.interpolation)
		}
		if err != nil {
			return nil, 0, err
		}
	}
	data = doc.GLB()
	drift, err = p.drift(data)
	return data, drift, err
}

func (p *Plan) drift(data []byte) (float64, error) {
	doc, err := gltf.Read(data, nil)
	if err != nil {
		return 0, err
	}
	if p.Body.Bare() {
		return math.NaN(), nil
	}
	again, err := body.New(p.Body.Name, doc)
	if err != nil {
		return 0, err
	}
	first := map[[2]int]int{} // of each primitive of a node
	for _, part := range p.Body.Parts {
		first[[2]int{part.Node, part.Primitive}] = part.First
	}
	drift := 0.0
	for _, part := range again.Parts {
		was := first[[2]int{p.before(part.Node), part.Primitive}]
		for v := range part.Count {
			drift = max(drift, again.Vertex(part.First+v).Sub(p.Body.Vertex(was+v)).Len())
		}
	}
	return drift, nil
}
