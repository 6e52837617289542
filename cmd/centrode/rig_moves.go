package main

import (
	"bufio"
	"bytes"
	"fmt"
	"io"
	"path/filepath"

	"centrode/calc/body"
	"centrode/calc/carry"
	"centrode/calc/catalog"
	"centrode/calc/quantity"
	"centrode/calc/rigid"
	"centrode/cmd/centrode/internal/batch"
)

// move is one joint and its new place, in cm: in the world of the rest pose or, where own is set, as the joint itself sees it.
type move struct {
	joint string
	to    rigid.Vec
	own   bool
}

// mostMoves is more joints than a character has that one would move at once; each reads the whole file again.
const mostMoves = 200

// movesTable is a file of moves. Its places stand in the world or, with own before their names, in the joint's frame.
func movesTable(own string) catalog.Table {
	columns := []catalog.Column{{ID: "joint", Label: "Joint", Text: true}}
	for _, axis := range []string{"x", "y", "z"} {
		columns = append(columns, catalog.Column{ID: own + axis, Label: own + axis, Kind: quantity.Length, Min: -1e6, Max: 1e6})
	}
	return catalog.Table{ID: "moves", Label: "Moves", Columns: columns, MinRows: 1, MaxRows: mostMoves}
}

// readMoves reads a file of moves.
func readMoves(name string, stdin io.Reader) ([]move, error) {
	in, done, err := open(name, "a CSV or a JSON file of moves", stdin)
	if err != nil {
		return nil, err
	}
	defer done()
	text, err := io.ReadAll(batch.NewBounded(in))
	if err != nil {
		return nil, fmt.Errorf("%s: %w", inputName(name), err)
	}
	prefix := ""
	if bytes.Contains(text, []byte("own_")) {
		prefix = "own_"
	}
	spec, v := catalog.Spec{ID: "rig move", Tables: []catalog.Table{movesTable(prefix)}}, catalog.NewValues()
	if err := fillTable(spec, &v, "moves", bufio.NewReader(bytes.NewReader(text))); err != nil {
		return nil, fmt.Errorf("%s: %w", inputName(name), err)
	}
	rows := v.Tables["moves"]
	if rows.Len == 0 {
		return nil, fmt.Errorf("%s: holds no move; write one row for each joint below the names of the columns", inputName(name))
	}
	list := make([]move, rows.Len)
	for i := range list {
		at := func(axis string) float64 { return rows.Numbers[prefix+axis][i] }
		list[i] = move{joint: rows.Texts["joint"][i], to: rigid.Vec{X: at("x"), Y: at("y"), Z: at("z")}, own: prefix != ""}
	}
	return list, nil
}

// carryOut makes all moves in memory.
func carryOut(file string, moves []move, o carry.Options) (done []carry.Moved, glb []byte, drift float64, err error) {
	doc, err := readModel(file)
	if err != nil {
		return nil, nil, 0, err
	}
	b, err := body.New(filepath.Base(file), doc)
	if err != nil {
		return nil, nil, 0, err
	}
	goals := make([]carry.Goal, len(moves))
	for i, m := range moves {
		joint, err := b.Find(m.joint)
		if err != nil {
			return nil, nil, 0, err
		}
		goals[i] = carry.Goal{Joint: joint, To: m.to}
		if m.own {
			goals[i].To = b.Joints[joint].World.Apply(m.to)
		}
	}
	return carry.Several(b, goals, o, nil)
}
