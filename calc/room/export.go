package room

import (
	"errors"
	"strconv"

	"centrode/calc/carry"
	"centrode/calc/jsontree"
	"centrode/calc/quantity"
	"centrode/calc/rigid"
	"centrode/calc/spell"
)

// Options say how a move is carried out.
type Options struct {
	Orient    string  // keep or aim
	Animation string  // keep or leave
	Others    []Other // joints that are moved in the same file
	Within    float64 // how far a segment may stray where animation is kept, in cm; see carry.Options
}

// Other is a joint with its candidate, in cm, in the world at rest.
type Other struct {
	Joint int
	Pivot rigid.Vec
}

// moved carries the candidates out in memory.
func (r *Room) moved(a Ask, o Options) (done []carry.Moved, glb []byte, err error) {
	if err := r.check(a); err != nil {
		return nil, nil, err
	}
	if !a.Candidate {
		return nil, nil, errors.New("there is no candidate pivot yet; drag it, or let a target propose one")
	}
	goals := []carry.Goal{{Joint: a.Joint, To: a.Pivot}}
	for _, other := range o.Others {
		if err := r.check(Ask{Joint: other.Joint, Pivot: other.Pivot, Clip: -1, Point: -1}); err != nil {
			return nil, nil, err
		}
		goals = append(goals, carry.Goal{Joint: other.Joint, To: other.Pivot})
	}
	options := carry.Options{Within: o.Within}
	if options.Aim, err = either("orient", o.Orient, "aim"); err != nil {
		return nil, nil, err
	}
	if options.Leave, err = either("animation", o.Animation, "leave"); err != nil {
		return nil, nil, err
	}
	done, glb, _, err = carry.Several(r.body, goals, options, r.found)
	return done, glb, err
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
	done, _, err := r.moved(a, o)
	if err != nil {
		return nil, err
	}
	rows := jsontree.NewArray()
	for _, t := range carry.Type(done) {
		was := jsontree.NewArray() // of a node that was not there
		if !t.New {
			was = cells(t.Was)
		}
		rows.Append(jsontree.NewObject().Set("joint", jsontree.NewString(t.Name)).Set("was", was).Set("is", cells(t.Is)))
	}
	texts := func(of func(carry.Moved) []string) *jsontree.Value {
		return jsontree.NewStrings(carry.Once(done, of)...)
	}
	return jsontree.NewObject().Set("will", texts(func(m carry.Moved) []string { return m.Will })).
		Set("lose", texts(func(m carry.Moved) []string { return m.Lose })).
		Set("notes", texts(func(m carry.Moved) []string { return m.Notes })).Set("rows", rows).AppendTo(nil), nil
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

// Export carries the candidates out: the new file, each change as a line of centrode-move-1, and an entry each for a placement sheet.
func (r *Room) Export(a Ask, o Options) (glb, changes []byte, entries []string, err error) {
	done, glb, err := r.moved(a, o)
	if err != nil {
		return nil, nil, nil, err
	}
	for _, m := range done {
		changes = append(append(changes, m.Change...), '\n')
		entries = append(entries, string(m.Entry.AppendJSON(nil)))
	}
	return glb, changes, entries, nil
}
