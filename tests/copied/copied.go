// Package copied copies parts of this project to where a test may change them.
package copied

import (
	"errors"
	"os"
	"path/filepath"
	"testing"
)

// Parts copies folders and files, named from the root of a project with slashes, to the same places below another folder.
func Parts(t testing.TB, root, to string, names ...string) {
	t.Helper()
	for _, name := range names {
		name = filepath.FromSlash(name)
		if err := one(filepath.Join(root, name), filepath.Join(to, name)); err != nil {
			t.Fatal(err)
		}
	}
}

func one(from, to string) error {
	if info, err := os.Stat(from); err != nil || info.IsDir() {
		return errors.Join(err, os.CopyFS(to, os.DirFS(from)))
	}
	data, err := os.ReadFile(from)
	return errors.Join(err, os.MkdirAll(filepath.Dir(to), 0o755), os.WriteFile(to, data, 0o644))
}

// Results lets a copy use the slow results of this project's own builds: they lie under the hash of all they depend on, so whoever
// made them made the same.
func Results(t testing.TB, root, copy string) {
	t.Helper()
	results, err := filepath.Abs(filepath.Join(root, ".cache", "results"))
	if err := errors.Join(err, os.MkdirAll(results, 0o755), os.MkdirAll(filepath.Join(copy, ".cache"), 0o755),
		os.Symlink(results, filepath.Join(copy, ".cache", "results"))); err != nil {
		t.Fatal(err)
	}
}
