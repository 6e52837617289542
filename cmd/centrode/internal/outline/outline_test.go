package outline

import (
	"slices"
	"strings"
	"testing"

	"centrode/cmd/centrode/internal/report"
)

// parse reads source as lines 11 and on of a file with a limit of 6 KB and returns what was reported.
func parse(source string) (*Node, []string) {
	var log report.Log
	n := Parse([]byte(source), 6<<10, Place{File: "f", Shift: 10, Log: &log})
	var out []string
	for _, p := range log.Problems() {
		out = append(out, p.String())
	}
	return n, out
}

func TestTextThatIsNoOutlineIsReported(t *testing.T) {
	for _, c := range []struct{ name, source, want string }{
		{"too long", strings.Repeat("# x\n", 1600), "f:11: is 7 KB here; at most 6 KB are read"},
		{"too deep in brackets", "a: 1\nb: " + strings.Repeat("[", 50), "f:12: brackets nest more than 40 deep; a bracket may be missing its end"},
		{"too deep in dashes", strings.Repeat("- ", 50), "f:11: brackets nest more than 40 deep; a bracket may be missing its end"},
		{"too many keys", strings.Repeat("k:\n", 400) + "a: " + strings.Repeat(":", 3601), "f:411: more than 4000 keys, or empty lines, stand together here; write fewer, or a list of mappings"},
		{"too many keys in an item", "- " + strings.Repeat("b:\n  ", 400) + "c: " + strings.Repeat(":", 3601), "f:411: more than 4000 keys, or empty lines, stand together here; write fewer, or a list of mappings"},
		{"too many empty lines", "a: |\n  b\n" + strings.Repeat("\n", 4001), "f:4013: more than 4000 keys, or empty lines, stand together here; write fewer, or a list of mappings"},
		{"two documents", "a: 1\n---\nb: 2\n", `f:13: a line "---" is not expected here`},
		{"a merge key", "<<: {a: 1}\n", "f:11: a key must be plain text"},
		{"an alias", "a: *b\n", "f:11: is not plain text, a list or a mapping; anchors, aliases and tags are not read here"},
		{"a quotation that is not closed", "a: 1\nb: \"x\n", "f:12: is not readable: a quoted text is not closed"},
		{"a bracket that is not closed", "a: [1, 2\nb: 3\n", "f:12: is not readable: a list or mapping in brackets is not closed, or a comma is missing"},
		{"a text that begins with a bracket", "a: {=b.c} d\n", "f:11: is not readable: a text that begins with a bracket needs quotes around it"},
	} {
		t.Run(c.name, func(t *testing.T) {
			if _, got := parse(c.source); !slices.Equal(got, []string{c.want}) {
				t.Errorf("got %q, want %q", got, c.want)
			}
		})
	}
}

func TestNumbersStayAsTyped(t *testing.T) {
	n, problems := parse("a: 1.50\nb: -0\nc: 0x10\nd: true\ne: .inf\nf: 2020-01-01\ng:\nh: |\n  x\n\n  y\n")
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	var got []string
	for _, e := range n.Entries {
		got = append(got, e.Key+"="+e.Value.Text)
	}
	if want := []string{"a=1.50", "b=-0", "c=0x10", "d=true", "e=.inf", "f=2020-01-01", "g=", "h=x\n\ny\n"}; !slices.Equal(got, want) {
		t.Errorf("got %q, want %q", got, want)
	}
	if last := n.Entries[7].Value; last.Line != 18 || last.TextLine != 19 || !last.Block || n.Entries[6].Value.Kind != Empty {
		t.Errorf("the block text is %+v", last)
	}
}
