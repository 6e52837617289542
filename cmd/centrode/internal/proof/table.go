package proof

import (
	"fmt"
	"io"
	"text/tabwriter"

	"centrode/calc/quantity"
)

// Table writes every expectation with its verdict as an aligned table of text, and a line that counts them. The error is w's.
func (p *Proof) Table(w io.Writer) error {
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	fmt.Fprintln(t, "page\tblock\toutput\texpected\tcomputed\ttolerance\tverdict")
	failed := 0
	for _, c := range p.Checks {
		verdict := "holds"
		if !c.OK {
			verdict = "differs"
			failed++
		}
		tolerance := c.Tolerance
		if tolerance == "" {
			tolerance = "exact"
		}
		fmt.Fprintf(t, "%s\t%s\t%s\t%s\t%s\t%s\t%s\n", c.Page, c.Block, c.Output, c.Expected, c.Computed, tolerance, verdict)
	}
	if err := t.Flush(); err != nil {
		return err
	}
	_, err := fmt.Fprintf(w, "%s: %s, %s\n", quantity.Things(len(p.Checks), "stated number", "stated numbers"),
		quantity.Things(len(p.Checks)-failed, "holds", "hold"), quantity.Things(failed, "differs", "differ"))
	return err
}
