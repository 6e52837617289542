package report

import "testing"

// A studio's folder may hold files of any name, and what is told of one is one line that moves no cursor.
func TestAProblemIsOneLineThatMovesNoCursor(t *testing.T) {
	p := Problem{File: "studio/lessons/a\x1b[2J\ncontent/lessons/b.md:1: c.md", Line: 3, Text: "formula \u009b31m\u202e\n\u2029is wrong"}
	if got, want := p.String(), "studio/lessons/a·[2J·content/lessons/b.md:1: c.md:3: formula ·31m· is wrong"; got != want {
		t.Errorf("told as %q, want %q", got, want)
	}
	if got, want := (Problem{File: "content/lessons/é.md", Text: "“naïve” → 3 °"}).String(), "content/lessons/é.md: “naïve” → 3 °"; got != want {
		t.Errorf("told as %q, want %q", got, want)
	}
}
