// Package generated writes a whole project whose book has as many lessons as a measurement or a fault test asks for.
//
// Start at Write. Theme, calculators and the lists of words and sources are this project's own; the lessons are made up
// from a seed, so that the same number gives the same bytes anywhere. No two lessons repeat a listing, a table or an
// example: what a builder remembers within one run must not make it look fast. Stated numbers come from the calculators.
package generated

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
)

// shared is what the project takes from this one as it is.
var shared = []string{"go.mod", "go.sum", "calc", "wasm", "theme", "content/sources.json", "content/glossary.yaml", "content/facts.csv", "content/cast"}

// Write makes a project of n lessons at dir from the repository at root, whose npm packages must be installed: they are
// shared by a link.
func Write(root, dir string, n int) error {
	for _, name := range shared {
		if err := copyTree(filepath.Join(root, filepath.FromSlash(name)), filepath.Join(dir, filepath.FromSlash(name))); err != nil {
			return err
		}
	}
	modules, err := filepath.Abs(filepath.Join(root, "theme", "node_modules"))
	if err != nil {
		return err
	}
	if err := os.Symlink(modules, filepath.Join(dir, "theme", "node_modules")); err != nil {
		return err
	}
	files := map[string]string{"content/home.md": "---\ntitle: A generated book\nsummary: Many lessons.\n---\n\nBegin with [the first](/lessons/" + slug(0) + "/).\n",
		"content/paths/reader.yaml": "title: The reader's path\nreader: You read from the beginning.\npromise: You have seen the first lesson.\nlessons:\n  - " + slug(0) + "\n"}
	for i := range n {
		text, err := Lesson(i)
		if err != nil {
			return err
		}
		files[File(i)] = text
	}
	for name, text := range files {
		name = filepath.Join(dir, filepath.FromSlash(name))
		if err := errors.Join(os.MkdirAll(filepath.Dir(name), 0o755), os.WriteFile(name, []byte(text), 0o644)); err != nil {
			return err
		}
	}
	return nil
}

func copyTree(from, to string) error {
	return filepath.WalkDir(from, func(name string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		if d.Name() == "node_modules" {
			return fs.SkipDir
		}
		rel, err := filepath.Rel(from, name)
		if err != nil {
			return err
		}
		target := filepath.Join(to, rel)
		if d.IsDir() {
			return os.MkdirAll(target, 0o755)
		}
		data, err := os.ReadFile(name)
		return errors.Join(err, os.MkdirAll(filepath.Dir(target), 0o755), os.WriteFile(target, data, 0o644))
	})
}
