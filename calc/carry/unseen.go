package carry

// leave finds the nodes right below what moves that are the place of a skinned mesh and nothing else. The standard has a skin alone say where
// its mesh is, so a new place of the node would be a change that nobody sees, and one that validators warn of. What hangs below such a node is
// seen where it is not of the same kind; then the node stays where it is, as any other. So does one of which data that is not read here speaks:
// that measures from where it is.
// Source: gltf2, on skins.
func (p *Plan) leave() {
	p.unseen = map[int]bool{}
	joint, carries := p.Body.Doc.Jointed(), map[int]bool{} // of meshes: many nodes may place one of many parts
	bare := func(node int) bool {
		n := p.Body.Doc.Nodes[node]
		if n.Mesh < 0 || n.Skin < 0 || p.hangs(node) {
			return false
		}
		carry, known := carries[n.Mesh]
		if !known {
			carry = p.Body.Carries(node)
			carries[n.Mesh] = carry
		}
		return !carry && !joint[node]
	}
	for above := range p.own {
		if p.still(above) {
			continue
		}
		for _, node := range p.Body.Doc.Nodes[above].Children {
			if p.allBelow(node, bare) {
				p.unseen[node] = true
			}
		}
	}
	p.heed()
}

// heed takes out of the unseen those that data in the file speaks of, or of what hangs below them.
func (p *Plan) heed() {
	var nodes, tops []int
	for top := range p.unseen {
		p.allBelow(top, func(node int) bool {
			nodes, tops = append(nodes, node), append(tops, top)
			return true
		})
	}
	for i, spoken := range p.Body.Doc.Spoken(nodes) {
		if spoken {
			delete(p.unseen, tops[i])
		}
	}
}

// allBelow reports whether something is true of a node and of all below it.
func (p *Plan) allBelow(node int, is func(node int) bool) bool {
	open := []int{node} // a chain may be too deep to call oneself
	for len(open) > 0 {
		at := open[len(open)-1]
		if !is(at) {
			return false
		}
		open = append(open[:len(open)-1], p.Body.Doc.Nodes[at].Children...)
	}
	return true
}
