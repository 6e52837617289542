package maths

import (
	"errors"
	"fmt"
	"strings"
	"sync"
	"time"

	"github.com/dop251/goja"
)

// patience is how many seconds one formula may take while this program runs; an ordinary one takes two milliseconds. They are
// counted one by one: what a busy machine does not let run is not late.
const patience = 30

// deepest is how many calls may nest in the engine; a formula with a hundred nested groups needs about two thousand.
const deepest = 6000

// call wraps the converter in one function of two arguments. Trust is given to \class alone: links, pictures and
// inline styles in a formula are refused.
const call = `(function (tex, display) {
	return temml.renderToString(tex, {
		displayMode: display, throwOnError: true, annotate: false, maxExpand: 1000,
		trust: function (context) { return context.command === "\\class"; }
	});
})`

// patterns lets the converter, which makes its one large pattern anew for each formula and each part of one, have a copy of the first:
// to compile it took a sixth of a formula's time. A copy has its own place in the text.
const patterns = `RegExp = (function (Compiled) {
	const made = new Map();
	function Copied(pattern, flags) {
		const key = flags + "/" + pattern;
		if (!made.has(key)) made.set(key, new Compiled(pattern, flags));
		return new Compiled(made.get(key));
	}
	Copied.prototype = Compiled.prototype;
	return Copied;
})(RegExp)`

type program struct{ patterns, library, call *goja.Program }

func compile(source string) (*program, error) {
	library, err := goja.Compile("temml.min.js", source, false)
	if err != nil {
		return nil, fmt.Errorf("the TeX converter does not compile: %w", err)
	}
	return &program{goja.MustCompile("patterns", patterns, false), library, goja.MustCompile("call", call, false)}, nil
}

type engine struct {
	runtime *goja.Runtime
	render  goja.Callable
}

// take returns an idle engine or starts one (about 25 ms).
func (r *Renderer) take() (*engine, error) {
	r.mu.Lock()
	if n := len(r.idle); n > 0 {
		e := r.idle[n-1]
		r.idle = r.idle[:n-1]
		r.mu.Unlock()
		return e, nil
	}
	r.mu.Unlock()
	return start(r.program)
}

func (r *Renderer) give(e *engine) {
	r.mu.Lock()
	defer r.mu.Unlock()
	r.idle = append(r.idle, e)
}

func start(p *program) (*engine, error) {
	runtime := goja.New()
	runtime.SetMaxCallStackSize(deepest)
	for _, part := range []*goja.Program{p.patterns, p.library} {
		if _, err := runtime.RunProgram(part); err != nil {
			return nil, fmt.Errorf("the TeX converter does not start: %w", err)
		}
	}
	value, err := runtime.RunProgram(p.call)
	if err != nil {
		return nil, fmt.Errorf("the TeX converter does not start: %w", err)
	}
	render, ok := goja.AssertFunction(value)
	if !ok {
		return nil, errors.New("the TeX converter has no function to call")
	}
	return &engine{runtime, render}, nil
}

func (e *engine) run(tex string, display bool) (string, error) {
	done := make(chan struct{})
	var watch sync.WaitGroup
	watch.Go(func() { e.interrupt(done) })
	value, err := e.render(goja.Undefined(), e.runtime.ToValue(tex), e.runtime.ToValue(display))
	close(done)
	watch.Wait()
	e.runtime.ClearInterrupt() // one that came when the formula was finished
	if err != nil {
		return "", reason(err)
	}
	return value.String(), nil
}

// interrupt ends a formula that is not done when patience is at its end.
func (e *engine) interrupt(done <-chan struct{}) {
	second := time.NewTicker(time.Second)
	defer second.Stop()
	for range patience {
		select {
		case <-done:
			return
		case <-second.C:
		}
	}
	e.runtime.Interrupt("takes too long")
}

// reason says in one line why the converter refused. Its own message marks the place with combining low lines, which
// no terminal shows well; the position stands in words beside them.
func reason(err error) error {
	var interrupted *goja.InterruptedError
	var thrown *goja.Exception
	text := err.Error()
	switch {
	case errors.As(err, &interrupted):
		return fmt.Errorf("takes longer than %d s to convert", patience)
	case errors.As(err, &thrown):
		if o, ok := thrown.Value().(*goja.Object); ok && o.Get("message") != nil {
			text = o.Get("message").String()
		}
	default: // a stack overflow of the engine
		return errors.New("is nested too deeply to convert")
	}
	text = strings.ReplaceAll(text, "\u0332", "")
	return errors.New(strings.Join(strings.Fields(text), " "))
}
