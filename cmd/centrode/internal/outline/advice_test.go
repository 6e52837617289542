package outline

import (
	"slices"
	"testing"
)

// What the reader of YAML complains of is told as what to do about it.
func TestACommonMistakeGetsItsAdvice(t *testing.T) {
	const (
		tabs   = "is not readable: indent with spaces, not with tabs"
		spaced = `is not readable: expected "key: value", with a space after the colon`
		quotes = `is not readable: a text that begins with @ or a backquote needs quotes around it`
	)
	for source, want := range map[string]string{
		"a:\n\tb: 1\n": "f:12: " + tabs, "a:\n  - x\n\t- y\n": "f:13: " + tabs, "a: \"x\n\tb\"\n": "f:12: " + tabs,
		"a: 1\nb:2\n": "f:12: " + spaced, "a: 1\nb:2\nc: 3\n": "f:12: " + spaced, "a:1\nb: 2\n": "f:11: " + spaced, "a: @x\n": "f:11: " + quotes,
	} {
		if _, got := parse(source); !slices.Equal(got, []string{want}) {
			t.Errorf("%q: told %q, want %q", source, got, want)
		}
	}
}
