package main

import (
	"fmt"
	"io"

	"centrode/calc/catalog"
	"centrode/cmd/centrode/internal/picture"
)

// draw writes the answer's figure to the file: all of it, or nothing. What stood there before is then gone or untouched. The question
// was read from the file read, if any, or from standard input.
func draw(name string, a catalog.Answer, stdin io.Reader, read []string) error {
	if err := mayReplace(name, "figure", stdin, read...); err != nil {
		return err
	}
	if err := replace(name, picture.SVG(a.Calculator.Figure(a.Values, a.Result))); err != nil {
		return fmt.Errorf("%s: the figure cannot be written: %w", name, cause(err))
	}
	return nil
}
