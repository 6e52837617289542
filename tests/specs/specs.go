// Package specs holds, for the tests of other packages, that nobody writes into what the calculators say of themselves: a Spec is
// built once and belongs to all who ask.
package specs

import (
	"fmt"
	"os"
	"testing"

	"centrode/calc/catalog"
)

// Unwritten runs the tests of a package, and fails them when the Spec of a calculator is another one afterwards. Call it from TestMain.
func Unwritten(m *testing.M, calculators []catalog.Calculator) {
	text := func(c catalog.Calculator) string { return fmt.Sprintf("%#v", c.Spec()) }
	var before []string
	for _, c := range calculators {
		before = append(before, text(c))
	}
	code := m.Run()
	for i, c := range calculators {
		if now := text(c); now != before[i] {
			fmt.Fprintf(os.Stderr, "the Spec of %s was written into; it was\n%s\nand is\n%s\n", c.Spec().ID, before[i], now)
			code = 1
		}
	}
	os.Exit(code)
}
