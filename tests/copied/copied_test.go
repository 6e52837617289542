package copied

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"testing"
)

func TestWhatABuildAsksForComesAlongAndNoTools(t *testing.T) {
	from, to := t.TempDir(), filepath.Join(t.TempDir(), "copy")
	for name, text := range map[string]string{
		"theme/package-lock.json":               `{"packages": {"": {}, "node_modules/a": {}, "node_modules/a/node_modules/c": {"dev": true}, "node_modules/b": {"dev": true}}}`,
		"theme/node_modules/a/a.js":             "a",
		"theme/node_modules/a/node_modules/c/c": "c",
		"theme/node_modules/b/b.js":             "b",
		"calc/node_modules/b/b.js":              "no folder of npm, for want of a lock",
	} {
		file := filepath.Join(from, filepath.FromSlash(name))
		if err := errors.Join(os.MkdirAll(filepath.Dir(file), 0o755), os.WriteFile(file, []byte(text), 0o644)); err != nil {
			t.Fatal(err)
		}
	}
	if err := os.Symlink("a.js", filepath.Join(from, "theme", "node_modules", "a", "link.js")); err != nil {
		t.Fatal(err)
	}
	Parts(t, from, to, "theme", "calc")
	for name, comes := range map[string]bool{"theme/package-lock.json": true, "theme/node_modules/a/a.js": true, "theme/node_modules/a/node_modules/c": false,
		"theme/node_modules/b": false, "calc/node_modules/b/b.js": true} {
		if _, err := os.Stat(filepath.Join(to, filepath.FromSlash(name))); errors.Is(err, fs.ErrNotExist) == comes {
			t.Errorf("%s is there: %v, want %v", name, !comes, comes)
		}
	}
	if at, err := os.Readlink(filepath.Join(to, "theme", "node_modules", "a", "link.js")); at != "a.js" {
		t.Errorf("a link leads to %q in the copy: %v", at, err)
	}
}
