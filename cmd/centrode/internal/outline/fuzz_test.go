package outline

import (
	"strings"
	"testing"
	"time"

	"centrode/cmd/centrode/internal/report"
	"centrode/tests/hard/bound"
)

// FuzzParse reads any text as an outline: a node or a complaint with its line, never both nothing, and in short time.
func FuzzParse(f *testing.F) {
	for _, s := range []string{"a: 1\nb: [x, {c: d}]\n", "- |\n  text\n\n  more\n- >-\n  folded\n", "a: \"q\\u00e9\"\n", "a: &x 1\nb: *x\n", "? a\n: b\n", "<<: {a: 1}\n", "a:\n\t- b\n", "%YAML 1.2\n---\na: !!int 3\n...\n", "{a: [", "-", "\ufeffa: 1", "a: 1\na: 2\n", "a: '", "# only\n", "a: | #c\n x", "\x00"} {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, source []byte) {
		defer bound.Watch(t, len(source))()
		began := time.Now()
		var log report.Log
		n := Parse(source, 1<<14, Place{File: "f", Log: &log})
		if took := time.Since(began); took > 5*time.Second {
			t.Errorf("%q took %v", source, took)
		}
		last := strings.Count(string(source), "\n") + strings.Count(string(source), "\r") + 1
		for _, p := range log.Problems() {
			if p.Line < 0 || p.Line > last+1 || strings.TrimSpace(p.Text) == "" {
				t.Errorf("%v: there are %d lines", p, last)
			}
		}
		if n == nil {
			if log.Err() == nil {
				t.Errorf("%q is not read, and nobody is told why", source)
			}
			return
		}
		stands(t, n, last, 0)
	})
}

func stands(t *testing.T, n *Node, last, depth int) {
	t.Helper()
	if n.Line < 0 || n.Line > last+1 || depth > maxNesting+2 {
		t.Fatalf("a %s stands on line %d of %d, %d deep", n.Kind.Name(), n.Line, last, depth)
	}
	for _, item := range n.Items {
		stands(t, item, last, depth+1)
	}
	for _, e := range n.Entries {
		stands(t, e.Value, last, depth+1)
	}
}
