//go:build js

package main

import (
	"syscall/js"

	"centrode/calc/figure"
	"centrode/calc/rigid"
	"centrode/calc/room"
)

// call answers with a value for the page; an error becomes a JavaScript Error.
type call func(args []js.Value) (any, error)

func guarded(f call) func(js.Value, []js.Value) any {
	return func(_ js.Value, args []js.Value) (answer any) {
		refuse := func(text string) any { return js.Global().Get("Error").New(text) }
		defer func() {
			if recover() != nil {
				answer = refuse("the engine stopped at this; undo the last step, or open the file again")
			}
		}()
		answer, err := f(args)
		if err != nil {
			return refuse(err.Error())
		}
		return answer
	}
}

// ask reads what is to be posed.
func ask(v js.Value) room.Ask {
	return room.Ask{Joint: v.Get("joint").Int(), Axis: vector(v.Get("axis")), Angle: v.Get("angle").Float(), Clip: v.Get("clip").Int(), Time: v.Get("time").Float(),
		Pivot: vector(v.Get("pivot")), Candidate: v.Get("candidate").Bool(), Trial: v.Get("trial").Bool(), Passes: v.Get("passes").Int(), Point: v.Get("point").Int()}
}

// words are a function of the page that says a text in its language.
func words(v js.Value) figure.Words {
	return func(text string) string { return v.Invoke(text).String() }
}

func vector(v js.Value) rigid.Vec {
	return rigid.Vec{X: v.Index(0).Float(), Y: v.Index(1).Float(), Z: v.Index(2).Float()}
}

// files reads names and datas, two arrays of the same length.
func files(args []js.Value) []room.File {
	list := make([]room.File, args[0].Length())
	for i := range list {
		data := make([]byte, args[1].Index(i).Length())
		js.CopyBytesToGo(data, args[1].Index(i))
		list[i] = room.File{Name: args[0].Index(i).String(), Data: data}
	}
	return list
}

func texts(v js.Value) []string {
	list := make([]string, v.Length())
	for i := range list {
		list[i] = v.Index(i).String()
	}
	return list
}

func text(data []byte, err error) (any, error) { return string(data), err }

// array copies bytes into a typed array of the page.
func array(data []byte) js.Value {
	out := js.Global().Get("Uint8Array").New(len(data))
	js.CopyBytesToJS(out, data)
	return out
}

// options reads how a move is carried out; what is moved beside the joint of the question are joints with their candidates.
func options(args []js.Value) room.Options {
	o := room.Options{Orient: args[1].String(), Animation: args[2].String(), Within: args[3].Float()}
	for i := range args[4].Length() {
		other := args[4].Index(i)
		o.Others = append(o.Others, room.Other{Joint: other.Get("joint").Int(), Pivot: vector(other.Get("pivot"))})
	}
	return o
}
