package asset

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
)

// licences joins the licence texts of what the site hands out besides our own work: the Go runtime inside the
// calculators and its start-up script, and the packages of theme/package.json (fonts, and the rules that the
// mathematics needs) but those that only cut the fonts.
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
	named, err := os.ReadFile(filepath.Join(o.Root, "theme", "package.json"))
	if err != nil {
		return nil, err
	}
	var direct struct{ Dependencies, OptionalDependencies map[string]string }
	if err := json.Unmarshal(named, &direct); err != nil {
		return nil, fmt.Errorf("theme/package.json: %w", err)
	}
	var dirs []string
	for name := range direct.Dependencies {
		if !slices.Contains(cutters, name) {
			dirs = append(dirs, "node_modules/"+name)
		}
	}
	for name := range direct.OptionalDependencies {
		dirs = append(dirs, "node_modules/"+name)
	}
	slices.Sort(dirs)
	for _, dir := range dirs {
		files, err := fs.Glob(o.theme(), dir+"/LICEN[CS]E*")
		if err != nil || len(files) == 0 {
			continue // none came with it
		}
		slices.Sort(files)
		text, err := fs.ReadFile(o.theme(), files[0])
		if err != nil {
			return nil, err
		}
		section(&b, dir[len("node_modules/"):]+" "+packages[dir].version, text)
	}
	return b.Bytes(), nil
}

// cutters are the packages that work in the build and leave nothing of themselves in the site.
var cutters = []string{"fontverter", "subset-font"}

func section(b *bytes.Buffer, title string, text []byte) {
	fmt.Fprintf(b, "\n\n== %s ==\n\n%s\n", title, bytes.TrimSpace(text))
}
