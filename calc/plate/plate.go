// Package plate turns the state of an interactive figure into all that the figure shows: numbers, sentence, drawing.
//
// Start at Solve, which answers the page in one JSON text. Drag and Nudge turn the motion of a handle into a new state,
// Export writes the answer for copying, Grade judges a reader's number in an exercise. The site builder uses Cells,
// Slots, Entries and Tables for the page as it is printed, so that printed and live digits come from the same code.
//
// A state is text: "mcp_depth=1.8&mcp_flex=85%20deg", see ParseState. A plate has two of them: the base it started
// from and the live one. A calculator that compares placements itself (Spec.Compares) needs only the live one;
// for the others the base is the current placement and the live state the candidate.
//
// The package knows no page and no browser; nothing here is kept between two calls.
package plate

import (
	"centrode/calc/catalog"
	"centrode/calc/figure"
)

// Request is what a page asks about one plate.
type Request struct {
	State string  // the live state, see ParseState
	Base  string  // the state that the plate started from
	Width float64 // width of the drawing in CSS px; see clampWidth for what is accepted
	ID    string  // prefix for ids inside the drawing, unique in the page
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

// answers are both runs of a plate.
type answers struct{ base, live catalog.Answer }

// solve runs base and live state. A calculator that compares by itself is run once and both answers are that run.
func solve(c catalog.Calculator, r Request) (answers, error) {
	live, err := Run(c, r.State)
	if err != nil {
		return answers{}, err
	}
	if live.Spec.Compares || r.Base == r.State {
		return answers{live, live}, nil
	}
	base, err := Run(c, r.Base)
	if err != nil {
		return answers{}, err
	}
	return answers{base, live}, nil
}

// Run solves the calculator for a state. Errors are *catalog.InputError naming the field.
func Run(c catalog.Calculator, state string) (catalog.Answer, error) {
	values, err := ParseState(c.Spec(), state)
	if err != nil {
		return catalog.Answer{}, err
	}
	return catalog.Run(c, values)
}

// Drawing returns the figure of a plate: the live answer's own when the calculator compares placements itself,
// otherwise the base as current placement under the live one as candidate.
func Drawing(base, live catalog.Answer) figure.Figure {
	candidate := live.Calculator.Figure(live.Values, live.Result)
	if live.Spec.Compares {
		return candidate
	}
	return figure.Overlay(base.Calculator.Figure(base.Values, base.Result), candidate)
}
