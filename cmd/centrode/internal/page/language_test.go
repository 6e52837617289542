package page

import (
	"os"
	"testing"

	"centrode/cmd/centrode/internal/report"
	"centrode/cmd/centrode/internal/words"
)

// wordFolder is theme/words, seen from here.
const wordFolder = "../../../../theme/words"

// languages are those of the interface, English first.
func languages(t testing.TB) []words.Language {
	t.Helper()
	log := &report.Log{}
	list := words.Load(os.DirFS(wordFolder), log)
	if err := log.Err(); err != nil || len(list) < 2 {
		t.Fatalf("%d languages; want English and another: %v", len(list), err)
	}
	return list
}

// inEnglish is a site that only speaks.
func inEnglish(t testing.TB) *site {
	return &site{Input: Input{Words: languages(t), Log: &report.Log{}}, language: languages(t)[0]}
}
