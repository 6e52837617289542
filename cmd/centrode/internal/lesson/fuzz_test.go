package lesson

import (
	"strings"
	"testing"

	"centrode/cmd/centrode/internal/report"
	"centrode/tests/hard/bound"
)

// FuzzScan reads any sentence for what it refers to: no key holds the signs that end it (an empty one is told of by the book), and each stands
// on a line that there is.
func FuzzScan(f *testing.F) {
	for _, s := range []string{"[@a]", "[@a, b; @c]", "[@]", "[@a [@b]]", "[@a\n]", "\\[@a]", "`[@a]`", "[[term|word]] {=a.b:2} [x](/y/ \"t\")", "[@<script>alert(1)</script>]", "![p](javascript:alert(1))", "[@@]", "{={=}}", "[[|]]"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		defer bound.Watch(t, len(text))()
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

// FuzzFrontMatter puts any text between the lines that open and close the front matter; what is kept of it is of the form that
// the rest of the program relies on.
func FuzzFrontMatter(f *testing.F) {
	for _, s := range []string{"", strings.TrimSuffix(strings.TrimPrefix(front, "---\n"), "---\n"), "title: [a]\npart: 1e9\norder: -1\nminutes: x", "needs: [a, a, ../b]\nplates: {a: b}", "title: \"<script>\"\nsummary: \"\\u0000\"",
		"title: a\ntitle: b", "? [a]\n: b", "sources: [&a b, *a]", "order: 99999999999999999999", "kind: check\nunits: in"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		defer bound.Watch(t, len(text))()
		var log report.Log
		l := Parse("content/lessons/fuzz.md", []byte("---\n"+text+"\n---\n\nText.\n"), &log)
		if log.Err() == nil && (l.Title == "" || l.Summary == "" || l.Order < 1 || l.Order > LastOrder || l.Minutes < 1) {
			t.Errorf("%q is read as %q, %q, %d, %d, and nothing is told", text, l.Title, l.Summary, l.Order, l.Minutes)
		}
		for _, p := range log.Problems() {
			if p.Line < 0 || strings.TrimSpace(p.Text) == "" {
				t.Errorf("%q: %v", text, p)
			}
		}
	})
}
