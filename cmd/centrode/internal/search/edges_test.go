package search

import (
	"slices"
	"testing"
)

func TestASentenceEndsOnce(t *testing.T) {
	for want, parts := range map[string][]string{
		"Two. Three.":          {"Two", "Three."},
		"As follows: it ends.": {"As follows:", "it ends"},
		"Then; and what?":      {"Then;", "and what?"},
	} {
		if got := sentences(parts...); got != want {
			t.Errorf("%q are joined to %q, want %q", parts, got, want)
		}
	}
}

// Bare numbers stand in every worked example; they are counted and not kept. A letter of Greek alone is a word like another.
func TestBareNumbersAreLeftOut(t *testing.T) {
	x := NewLexicon(nil)
	words, length := x.read("90 and 2026, and Σ")
	if length != 4 || len(words) != 2 || !slices.Equal(x.words, []string{"and", "σ"}) {
		t.Errorf("of %d words %v are kept: %q; want 4, and, σ", length, words, x.words)
	}
}

// A formula is read where it is one letter, of whatever alphabet.
func TestAFormulaOfOneLetterIsRead(t *testing.T) {
	p := page{Input: sample(t)}
	for text, want := range map[string]string{"about $θ$": "about θ", "about $r$": "about r", "about $r^2$": "about …"} {
		if got := p.plain(text); got != want {
			t.Errorf("%s is read as %q, want %q", text, got, want)
		}
	}
}
