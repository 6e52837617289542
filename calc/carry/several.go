package carry

import (
	"cmp"
	"errors"
	"slices"
	"strconv"

	"centrode/calc/body"
	"centrode/calc/gltf"
	"centrode/calc/propose"
	"centrode/calc/rigid"
	"centrode/calc/sheet"
)

// Goal is a joint of a file with its new place, in cm, in the world of the rest pose that the file has before any move.
type Goal struct {
	Joint int
	To    rigid.Vec
}

// Moved is what one of several moves tells. Of its plan nothing is kept: each holds a whole character.
type Moved struct {
	Joint             string
	Own               rigid.Vec // the move as the joint saw it before any of them, in cm
	Will, Lose, Notes []string
	Change            []byte // JSON, centrode-move-1
	Entry             sheet.Entry

	typed []Typed
}

// Typed is a node with the values to type in; a new one has none before.
type Typed struct {
	Node    int
	Name    string
	Was, Is Values
	New     bool
}

// Several makes moves one after another, each in the file that the one before gave, those nearer to the root first: where joints are aimed, a
// parent is turned before what it carries. It returns what each tells, the last file, and how far any vertex of the rest surface may have
// left its place, in cm, not a number where there is no surface. What was found for one of the joints goes on its entry. Refused is what Make refuses, and a joint that is moved twice.
func Several(b *body.Body, goals []Goal, o Options, found *propose.Proposal) (done []Moved, glb []byte, drift float64, err error) {
	depth := func(g Goal) (n int) {
		for up := b.Joints[g.Joint].Parent; up >= 0; up = b.Joints[up].Parent {
			n++
		}
		return n
	}
	goals, first := slices.Clone(goals), b
	slices.SortStableFunc(goals, func(a, b Goal) int { return cmp.Compare(depth(a), depth(b)) })
	for i, g := range goals {
		j := first.Joints[g.Joint]
		if slices.ContainsFunc(goals[:i], func(h Goal) bool { return h.Joint == g.Joint }) {
			return nil, nil, 0, errors.New(strconv.Quote(j.Name) + ": is moved twice; give each joint one place")
		}
		if i > 0 {
			doc, err := gltf.Read(glb, nil)
			if err == nil {
				b, err = body.New(first.Name, doc)
			}
			if err != nil {
				return nil, nil, 0, err
			}
		}
		joint, err := b.Find("#" + strconv.Itoa(j.Node)) // nodes that a move adds stand behind all others
		if err != nil {
			return nil, nil, 0, err
		}
		o.To = g.To
		p, err := Make(b, joint, o)
		if err != nil {
			return nil, nil, 0, err
		}
		data, off, err := p.GLB()
		if err != nil {
			return nil, nil, 0, err
		}
		of := found
		if of != nil && of.Joint != g.Joint {
			of = nil
		}
		back, _ := j.World.Inverse() // what has none is refused by Make
		glb, drift = data, drift+off
		done = append(done, Moved{Joint: j.Name, Own: back.Apply(g.To), Will: p.Will(), Lose: p.Lose(), Notes: p.Notes,
			Change: p.JSON(off).AppendTo(nil), Entry: p.Entry(of), typed: p.typed()})
	}
	return done, glb, drift, nil
}

func (p *Plan) typed() (list []Typed) {
	for _, place := range p.Places {
		was, is := place.Values()
		list = append(list, Typed{place.Node, place.Name, was, is, false})
	}
	for k, h := range p.Hung {
		list = append(list, Typed{len(p.Body.Doc.Nodes) + k, h.New, Values{}, h.Values(), true})
	}
	return list
}

// Type are the values to type in after all moves, once for each node: from before the first that changes it, to after the last.
func Type(done []Moved) (list []Typed) {
	at := map[int]int{}
	for _, m := range done {
		for _, t := range m.typed {
			if i, ok := at[t.Node]; ok {
				list[i].Is = t.Is
				continue
			}
			at[t.Node] = len(list)
			list = append(list, t)
		}
	}
	return list
}

// Once gathers sentences of all moves, each once.
func Once(done []Moved, of func(Moved) []string) (list []string) {
	known := map[string]bool{}
	for _, m := range done {
		for _, line := range of(m) {
			if !known[line] {
				known[line] = true
				list = append(list, line)
			}
		}
	}
	return list
}
