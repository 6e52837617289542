package carry

import (
	"strconv"

	"centrode/calc/propose"
	"centrode/calc/quantity"
	"centrode/calc/sheet"
)

// Sheet is a placement sheet of moves in a file. Who decided, when and why is left to be filled in.
func Sheet(file string, done []Moved) sheet.Sheet {
	s := sheet.Sheet{Title: sheet.Line("Pivots of " + file)}
	for _, m := range done {
		s.Entries = append(s.Entries, m.Entry)
	}
	if len(done) == 1 {
		s.Title = done[0].Entry.Title
	}
	return s
}

// Entry is the move as an entry of a placement sheet: with the numbers of a proposal where there is one, and how orientation and, where a
// clip changes, animation are kept, and which nodes are new, without which whoever carries the sheet out makes another file.
func (p *Plan) Entry(found *propose.Proposal) sheet.Entry {
	b := p.Body
	name := b.Joints[p.Joint].Name
	m := sheet.Measured{File: sheet.Line(b.Name), Current: p.From, Candidate: p.Options.To}
	if parent := b.Joints[p.Joint].Parent; parent >= 0 {
		at := b.At(parent)
		m.Parent = &at
	}
	if child := b.Child(p.Joint); child >= 0 {
		at := b.At(child)
		m.Child = &at
	}
	entry := sheet.Entry{Title: sheet.Line("The pivot of " + name), Joint: sheet.Line(name), Measured: m}
	if found != nil {
		entry.Numbers = []sheet.Number{{ID: "residual", Label: "Left by rotation alone", Kind: quantity.Length, Digits: 3,
			Current: sheet.Of(found.At(p.From)), Candidate: sheet.Of(found.At(p.Options.To))}}
	}
	orient, animation := p.Options.words()
	if p.Options.Aim {
		orient += ", " + p.Options.AimAxis
	}
	word := func(id, label, text string) {
		entry.Numbers = append(entry.Numbers, sheet.Number{ID: id, Label: label, Kind: quantity.Ratio, Candidate: sheet.Word(text)})
	}
	word("orient", "Orientation", orient)
	for k, h := range p.Hung {
		word("new-node-"+strconv.Itoa(k+1), sheet.Line("New node for the mesh of "+h.Name), sheet.Line(h.New))
	}
	if strays, changes := p.offPath(); changes {
		if p.Options.Within > 0 && !p.Options.Leave {
			animation += ", within " + atMost(p.Options.Within)
		}
		word("animation", "Animation", animation)
		entry.Numbers = append(entry.Numbers, sheet.Number{ID: "strays", Label: "Farthest off its old path in a clip", Kind: quantity.Length, Digits: 5, Candidate: sheet.Of(strays)})
	}
	return entry
}

// offPath is how far a segment leaves its old path in any clip, and whether a clip changes at all.
func (p *Plan) offPath() (most float64, changes bool) {
	for _, t := range p.Tracks {
		most = max(most, t.Error)
	}
	return most, len(p.Tracks) > 0
}
