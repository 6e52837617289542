// Package copied copies parts of this project to where a test may change them.
package copied

import (
	"encoding/json"
	"errors"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"slices"
	"testing"
)

// Parts copies folders and files, named from the root of a project with slashes, to the same places below another folder. Of what npm
// installed only what a build needs comes along: the compilers and checkers of the tests are two thirds of it.
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
		tools, unread := forDevelopment(from)
		return errors.Join(err, unread, os.CopyFS(to, without{os.DirFS(from).(fs.ReadLinkFS), tools}))
	}
	data, err := os.ReadFile(from)
	return errors.Join(err, os.MkdirAll(filepath.Dir(to), 0o755), os.WriteFile(to, data, 0o644))
}

// forDevelopment are the packages, by their places in a folder that has a lock file of npm, that no build asks for.
func forDevelopment(folder string) (map[string]bool, error) {
	data, err := os.ReadFile(filepath.Join(folder, "package-lock.json"))
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	var lock struct {
		Packages map[string]struct{ Dev bool }
	}
	err = errors.Join(err, json.Unmarshal(data, &lock))
	tools := map[string]bool{"node_modules/.bin": true} // links to them
	for place, p := range lock.Packages {
		if p.Dev {
			tools[place] = true
		}
	}
	return tools, err
}

// without is a tree that does not show some of its places. Links in it are copied as links.
type without struct {
	fs.ReadLinkFS
	left map[string]bool
}

// ReadDir implements fs.ReadDirFS.
func (w without) ReadDir(name string) ([]fs.DirEntry, error) {
	list, err := fs.ReadDir(w.ReadLinkFS, name)
	return slices.DeleteFunc(list, func(e fs.DirEntry) bool { return w.left[path.Join(name, e.Name())] }), err
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
