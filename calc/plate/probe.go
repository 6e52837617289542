package plate

import (
	"centrode/calc/catalog"
	"centrode/calc/figure"
)

// Probe says what the drawing of a plate holds at the point px, py, in px from its top left corner, as a phrase with
// units: the value of a map at that place. It is "" beside what can be read, and for a calculator whose drawing cannot.
// Errors are those of the state.
func Probe(c catalog.Calculator, r Request, px, py float64) (string, error) {
	probed, ok := c.(catalog.Probed)
	if !ok {
		return "", nil
	}
	values, err := ParseState(c.Spec(), r.State)
	if err == nil {
		values.Units = r.Units
		values, err = catalog.Prepare(c.Spec(), values)
	}
	if err != nil {
		return "", err
	}
	at := figure.Locate(figure.Figure{View: probed.View(values)}, options(r), px, py)
	return probed.Probe(values, at.X, at.Y), nil
}
