package asset

import (
	"bytes"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
)

// licences joins the licence texts of what the site hands out besides our own work: the Go runtime inside the
// calculators and its start-up script, and the packages of theme/package.json (fonts, and the rules that the
// mathematics needs).
func licences(o Options, t tools) ([]byte, error) {
	var b bytes.Buffer
	b.WriteString("This site carries work of others under these licences.\n")
	text, err := os.ReadFile(filepath.Join(t.goRoot, "LICENSE"))
	if errors.Is(err, os.ErrNotExist) { // a distribution's package keeps it elsewhere
		text, err = []byte("The Go programming language: BSD 3-clause licence, Copyright The Go Authors.\n"), nil
	}
	if err != nil {
		return nil, err
	}
	section(&b, "The Go runtime and library, and wasm_exec.js", text)
	packages, err := lockedPackages(filepath.Join(o.Root, "theme", "package-lock.json"))
	if err != nil {
		return nil, err
	}
	var dirs []string
	for name := range packages {
		dirs = append(dirs, name)
	}
	slices.Sort(dirs)
	for _, dir := range dirs {
		files, err := filepath.Glob(filepath.Join(o.Root, "theme", filepath.FromSlash(dir), "LICEN[CS]E*"))
		if err != nil || len(files) == 0 {
			continue // build tools carry none into the site
		}
		slices.Sort(files)
		text, err := os.ReadFile(files[0])
		if err != nil {
			return nil, err
		}
		section(&b, filepath.ToSlash(dir)[len("node_modules/"):]+" "+packages[dir], text)
	}
	return b.Bytes(), nil
}

func section(b *bytes.Buffer, title string, text []byte) {
	fmt.Fprintf(b, "\n\n== %s ==\n\n%s\n", title, bytes.TrimSpace(text))
}
