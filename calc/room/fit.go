package room

import (
	"errors"
	"math"
	"slices"

	"centrode/calc/body"
	"centrode/calc/figure"
	"centrode/calc/jsontree"
	"centrode/calc/propose"
	"centrode/calc/quantity"
	"centrode/calc/rigid"
	"centrode/calc/slicemap"
)

// Propose fits the pivot of a joint to targets, given by the ids of Describe, all together. It answers with JSON: what is
// known of the pivot, a sentence, rows of words, warnings.
func (r *Room) Propose(joint int, targets []string) ([]byte, error) {
	p, err := r.find(joint, targets)
	if err != nil {
		return nil, err
	}
	rows := jsontree.NewArray()
	for _, row := range p.Rows(r.body) {
		rows.Append(jsontree.NewObject().Set("id", jsontree.NewString(row.ID)).Set("label", jsontree.NewString(row.Label)).Set("text", jsontree.NewString(row.Text)))
	}
	return p.JSON(r.body).Set("rows", rows).AppendTo(nil), nil
}

func (r *Room) find(joint int, targets []string) (propose.Proposal, error) {
	if joint < 0 || joint >= len(r.body.Joints) {
		return propose.Proposal{}, errors.New("choose a joint first")
	}
	if r.found != nil && r.found.Joint == joint && slices.Equal(targets, r.targets) { // another slice of the same map
		return *r.found, nil
	}
	var list []*body.Target
	for _, id := range targets {
		t, err := r.body.Target(id)
		if err != nil {
			return propose.Proposal{}, err
		}
		list = append(list, t)
	}
	p, err := propose.Find(r.body, joint, list, false)
	if err == nil {
		r.found, r.targets = &p, slices.Clone(targets)
	}
	return p, err
}

// mostCells bounds the cells of a map's side: a page draws no more.
const mostCells = 200

// slice maps what turning alone would leave with the pivot at each place of a flat piece of space through the body. axis 0,
// 1 or 2 cuts across x, y or z at that coordinate; −1 across the axis that was found, through the pivot.
func (r *Room) slice(joint int, targets []string, axis int, at float64, cells int) (propose.Proposal, propose.Slice, error) {
	if cells < 2 || cells > mostCells || axis < -1 || axis > 2 || !(math.Abs(at) <= 1e6) {
		return propose.Proposal{}, propose.Slice{}, errors.New("a map takes from 2 to 200 cells a side, and an axis from −1 to 2")
	}
	p, err := r.find(joint, targets)
	if err != nil {
		return p, propose.Slice{}, err
	}
	through, normal := p.Pivot, rigid.Vec{}
	switch axis {
	case 0:
		through.X, normal.X = at, 1
	case 1:
		through.Y, normal.Y = at, 1
	case 2:
		through.Z, normal.Z = at, 1
	}
	return p, p.Across(through, normal, p.Half(), cells), nil
}

// goodEnough is how much more than the least a pivot may leave to lie within the line on an error map, cm: a fiftieth of
// what the map spans, rounded up, so that the line can be drawn; never under half a millimetre, which nobody sees.
func goodEnough(least, most float64) float64 { return figure.Coarse(math.Max(0.05, (most-least)/50)) }

// ErrorMap draws what turning alone would leave with the pivot at each place of a slice through the body, with the body's
// outline where it is cut; see slice for where that is. It answers with the tree of an SVG as JSON, laid out for a
// width in px, in the words of the page.
func (r *Room) ErrorMap(joint int, targets []string, axis int, at float64, cells int, width float64, words figure.Words) ([]byte, error) {
	p, s, err := r.slice(joint, targets, axis, at, cells)
	if err != nil {
		return nil, err
	}
	say := "Least " + quantity.Format(s.Least, quantity.Length, 3) + " on this slice, at most " + quantity.Format(s.Most, quantity.Length, 2) + "."
	f := slicemap.Figure(slicemap.Slice{Corner: s.Origin, U: s.U, V: s.V, Cols: s.Cells, Rows: s.Cells, Values: s.Values, Tolerance: goodEnough(s.Least, s.Most),
		Current: r.body.Joints[joint].World.T, Found: p.Pivot, Positions: r.body.Rest, Triangles: r.body.Triangles,
		Name: "What turning alone leaves, by the place of the pivot", Say: say})
	return figure.AppendJSON(nil, figure.Layout(f, figure.Options{Width: math.Max(240, math.Min(1200, width)), ID: "errors", Words: words})), nil
}
