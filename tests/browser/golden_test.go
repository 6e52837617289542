package browser

import (
	"flag"
	"os"
	"path/filepath"
	"testing"
)

var update = flag.Bool("update", false, "write the trees in testdata and the pictures of README.md again")

// golden writes what is committed in file, or returns it. The file is named from the project's root.
func golden(t testing.TB, file string, now []byte) []byte {
	t.Helper()
	file = filepath.Join("..", "..", filepath.FromSlash(file))
	if *update {
		must(t, os.MkdirAll(filepath.Dir(file), 0o755))
		must(t, os.WriteFile(file, now, 0o644))
		return now
	}
	kept, err := os.ReadFile(file)
	if err != nil {
		t.Fatalf("%v: go test ./tests/browser -run '%s' -update writes it", err, t.Name())
	}
	return kept
}
