package plate

import (
	"math"

	"centrode/calc/catalog"
	"centrode/calc/figure"
)

// Desk answers what one page asks, and keeps what its next question is likely to need: the run that is compared with, and what a handle
// is moved from. The zero value is ready; a Desk serves one goroutine.
type Desk struct {
	baseOf question
	base   *catalog.Work

	gripOf  question
	given   catalog.Answer
	gripped catalog.Answer // the run that is drawn
	drawing figure.Figure

	last written

	// Words are those of the page's language, for its drawings and their handles.
	Words figure.Words
}

// question is what a run was asked for; the zero value stands for none.
type question struct {
	calculator string
	Request
}

// Begin reads the states of a request and begins the work. Errors are *catalog.InputError naming the field.
func (d *Desk) Begin(c catalog.Calculator, r Request) (*Job, error) {
	j := &Job{}
	var err error
	if j.live, j.given, j.rough, err = work(c, r, r.State); err != nil {
		return nil, err
	}
	spec := c.Spec()
	if spec.Compares || spec.Single || r.Base == r.State {
		return j, nil
	}
	_, staged := c.(catalog.Staged)
	if of := (question{spec.ID, Request{State: r.Base, Units: r.Units, Rough: r.Rough && staged}}); d.baseOf != of {
		w, _, _, err := work(c, r, r.Base)
		if err != nil {
			return nil, err
		}
		d.baseOf, d.base = of, w
	}
	j.base = d.base
	return j, nil
}

// Solve answers one plate as JSON text: the sentence, the verdict where there is one (verdict, good), warnings, what the inputs hold in base units and what they show where the reader chose others, the table's cells, the steps'
// slots, the answer tables, the drawing as a tree, what its handles say to assistive technology, whether the live state
// differs from the base, whether the answer is a rough one, and the state in its shortest form. A refusal is
// {"error":{"field","row","given","allowed","text"}} instead. The text is valid JSON in every case.
func (d *Desk) Solve(c catalog.Calculator, r Request) []byte {
	job, err := d.Begin(c, r)
	if err != nil {
		return Refusal(err)
	}
	return d.Finish(job, r)
}

// Finish does what is left of the work and answers as Solve does, for a drawing of the request's width and ids; it may be
// asked again, and then only draws.
func (d *Desk) Finish(j *Job, r Request) []byte {
	a, err := j.answers()
	if err != nil {
		return Refusal(err)
	}
	held := r.Held && d.gripOf.calculator == a.live.Spec.ID
	if held {
		a.base.Values.On, a.live.Values.On = &d.gripped, &d.gripped
	}
	drawing := Drawing(a.base, a.live)
	if held {
		drawing.View = d.drawing.View
	}
	return a.shown(r, drawing, d)
}

// Drag returns the state after the handle with the number (counted from 0 in the drawing's handles) was dragged to the
// point px, py of the drawing of r, in px from its top left corner. Every field or cell that the handle edits is set to
// the nearest tenth of its step inside its range. Pass the state at the start of the drag all the way through it: the
// drawing that the point is read on then cannot slip under the pointer; nor can the one that is shown, when it is asked for with
// Request.Held.
//
// A handle that does not exist or a point that is not finite leaves the state as it is. Errors are those of the state.
func (d *Desk) Drag(c catalog.Calculator, r Request, handle int, px, py float64) (string, error) {
	return d.moved(c, r, handle, px-py, func(a catalog.Answer, f figure.Figure) string {
		at := figure.Locate(f, options(r), px, py)
		return apply(a, figure.Drag(f.Handles[handle], at), snap)
	})
}

// Nudge returns the state after a handle was moved by dx, dy steps of the fields or cells it edits: an arrow key is one
// step, with Shift ten, right and up positive. A handle with one axis follows both pairs of keys. The result stays inside
// the ranges. A handle that does not exist leaves the state as it is. Errors are those of the state.
func (d *Desk) Nudge(c catalog.Calculator, r Request, handle int, dx, dy float64) (string, error) {
	return d.moved(c, r, handle, dx-dy, func(a catalog.Answer, f figure.Figure) string {
		settings := figure.Nudge(f.Handles[handle], dx, dy, func(id string) (value, step float64) {
			t, _ := targetOf(a, id)
			return t.now, stride(t.field)
		})
		return apply(a, settings, tidy)
	})
}

// moved asks for the state after the motion of a handle; motion is finite when the motion is.
func (d *Desk) moved(c catalog.Calculator, r Request, handle int, motion float64, after func(catalog.Answer, figure.Figure) string) (string, error) {
	r.Rough = true // where a handle stands and what it edits do not depend on detail
	if of := (question{c.Spec().ID, r}); d.gripOf != of {
		job, err := d.Begin(c, r)
		if err != nil {
			return "", err
		}
		a, err := job.answers()
		if err != nil {
			return "", err
		}
		d.gripOf, d.given, d.gripped, d.drawing = of, a.given, a.live, Drawing(a.base, a.live)
	}
	if handle < 0 || handle >= len(d.drawing.Handles) || math.IsNaN(motion) || math.IsInf(motion, 0) {
		return State(d.given), nil
	}
	return after(d.given, d.drawing), nil
}
