package lesson

import (
	"strings"
	"testing"

	"centrode/cmd/centrode/internal/report"
)

// FuzzScan reads any sentence for what it refers to: no key holds the signs that end it (an empty one is told of by the book), and each stands
// on a line that there is.
func FuzzScan(f *testing.F) {
	for _, s := range []string{"[@a]", "[@a, b; @c]", "[@]", "[@a [@b]]", "[@a\n]", "\\[@a]", "`[@a]`", "[[term|word]] {=a.b:2} [x](/y/ \"t\")", "[@<script>alert(1)</script>]", "![p](javascript:alert(1))", "[@@]", "{={=}}", "[[|]]"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		var log report.Log
		p := Scan("f.md", text, 1, &log)
		last := strings.Count(text, "\n") + strings.Count(text, "\r") + 1
		for _, list := range [][]Ref{p.Citations, p.Terms, p.Values} {
			for _, r := range list {
				if r.Line < 1 || r.Line > last {
					t.Errorf("%q: %+v, of %d lines", text, r, last)
				}
			}
		}
		for _, r := range p.Citations {
			if strings.ContainsAny(r.Text, "]\n") {
				t.Errorf("%q cites %q", text, r.Text)
			}
		}
	})
}
