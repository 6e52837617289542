package tests

import (
	"encoding/json"
	"os"
	"os/exec"
	"path"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// licences that let a site be built, changed and handed on. Each is known by words of its own text, the longer first.
var licences = []struct{ name, words string }{
	{"Apache-2.0", "apache license version 2.0"}, {"OFL-1.1", "sil open font license version 1.1"},
	{"BSD-3-Clause", "neither the name of"}, {"BSD-2-Clause", "redistributions in binary form must reproduce"},
	{"ISC", "permission to use, copy, modify, and/or distribute this software"}, {"MIT", "permission is hereby granted, free of charge"},
}

// licenceOf names the licence of a text, "" when it is none of ours.
func licenceOf(text string) string {
	text = strings.ToLower(strings.Join(strings.Fields(strings.ReplaceAll(text, ",", "")), " "))
	for _, l := range licences {
		if strings.Contains(text, strings.ReplaceAll(l.words, ",", "")) {
			return l.name
		}
	}
	return ""
}

func TestEveryDependencyHasALicenceThatLetsItBeUsed(t *testing.T) {
	list := exec.Command("go", "list", "-deps", "-test", "-f", "{{with .Module}}{{if not .Main}}{{.Path}} {{.Dir}}{{end}}{{end}}", "./...")
	list.Dir = ".."
	out, err := list.Output()
	if err != nil {
		t.Fatal(err)
	}
	modules := slices.Compact(slices.Sorted(strings.Lines(string(out))))
	if len(modules) < 15 {
		t.Errorf("only %d modules were found", len(modules))
	}
	for _, line := range modules {
		module, dir, _ := strings.Cut(strings.TrimSpace(line), " ")
		if module == "" {
			continue
		}
		if dir == "" { // vendored, with its licence
			dir = filepath.Join("..", "vendor", filepath.FromSlash(module))
		}
		files, _ := filepath.Glob(filepath.Join(dir, "LICEN[SC]E*"))
		copying, _ := filepath.Glob(filepath.Join(dir, "COPYING*"))
		files = append(files, copying...)
		name := ""
		for _, file := range files {
			if text, err := os.ReadFile(file); err == nil && name == "" {
				name = licenceOf(string(text))
			}
		}
		if name == "" {
			t.Errorf("%s: %v hold none of the licences that are allowed", module, files)
		}
	}
}

func TestEveryPackageOfNpmIsPinnedAndMayBeUsed(t *testing.T) {
	type locked struct{ Version, Integrity, License string }
	packages := map[string]locked{}
	for _, name := range packageFiles {
		text, err := os.ReadFile(filepath.Join("..", strings.Replace(name, ".json", "-lock.json", 1)))
		var lock struct{ Packages map[string]locked }
		if err == nil {
			err = json.Unmarshal(text, &lock)
		}
		if err != nil || len(lock.Packages) < 10 {
			t.Fatalf("%s: %d packages, %v", name, len(lock.Packages), err)
		}
		for folder, p := range lock.Packages {
			if folder != "" {
				packages[path.Dir(name)+"/"+folder] = p
			}
		}
	}
	const untold = "tests/lighthouse/node_modules/parse-cache-control"
	if p := packages[untold]; p.Version == "1.0.1" && p.License == "" {
		p.License = "BSD-3-Clause" // as the file LICENSE in it says; its package.json has the word in an older place
		packages[untold] = p
	}
	allowed := []string{"0BSD", "BlueOak-1.0.0", "MPL-2.0", "Python-2.0", "(MIT AND Zlib)"} // MPL-2.0: axe-core, a tool of the tests; nothing of it is in a page
	for _, l := range licences {
		allowed = append(allowed, l.name)
	}
	for name, p := range packages {
		if p.Version == "" || p.Integrity == "" || !slices.Contains(allowed, p.License) {
			t.Errorf("%s: version %q, checksum %q, licence %q", name, p.Version, p.Integrity, p.License)
		}
	}
}

func TestALicenceIsKnownByItsWords(t *testing.T) {
	for text, want := range map[string]string{
		"Permission is hereby granted, free\n of charge, to": "MIT", "All rights reserved. No copying.": "",
		"Apache License\n   Version 2.0, January 2004": "Apache-2.0", "Redistributions in binary form must reproduce x. Neither the name of y": "BSD-3-Clause",
	} {
		if got := licenceOf(text); got != want {
			t.Errorf("%q: %q, want %q", text, got, want)
		}
	}
}
