package carry

import "centrode/calc/gltf"

// fine is how near to the exact path the straight pieces between new keys must stay, in metres of the world: ten micrometres, see fineness.
const fine = 1e-5

// fineness is fine for segments as bodies have them, from a centimetre to a metre. A file whose unit is taken for a centimetre is a hundred times as
// large, and would get keys for what nobody sees; in one that is as small, ten micrometres would be seen.
func (p *Plan) fineness() float64 {
	least, longest := p.segments()
	switch {
	case least > gltf.CmPerUnit:
		return fine * least / gltf.CmPerUnit
	case longest > 0 && longest < 1:
		return fine * longest
	}
	return fine
}

// segments are the lengths of the shortest and the longest segment that meet in the joint, in cm; 0 where none has a length.
func (p *Plan) segments() (least, longest float64) {
	for i, j := range p.Body.Joints {
		length := 0.0
		if i == p.Joint && j.Parent >= 0 {
			length = p.From.Sub(p.Body.At(j.Parent)).Len()
		} else if j.Parent == p.Joint && p.Body.Segment(i) == i { // a mesh that hangs as far off as the last move went is none
			length = p.From.Sub(p.Body.At(i)).Len()
		}
		if longest = max(longest, length); length > 0 && (least == 0 || length < least) {
			least = length
		}
	}
	return least, longest
}
