//go:build js

// Command wasm carries values between the pages and the calculators, all of them in one module.
//
// It computes nothing: every function finds the calculator by its id, hands text to calc/plate and returns text. The
// page reaches them through wasm/door.
package main

import (
	"centrode/calc/catalog"
	"centrode/calc/catalog/list"
	"centrode/calc/plate"
	"centrode/calc/quantity"
	"centrode/calc/sheet"
	"centrode/wasm/door"
)

func main() {
	door.Open(
		about("solve", solve), about("drag", drag), about("nudge", nudge), about("export", export), about("grade", grade), about("table", table),
		about("probe", probe), about("begin", begin), about("step", step), about("finish", finish), about("fresh", fresh), about("entry", entry),
		door.Function{Name: "speak", Call: speak},
	)
}

// desk answers for all plates of a page.
var desk plate.Desk

// speak(words) has drawings say their texts in the words of the page: a function from text to text.
func speak(args door.Arguments) (string, error) {
	desk = plate.Desk{Words: args.Words(0)}
	return "", nil
}

// about finds the calculator that is named by the first argument.
func about(name string, f func(c catalog.Calculator, args door.Arguments) (string, error)) door.Function {
	return door.Function{Name: name, Call: func(args door.Arguments) (string, error) {
		c, err := list.Find(args.Text(0))
		if err != nil {
			return "", err
		}
		return f(c, args)
	}}
}

// solve(id, state, base, width, prefix, units, rough, held) answers the plate as JSON.
func solve(c catalog.Calculator, args door.Arguments) (string, error) {
	return string(desk.Solve(c, request(args))), nil
}

// drag(id, state, base, width, prefix, units, handle, px, py) answers a state.
func drag(c catalog.Calculator, args door.Arguments) (string, error) {
	return desk.Drag(c, request(args), int(args.Number(6)), args.Number(7), args.Number(8))
}

// nudge(id, state, base, width, prefix, units, handle, dx, dy) answers a state.
func nudge(c catalog.Calculator, args door.Arguments) (string, error) {
	return desk.Nudge(c, request(args), int(args.Number(6)), args.Number(7), args.Number(8))
}

// export(id, state, format) answers the text that the command line prints.
func export(c catalog.Calculator, args door.Arguments) (string, error) {
	return plate.Export(c, args.Text(1), args.Text(2))
}

// grade(id, output, text, answer, tolerance, hints) judges a reader's answer, as JSON.
func grade(c catalog.Calculator, args door.Arguments) (string, error) {
	return string(plate.GradeOutput(c, args.Text(1), args.Text(2), args.Text(3), args.Text(4), args.Text(5))), nil
}

// fresh(id, recipe, set, width, prefix) answers an exercise with the numbers of a set, as JSON.
func fresh(c catalog.Calculator, args door.Arguments) (string, error) {
	return string(desk.Fresh(c, args.Text(1), args.Text(2), args.Number(3), args.Text(4))), nil
}

// table(id, table, text, labels) reads a block of cells, as JSON.
func table(c catalog.Calculator, args door.Arguments) (string, error) {
	return string(plate.PastedJSON(c, args.Text(1), args.Text(2), args.Text(3))), nil
}

// probe(id, state, base, width, prefix, units, px, py) answers what the drawing holds at a point, in words.
func probe(c catalog.Calculator, args door.Arguments) (string, error) {
	return plate.Probe(c, request(args), args.Number(6), args.Number(7))
}

// entry(id, state, base, title) answers the plate as an entry of a placement sheet.
func entry(c catalog.Calculator, args door.Arguments) (string, error) {
	e, err := sheet.FromPlate(c, args.Text(2), args.Text(1), args.Text(3))
	return string(e.AppendJSON(nil)), err
}

// job is the one long piece of work that a page or a worker has under way; beginning another gives it up.
var job = &plate.Job{}

// begin(id, state, base, width, prefix, units, rough) begins a solve in parts and answers how many there are.
func begin(c catalog.Calculator, args door.Arguments) (string, error) {
	begun, err := desk.Begin(c, request(args))
	if err != nil {
		return "", err
	}
	job = begun
	return quantity.Shortest(float64(job.Total())), nil
}

// step(id, parts) does up to so many parts and answers how many are done.
func step(_ catalog.Calculator, args door.Arguments) (string, error) {
	return quantity.Shortest(float64(job.Step(int(args.Number(1))))), nil
}

// finish(id, state, base, width, prefix, units, rough, held) answers what was begun as solve would; asked again, it only draws again.
func finish(_ catalog.Calculator, args door.Arguments) (string, error) {
	return string(desk.Finish(job, request(args))), nil
}

// request reads the plate that solve, drag and nudge are about.
func request(a door.Arguments) plate.Request {
	return plate.Request{State: a.Text(1), Base: a.Text(2), Width: a.Number(3), ID: a.Text(4), Units: quantity.UnitsNamed(a.Text(5)), Rough: a.Truth(6), Held: a.Truth(7)}
}
