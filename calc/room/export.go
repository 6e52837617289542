package room

import (
	"errors"
	"strconv"

	"centrode/calc/carry"
	"centrode/calc/jsontree"
	"centrode/calc/quantity"
	"centrode/calc/spell"
)

// Options say how a move is carried out.
type Options struct {
	Orient    string // keep or aim
	Animation string // keep or leave
}

func (r *Room) plan(a Ask, o Options) (*carry.Plan, error) {
	if err := r.check(a); err != nil {
		return nil, err
	}
	if !a.Candidate {
		return nil, errors.New("there is no candidate pivot yet; drag it, or let a target propose one")
	}
	options := carry.Options{To: a.Pivot}
	var err error
	if options.Aim, err = either("orient", o.Orient, "aim"); err != nil {
		return nil, err
	}
	if options.Leave, err = either("animation", o.Animation, "leave"); err != nil {
		return nil, err
	}
	return carry.Make(r.body, a.Joint, options)
}

// either reads a choice between keep and another word; nothing stands for keep.
func either(name, given, other string) (bool, error) {
	switch given {
	case "", "keep":
		return false, nil
	case other:
		return true, nil
	}
	return false, errors.New(name + ": " + strconv.Quote(given) + " must be keep or " + other + spell.Offer(given, []string{"keep", other}))
}

// Plan tells what carrying out the candidate will change and what could be lost, and notes what cannot be done as asked, as JSON; it
// changes nothing.
func (r *Room) Plan(a Ask, o Options) ([]byte, error) {
	p, err := r.plan(a, o)
	if err != nil {
		return nil, err
	}
	rows := jsontree.NewArray()
	row := func(node string, was, is *jsontree.Value) {
		rows.Append(jsontree.NewObject().Set("joint", jsontree.NewString(node)).Set("was", was).Set("is", is))
	}
	for _, place := range p.Places {
		was, is := place.Values()
		row(place.Name, cells(was), cells(is))
	}
	for _, h := range p.Hung { // of a node that was not there
		row(h.New, jsontree.NewArray(), cells(h.Values()))
	}
	return jsontree.NewObject().Set("will", jsontree.NewStrings(p.Will()...)).Set("lose", jsontree.NewStrings(p.Lose()...)).
		Set("notes", jsontree.NewStrings(p.Notes...)).Set("rows", rows).AppendTo(nil), nil
}

func cells(v carry.Values) *jsontree.Value {
	list := jsontree.NewArray()
	for _, x := range []float64{v.Translation.X, v.Translation.Y, v.Translation.Z} {
		list.Append(jsontree.NewString(quantity.Number(x, 4)))
	}
	for _, x := range []float64{v.Angles.X, v.Angles.Y, v.Angles.Z} {
		list.Append(jsontree.NewString(quantity.Number(x, 3)))
	}
	return list
}

// Export carries the candidate out: the new file, the change as centrode-move-1, and an entry for a placement sheet.
func (r *Room) Export(a Ask, o Options) (glb, change, sheet []byte, err error) {
	p, err := r.plan(a, o)
	if err != nil {
		return nil, nil, nil, err
	}
	glb, drift, err := p.GLB()
	if err != nil {
		return nil, nil, nil, err
	}
	found := r.found // its numbers belong on the sheet when they are about this joint
	if found != nil && found.Joint != a.Joint {
		found = nil
	}
	return glb, p.JSON(drift).AppendTo(nil), p.Entry(found).AppendJSON(nil), nil
}
