//go:build js

// Command room carries a character's file and its surfaces between the fitting room and calc/room, in a module of its own.
//
// It computes nothing. Vertices cross as bytes of typed arrays, everything small as text; what is refused comes back as
// a JavaScript Error that the page shows. The worker installs globalThis.centrodeReady before it starts the program;
// main calls it once with the functions and then waits for ever. A panic becomes a refusal, and the page stays.
package main

import (
	"errors"
	"syscall/js"

	"centrode/calc/room"
)

func main() {
	api := js.Global().Get("Object").New()
	for name, f := range map[string]call{
		"open": open, "describe": describe, "triangles": triangles, "pick": pick, "pose": pose, "surface": surface,
		"joints": joints, "measure": measure, "addTarget": addTarget, "propose": propose, "carried": carried, "map": errorMap, "plan": plan, "export": export,
	} {
		api.Set(name, js.FuncOf(guarded(f)))
	}
	js.Global().Call("centrodeReady", api)
	select {}
}

// character is the file that is open.
var character *room.Room

var errNothingOpen = errors.New("no file is open yet; drop one, or choose a character of the cast")

// with answers from the open character.
func with(f func(r *room.Room) (any, error)) (any, error) {
	if character == nil {
		return nil, errNothingOpen
	}
	return f(character)
}

// open(names, datas) reads a character; the one that was open stays when it is refused.
func open(args []js.Value) (any, error) {
	r, err := room.Open(files(args))
	if err != nil {
		return nil, err
	}
	character = r
	return nil, nil
}

// addTarget(names, datas) reads a second file of the same topology.
func addTarget(args []js.Value) (any, error) {
	return with(func(r *room.Room) (any, error) { return nil, r.AddTarget(files(args)) })
}

// describe() answers what the file holds, as JSON.
func describe([]js.Value) (any, error) {
	return with(func(r *room.Room) (any, error) { return string(r.Describe()), nil })
}

// triangles() answers three vertices a triangle, as bytes of unsigned 32-bit numbers.
func triangles([]js.Value) (any, error) {
	return with(func(r *room.Room) (any, error) { return array(r.Triangles()), nil })
}

// pick(from, along, candidate) answers what a line of sight meets, as JSON.
func pick(args []js.Value) (any, error) {
	return with(func(r *room.Room) (any, error) {
		return string(r.Pick(vector(args[0]), vector(args[1]), args[2].Bool())), nil
	})
}

// pose(ask) computes the surfaces that surface, joints and measure then answer.
func pose(args []js.Value) (any, error) {
	return with(func(r *room.Room) (any, error) { return nil, r.Pose(ask(args[0])) })
}

// surface(candidate, anyway, positions, normals) writes the posed surface into the bytes that it is given, and answers whether
// it did: one that was given before is written only if anyway.
func surface(args []js.Value) (any, error) {
	return with(func(r *room.Room) (any, error) {
		positions, normals, fresh := r.Surface(args[0].Bool())
		if !fresh && !args[1].Bool() {
			return false, nil
		}
		js.CopyBytesToJS(args[2], positions)
		js.CopyBytesToJS(args[3], normals)
		return true, nil
	})
}

// joints(candidate) answers where the joints stand, as bytes of 32-bit floats.
func joints(args []js.Value) (any, error) {
	return with(func(r *room.Room) (any, error) { return array(r.JointsPosed(args[0].Bool())), nil })
}

// measure() answers the read-outs, as JSON.
func measure([]js.Value) (any, error) {
	return with(func(r *room.Room) (any, error) { return string(r.Measure()), nil })
}

// propose(joint, targets) answers the pivot that the targets ask for, as JSON.
func propose(args []js.Value) (any, error) {
	return with(func(r *room.Room) (any, error) { return text(r.Propose(args[0].Int(), texts(args[1]))) })
}

// map(joint, targets, axis, at, cells, width, words) answers the error map on a slice, drawn, as a tree in JSON.
func errorMap(args []js.Value) (any, error) {
	return with(func(r *room.Room) (any, error) {
		return text(r.ErrorMap(args[0].Int(), texts(args[1]), args[2].Int(), args[3].Float(), args[4].Int(), args[5].Float(), words(args[6])))
	})
}

// carried() answers how the pivot's place is turned from rest to the pose, row by row.
func carried([]js.Value) (any, error) {
	return with(func(r *room.Room) (any, error) {
		m := r.Carried()
		row := make([]any, len(m))
		for i, x := range m {
			row[i] = x
		}
		return row, nil
	})
}

// plan(ask, orient, animation, within in cm, others) answers what would change and what could be lost, as JSON.
func plan(args []js.Value) (any, error) {
	return with(func(r *room.Room) (any, error) { return text(r.Plan(ask(args[0]), options(args))) })
}

// export(ask, orient, animation, within in cm, others) answers [bytes of a .glb, the changes as lines of JSON, an entry of a placement sheet as
// JSON for each].
func export(args []js.Value) (any, error) {
	return with(func(r *room.Room) (any, error) {
		glb, changes, entries, err := r.Export(ask(args[0]), options(args))
		list := make([]any, len(entries))
		for i, entry := range entries {
			list[i] = entry
		}
		return []any{array(glb), string(changes), list}, err
	})
}
