package markup

import (
	"slices"
	"strings"
	"testing"
)

func TestAMarkAtItsEdges(t *testing.T) {
	long := strings.Repeat("a", 200)
	for _, c := range []struct {
		name, source string
		want         []string
	}{
		{"a formula of nothing on its line", "$$ $$", nil},
		{"a formula whose end has a line of its own", "$$\nx\n$$", []string{"1 block x true"}},
		{"a formula whose last line holds words before its end", "$$\nx\ny$$", []string{"1 block x\ny true"}},
		{"a term whose other words are empty", "[[pivot|]]", []string{"1 term pivot|pivot"}},
		{"a key over two lines of 200 letters", "[@" + long + "\n" + long + "]", []string{"1 cite " + long + " " + long + "|"}},
		{"a key over three of them has no end within reach", "[@" + long + "\n" + long + "\n" + long + "]", nil},
	} {
		if got := marks(c.source); !slices.Equal(got, c.want) {
			t.Errorf("%s: %q, want %q", c.name, got, c.want)
		}
	}
}

func TestAnAnchorBeginsWithALetterOrADigit(t *testing.T) {
	for heading, want := range map[string]string{"“Depth” first": "depth-first", "— 2 —": "2", "…": "section"} {
		if got := Slug(heading); got != want {
			t.Errorf("%q has the anchor %q, want %q", heading, got, want)
		}
	}
}

func TestAnApostropheOfEitherFormBreaksNoAnchor(t *testing.T) {
	if straight, curled := Slug("The hand's end"), Slug("The hand’s end"); straight != "the-hands-end" || curled != straight {
		t.Errorf("the anchors are %q and %q", straight, curled)
	}
}
