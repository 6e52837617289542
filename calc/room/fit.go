package room

import (
	"encoding/binary"
	"errors"
	"math"

	"centrode/calc/body"
	"centrode/calc/jsontree"
	"centrode/calc/propose"
	"centrode/calc/rigid"
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
		r.found = &p
	}
	return p, err
}

// mostCells bounds the cells of a map's side: a page draws no more.
const mostCells = 200

// Slice maps what turning alone would leave with the pivot at each place of a flat piece of space through the body. axis 0,
// 1 or 2 cuts across x, y or z at that coordinate; −1 across the axis that was found, through the pivot. It answers with JSON
// on where the cells lie, and the values, 32-bit floats row by row.
func (r *Room) Slice(joint int, targets []string, axis int, at float64, cells int) (description, values []byte, err error) {
	if cells < 2 || cells > mostCells || axis < -1 || axis > 2 || !(math.Abs(at) <= 1e6) {
		return nil, nil, errors.New("a map takes from 2 to 200 cells a side, and an axis from −1 to 2")
	}
	p, err := r.find(joint, targets)
	if err != nil {
		return nil, nil, err
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
	s := p.Across(through, normal, p.Half(), cells)
	for _, v := range s.Values {
		values = binary.LittleEndian.AppendUint32(values, math.Float32bits(float32(v)))
	}
	return jsontree.NewObject().Set("origin", vec(s.Origin)).Set("u", vec(s.U)).Set("v", vec(s.V)).
		Set("nx", jsontree.NewInt(s.Cells)).Set("ny", jsontree.NewInt(s.Cells)).
		Set("least", jsontree.NewNumber(s.Least)).Set("most", jsontree.NewNumber(s.Most)).
		Set("pivot", vec(p.Pivot)).Set("left", jsontree.NewNumber(p.Left)).AppendTo(nil), values, nil
}
