package spell

import (
	"math/rand/v2"
	"strings"
	"testing"
)

func TestTheNearestWordIsTheLikelySlip(t *testing.T) {
	known := []string{"hinge-arc", "finger-curl", "limb-fold", "pivot-offset", "reseat", "cm", "mm", "x"}
	for _, c := range []struct{ name, word, want string }{
		{"one letter wrong", "hinge-ark", "hinge-arc"},
		{"one letter missing", "finger-cul", "finger-curl"},
		{"one letter too many", "reseatt", "reseat"},
		{"two neighbours swapped", "ilmb-fold", "limb-fold"},
		{"the word itself", "reseat", "reseat"},
		{"a short word allows one slip", "cmm", "cm"},
		{"ties go to the earlier word", "m", "cm"},
		{"capitals", "FINGER-CURL", "finger-curl"},
		{"a unit in capitals", "CM", "cm"},
		{"another word altogether", "elbow", ""},
		{"a letter with nothing in common", "2", ""},
		{"no word", "", ""},
		{"a megabyte", strings.Repeat("hinge-arc", 1<<17), ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			if got := Nearest(c.word, known); got != c.want {
				t.Errorf("Nearest(%.20q) = %q, want %q", c.word, got, c.want)
			}
		})
	}
	if got := Nearest("poole", []string{"Pole", "pole"}); got != "pole" {
		t.Errorf("beside Pole the nearest to poole is %q", got)
	}
	if got := Nearest("reseat", nil); got != "" {
		t.Errorf("of no words the nearest is %q", got)
	}
}

func TestTheDistanceCountsSingleSlips(t *testing.T) {
	for _, c := range []struct {
		a, b string
		want int
		how  string
	}{
		{"", "", 0, "derived: equal"},
		{"", "abc", 3, "derived: three insertions"},
		{"abc", "", 3, "derived: three deletions"},
		{"kitten", "sitting", 3, "derived: two substitutions, one insertion"},
		{"ab", "ba", 1, "derived: one swap of neighbours"},
		{"ca", "abc", 3, "derived: restricted form, no edit inside a swapped pair; unrestricted would be 2"},
	} {
		if got := distance(c.a, c.b, 0, 9); got != c.want {
			t.Errorf("distance(%q, %q) = %d, want %d (%s)", c.a, c.b, got, c.want, c.how)
		}
		if got := distance(c.b, c.a, 0, 9); got != c.want {
			t.Errorf("distance(%q, %q) = %d the other way round, want %d", c.b, c.a, got, c.want)
		}
	}
}

func TestAnOfferIsTheTailOfALine(t *testing.T) {
	if got := Offer("hinge-ark", []string{"hinge-arc"}); got != `; nearest: "hinge-arc"` {
		t.Errorf("Offer = %q", got)
	}
	if got := Offer("elbow", []string{"hinge-arc"}); got != "" {
		t.Errorf("Offer without a near word = %q, want nothing", got)
	}
}

func TestCapitalsThatAreSwappedAreNear(t *testing.T) {
	for _, word := range []string{"mc", "MC", "Mc"} {
		if got := Nearest(word, []string{"cm"}); got != "cm" {
			t.Errorf("Nearest(%q) = %q, want cm", word, got)
		}
	}
}

// A bound ends the count early and changes nothing else.
func TestABoundOnlyCutsTheDistance(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	word := func() string {
		letters := make([]byte, r.IntN(9))
		for i := range letters {
			letters[i] = "abAB"[r.IntN(4)]
		}
		return string(letters)
	}
	for range 20000 {
		a, b, fold := word(), word(), byte(r.IntN(2))<<5
		whole := distance(a, b, fold, 99)
		for bound := 1; bound < 8; bound++ {
			if got := distance(a, b, fold, bound); got != min(whole, bound) {
				t.Fatalf("distance(%q, %q) within %d = %d, want %d", a, b, bound, got, min(whole, bound))
			}
		}
	}
}
