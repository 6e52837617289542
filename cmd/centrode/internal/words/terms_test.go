package words

import (
	"encoding/json"
	"os"
	"path/filepath"
	"regexp"
	"testing"
)

// terms are what is called one thing wherever German speaks of it: what the English says, and what the German then says.
var terms = []struct{ english, german *regexp.Regexp }{
	{regexp.MustCompile(`(?i)\bfitted (pivot|axis)\b`), regexp.MustCompile(`(?i)\bgefundene`)},
	{regexp.MustCompile(`(?i)\bfarthest (span )?asked for\b`), regexp.MustCompile(`(?i)\bweitesten? verlangte`)},
	{regexp.MustCompile(`(?i)\bnearest (span )?asked for\b`), regexp.MustCompile(`(?i)\bengste verlangte`)},
	{regexp.MustCompile(`(?i)\ba quaternion\b`), regexp.MustCompile(`\beine Quaternion\b`)},
	{regexp.MustCompile(`(?i)\bskinned flesh\b`), regexp.MustCompile(`\bSkinning\b`)},
	{regexp.MustCompile(`(?i)\bcandidate pivot\b`), regexp.MustCompile(`(?i)\bvorgeschlagene[rn]? Drehpunkt`)},
	{regexp.MustCompile(`(?i)\bcurrent pivot\b`), regexp.MustCompile(`(?i)\bjetzige[rn]? Drehpunkt`)},
}

func TestGermanCallsOneThingOneName(t *testing.T) {
	files, err := filepath.Glob("../../../../theme/words/de.*.json")
	if err != nil {
		t.Fatal(err)
	}
	met := make([]int, len(terms))
	for _, file := range files {
		text, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		var list map[string]string
		if err := json.Unmarshal(text, &list); err != nil {
			t.Fatalf("%s: %v", file, err)
		}
		for english, german := range list {
			for i, term := range terms {
				if !term.english.MatchString(english) {
					continue
				}
				if met[i]++; !term.german.MatchString(german) {
					t.Errorf("%s: %q is %q, without %s", filepath.Base(file), english, german, term.german)
				}
			}
		}
	}
	for i, n := range met {
		if n < 2 {
			t.Errorf("%s is said %d times: nothing is compared", terms[i].english, n)
		}
	}
}
