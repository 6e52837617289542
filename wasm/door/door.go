//go:build js

// Package door is how pages reach a program: functions that take values and answer with text.
//
// The page installs globalThis.centrodeReady before it starts the program; Open calls it once with the functions.
package door

import (
	"errors"
	"runtime"
	"syscall/js"

	"centrode/calc/plate"
)

// Function is one that the page may call. It answers with the text for the page; an error becomes a refusal (see plate.Refusal).
type Function struct {
	Name string
	Call func(args Arguments) (string, error)
}

// Open hands the functions to the page and then waits for ever, since leaving would end them.
func Open(functions ...Function) {
	api := js.Global().Get("Object").New()
	for _, f := range functions {
		api.Set(f.Name, js.FuncOf(guarded(f.Call)))
	}
	api.Set("tidy", js.FuncOf(tidy))
	js.Global().Call("centrodeReady", api)
	select {}
}

// guarded turns errors and panics into refusals, so that the page stays.
func guarded(f func(Arguments) (string, error)) func(js.Value, []js.Value) any {
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

// tidy() collects garbage, so that this is done while the page rests and not when somebody waits for an answer.
func tidy(js.Value, []js.Value) any {
	runtime.GC()
	return nil
}

// Arguments are what the page passed. A missing one, or one of another type, is empty or 0.
type Arguments []js.Value

// Truth is whether argument i is true.
func (a Arguments) Truth(i int) bool {
	return i < len(a) && a[i].Type() == js.TypeBoolean && a[i].Bool()
}

// mostKept is how many texts Words keeps; a drawing has some forty, of which a movement changes ten.
const mostKept = 400

// Words is argument i, a function from text to text, with a memory: to ask the page takes longer than all else about a word.
func (a Arguments) Words(i int) func(text string) string {
	known := map[string]string{}
	return func(text string) string {
		said, is := known[text]
		if !is {
			if len(known) >= mostKept {
				known = map[string]string{}
			}
			said = a[i].Call("call", nil, text).String() // Invoke would be code for this alone
			known[text] = said
		}
		return said
	}
}

// Text is argument i, where it is text.
func (a Arguments) Text(i int) string {
	if i < len(a) && a[i].Type() == js.TypeString {
		return a[i].String()
	}
	return ""
}

// Number is argument i, where it is a number.
func (a Arguments) Number(i int) float64 {
	if i < len(a) && a[i].Type() == js.TypeNumber {
		return a[i].Float()
	}
	return 0
}
