//go:build js

// Command wasm carries values between the pages and the calculators, all of them in one module.
//
// It computes nothing: every function finds the calculator by its id, hands text to calc/plate and returns text. The
// page installs globalThis.centrodeReady before it starts the program; main calls it once with the functions and then
// waits for ever, since leaving would end them. A panic in a calculator becomes a refusal that the page can show.
package main

import (
	"errors"
	"syscall/js"

	"centrode/calc/catalog"
	"centrode/calc/catalog/list"
	"centrode/calc/plate"
	"centrode/calc/quantity"
)

func main() {
	api := js.Global().Get("Object").New()
	for name, f := range map[string]call{
		"solve": solve, "drag": drag, "nudge": nudge, "export": export, "grade": grade, "table": table, "probe": probe,
		"begin": begin, "step": step, "finish": finish, "fresh": fresh, "entry": entry,
	} {
		api.Set(name, js.FuncOf(guarded(f.about)))
	}
	api.Set("sheet", js.FuncOf(guarded(placements)))
	api.Set("tidy", js.FuncOf(tidy))
	js.Global().Call("centrodeReady", api)
	select {}
}

// call answers with the text for the page; an error becomes a refusal.
type call func(c catalog.Calculator, args arguments) (string, error)

// about finds the calculator named by the first argument.
func (f call) about(args arguments) (string, error) {
	c, err := list.Find(args.text(0))
	if err != nil {
		return "", err
	}
	return f(c, args)
}

// guarded turns errors and panics into refusals.
func guarded(f func(arguments) (string, error)) func(js.Value, []js.Value) any {
	return func(_ js.Value, values []js.Value) (answer any) {
		defer func() {
			if recover() != nil {
				answer = string(plate.Refusal(errors.New("the calculator stopped at these values; change one of them or reset")))
			}
		}()
		text, err := f(values)
		if err != nil {
			return string(plate.Refusal(err))
		}
		return text
	}
}

// solve(id, state, base, width, prefix, units, rough) answers the plate as JSON.
func solve(c catalog.Calculator, args arguments) (string, error) {
	return string(plate.Solve(c, args.request())), nil
}

// drag(id, state, base, width, prefix, units, handle, px, py) answers a state.
func drag(c catalog.Calculator, args arguments) (string, error) {
	return plate.Drag(c, args.request(), int(args.number(6)), args.number(7), args.number(8))
}

// nudge(id, state, base, width, prefix, units, handle, dx, dy) answers a state.
func nudge(c catalog.Calculator, args arguments) (string, error) {
	return plate.Nudge(c, args.request(), int(args.number(6)), args.number(7), args.number(8))
}

// export(id, state, format) answers the text that the command line prints.
func export(c catalog.Calculator, args arguments) (string, error) {
	return plate.Export(c, args.text(1), args.text(2))
}

// grade(id, output, text, answer, tolerance, hints) judges a reader's answer, as JSON.
func grade(c catalog.Calculator, args arguments) (string, error) {
	return string(plate.GradeOutput(c, args.text(1), args.text(2), args.text(3), args.text(4), args.text(5))), nil
}

// fresh(id, recipe, set, width, prefix) answers an exercise with the numbers of a set, as JSON.
func fresh(c catalog.Calculator, args arguments) (string, error) {
	return string(plate.Fresh(c, args.text(1), args.text(2), args.number(3), args.text(4))), nil
}

// table(id, table, text) reads a block of cells, as JSON.
func table(c catalog.Calculator, args arguments) (string, error) {
	return string(plate.PastedJSON(c, args.text(1), args.text(2))), nil
}

// probe(id, state, base, width, prefix, units, px, py) answers what the drawing holds at a point, in words.
func probe(c catalog.Calculator, args arguments) (string, error) {
	return plate.Probe(c, args.request(), args.number(6), args.number(7))
}

// job is the one long piece of work that a page or a worker has under way; beginning another gives it up.
var job = &plate.Job{}

// begin(id, state, base, width, prefix, units, rough) begins a solve in parts and answers how many there are.
func begin(c catalog.Calculator, args arguments) (string, error) {
	begun, err := plate.Begin(c, args.request())
	if err != nil {
		return "", err
	}
	job = begun
	return quantity.Shortest(float64(job.Total())), nil
}

// step(id, parts) does up to so many parts and answers how many are done.
func step(_ catalog.Calculator, args arguments) (string, error) {
	return quantity.Shortest(float64(job.Step(int(args.number(1))))), nil
}

// finish(id, state, base, width, prefix, units) answers what was begun as solve would; asked again, it only draws again.
func finish(_ catalog.Calculator, args arguments) (string, error) {
	return string(job.Finish(args.request())), nil
}

// arguments are what the page passed. A missing one, or one of another type, is empty or 0.
type arguments []js.Value

// request reads the plate that solve, drag and nudge are about.
func (a arguments) request() plate.Request {
	return plate.Request{State: a.text(1), Base: a.text(2), Width: a.number(3), ID: a.text(4), Units: quantity.UnitsNamed(a.text(5)), Rough: a.truth(6)}
}

func (a arguments) truth(i int) bool {
	return i < len(a) && a[i].Type() == js.TypeBoolean && a[i].Bool()
}

func (a arguments) text(i int) string {
	if i < len(a) && a[i].Type() == js.TypeString {
		return a[i].String()
	}
	return ""
}

func (a arguments) number(i int) float64 {
	if i < len(a) && a[i].Type() == js.TypeNumber {
		return a[i].Float()
	}
	return 0
}
