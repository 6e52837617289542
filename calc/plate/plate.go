// Package plate turns the state of an interactive figure into all that the figure shows: numbers, sentence, drawing.
//
// Start at Desk: its Solve answers the page in one JSON text, Begin does the same in parts for work that takes long, Drag
// and Nudge turn the motion of a handle into a new state. Probe reads a drawing at a point, ReadPasted reads a block of
// cells, Export writes the answer for copying, Grade judges a reader's number in an exercise. The site builder uses Cells,
// Slots, Entries and Tables for the page as it is printed, so that printed and live digits come from the same code.
//
// A state is text: "mcp_depth=1.8&mcp_flex=85%20deg", see ParseState. A plate has two of them: the base it started
// from and the live one. A calculator that compares placements itself (Spec.Compares) needs only the live one;
// for the others the base is the current placement and the live state the candidate, unless there is nothing to compare
// (Spec.Single).
//
// The package knows no page and no browser; only a Desk keeps something between two calls.
package plate

import (
	"centrode/calc/catalog"
	"centrode/calc/figure"
	"centrode/calc/quantity"
)

// Request is what a page asks about one plate.
type Request struct {
	State string         // the live state, see ParseState
	Base  string         // the state that the plate started from
	Width float64        // width of the drawing in CSS px; see clampWidth for what is accepted
	Units quantity.Units // in which sentence, drawing, outputs and inputs give lengths; tables and derivation keep cm
	ID    string         // prefix for ids inside the drawing, unique in the page
	// Rough asks for the near answer that a catalog.Staged calculator gives in short work: what a page shows while
	// something moves. State and inputs in the answer are the whole ones all the same.
	Rough bool
	// Held asks for a drawing on the sheet of what a handle was last moved from, see Desk.Drag: nothing slips from under the hand then.
	Held bool
}

// The width of a live drawing in px: what a narrow phone leaves, and the most that is useful on a wall-sized screen.
const (
	leastWidth = 200
	mostWidth  = 4000
)

// clampWidth keeps the width of a drawing between leastWidth and mostWidth. NaN and 0 give the printed sheet, which the
// page scales; a live drawing that happens to be as wide must not become one, and gets a pixel more.
func clampWidth(width float64) float64 {
	if !(width > 0) {
		return figure.Fluid
	}
	width = max(leastWidth, min(mostWidth, width))
	if width == figure.Fluid {
		return width + 1
	}
	return width
}

// Run solves the calculator for a state. Errors are *catalog.InputError naming the field.
func Run(c catalog.Calculator, state string) (catalog.Answer, error) {
	values, err := ParseState(c.Spec(), state)
	if err != nil {
		return catalog.Answer{}, err
	}
	return catalog.Run(c, values)
}

// Drawing returns the figure of a plate: the live answer's own when the calculator compares placements itself or has
// none to compare, otherwise the base as current placement under the live one as candidate.
func Drawing(base, live catalog.Answer) figure.Figure {
	candidate := live.Calculator.Figure(live.Values, live.Result)
	if live.Spec.Compares || live.Spec.Single {
		return candidate
	}
	return figure.Overlay(base.Calculator.Figure(base.Values, base.Result), candidate)
}
