package asset

import (
	"bytes"
	"errors"
	"os"
	"os/exec"
	"path"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
)

// project is this repository, seen from the folder of the tests.
func project(t *testing.T) string {
	t.Helper()
	root, err := filepath.Abs("../../../..")
	if err != nil {
		t.Fatal(err)
	}
	return root
}

func TestAllAssetsAreMadeNamedByTheirContentAndReached(t *testing.T) {
	s, err := Build(Options{Root: project(t), Cache: t.TempDir()})
	if err != nil {
		t.Fatal(err)
	}
	hashed := regexp.MustCompile(`^assets/[A-Za-z0-9_-]+\.[A-Z0-9]{8}\.(css|js|wasm|svg|png|woff2|txt)$`)
	for name := range s.Files {
		if !hashed.MatchString(name) {
			t.Errorf("%s: has no hash in its name, so a browser could keep an old one", name)
		}
	}
	for _, plain := range []string{"site.css", "room.css", "sheet.css", "specimens.css", "site.js", "worker.js", "calculators.wasm", "sheet.wasm", "room.js", "roomworker.js", "room.wasm", "ink.js", "icon.svg", "icon-192.png", "licences.txt"} {
		if file := strings.TrimPrefix(s.URL(plain), "/"); len(s.Files[file]) == 0 {
			t.Errorf("URL(%q) = %q, which is no file of the set", plain, s.URL(plain))
		}
	}
	if got := s.URL("unknown.css"); got != "" {
		t.Errorf("URL of an unknown name = %q, want nothing", got)
	}
	for script, least := range map[string]int{"site": 2, "live": 2, "site-de": 2, "live-de": 2} {
		list := strings.Fields(s.URL(script + ".modules"))
		if len(list) == 0 || list[0] != s.URL(script+".js") {
			t.Errorf("%s.modules = %q, want the script first", script, list)
		}
		for _, address := range list {
			if len(s.Files[strings.TrimPrefix(address, "/")]) == 0 {
				t.Errorf("%s.modules names %s, which is no file of the set", script, address)
			}
		}
		imported := regexp.MustCompile(`\b(?:from|import)"([^"]+)"`).FindAllStringSubmatch(string(s.Files[strings.TrimPrefix(s.URL(script+".js"), "/")]), -1)
		for _, m := range imported {
			if !slices.Contains(list, m[1]) {
				t.Errorf("%s.modules lacks %s, which the script imports", script, m[1])
			}
		}
		if min(len(list)-1, len(imported)) < least {
			t.Errorf("%s.modules = %q and the script imports %q, want at least %d that it imports", script, list, imported, least)
		}
	}
	for _, name := range []string{"calculators.wasm", "sheet.wasm", "room.wasm"} {
		wasm := s.Files[strings.TrimPrefix(s.URL(name), "/")]
		if !bytes.HasPrefix(wasm, []byte("\x00asm")) {
			t.Errorf("%s is no WebAssembly module", name)
		}
		if bytes.Contains(wasm, []byte(project(t))) {
			t.Errorf("%s tells where the project lies on this machine", name)
		}
		if bytes.Contains(wasm, []byte("runtime/proc.go")) {
			t.Errorf("%s carries the names of files, which nothing but a traceback prints", name)
		}
	}
	wantReferences(t, s)
	wantLazyEngine(t, s)
	wantOwnDrawing(t, s)
	for _, mark := range []string{"SIL OPEN FONT LICENSE", "== three "} {
		if !bytes.Contains(s.Files[strings.TrimPrefix(s.URL("licences.txt"), "/")], []byte(mark)) {
			t.Errorf("the licences handed out lack %q", mark)
		}
	}
}

// wantOwnDrawing checks that the drawing library is in a file of its own, which no other script loads by name.
func wantOwnDrawing(t *testing.T, s *Set) {
	t.Helper()
	mark := []byte("WebGLRenderer")
	for name, data := range s.Files {
		if inside := bytes.Contains(data, mark); path.Ext(name) == ".js" && inside != (name == strings.TrimPrefix(s.URL("ink.js"), "/")) {
			t.Errorf("%s: carries the drawing library: %v", name, inside)
		}
	}
}

func TestWithoutTheDrawingLibraryTheRestIsBuiltAndToldSo(t *testing.T) {
	root := t.TempDir()
	write := func(name, text string) {
		file := filepath.Join(root, "theme", filepath.FromSlash(name))
		if err := errors.Join(os.MkdirAll(filepath.Dir(file), 0o755), os.WriteFile(file, []byte(text), 0o644)); err != nil {
			t.Fatal(err)
		}
	}
	write("package-lock.json", `{"packages": {"node_modules/three": {"version": "0.187.0", "optional": true}}}`)
	for _, name := range []string{"site", "room", "sheet", "specimens"} {
		write("styles/"+name+".css", "")
	}
	for _, name := range []string{"site", "worker", "room", "roomworker", "head"} {
		write("scripts/"+name+".js", "export const name = '"+name+"';\n")
	}
	write("scripts/ink.js", "export { Scene } from 'three';\n")
	var told []string
	o := Options{Root: root, Note: func(line string) { told = append(told, line) }}
	if err := Prepare(o); err != nil {
		t.Errorf("Prepare without an optional library = %v, want nothing to do", err)
	}
	s, err := bundle(o, tools{})
	if err != nil {
		t.Fatal(err)
	}
	want := "The fitting room is built without its drawing in WebGL: theme/node_modules lacks three 0.187.0; run npm ci in theme (it needs Node.js 20 or newer), then build again."
	if !slices.Equal(told, []string{want}) {
		t.Errorf("told %q, want %q", told, want)
	}
	if s.URL("room.js") == "" || s.URL("site.css") == "" || s.URL("ink.js") != "" {
		t.Errorf("room.js %q, site.css %q, ink.js %q; want the first two alone", s.URL("room.js"), s.URL("site.css"), s.URL("ink.js"))
	}
	write("node_modules/.package-lock.json", `{"packages": {"node_modules/three": {"version": "0.186.0", "optional": true}}}`)
	if lack := lacksDrawing(o); !strings.Contains(lack, "lacks three 0.187.0") {
		t.Errorf("with another version: %q, want the one that is asked for", lack)
	}
	write("node_modules/.package-lock.json", `{"packages": {"node_modules/three": {"version": "0.187.0", "optional": true}}}`)
	write("node_modules/three/index.js", "export class Scene {}\n")
	if s, err = bundle(o, tools{}); err != nil || s.URL("ink.js") == "" {
		t.Errorf("with the library: ink.js %q, error %v", s.URL("ink.js"), err)
	}
}

// wantReferences checks that style sheets and scripts name only files that exist, all of this site.
func wantReferences(t *testing.T, s *Set) {
	t.Helper()
	count := 0
	for name, data := range s.Files {
		if ext := path.Ext(name); ext != ".css" && ext != ".js" {
			continue
		}
		for _, m := range regexp.MustCompile(`/assets/[A-Za-z0-9_.-]+|"\./[A-Za-z0-9_.-]+\.js"`).FindAllString(string(data), -1) {
			count++
			file := strings.TrimPrefix(m, "/")
			if local, ok := strings.CutPrefix(m, `"./`); ok {
				file = Dir + "/" + strings.TrimSuffix(local, `"`)
			}
			if s.Files[file] == nil {
				t.Errorf("%s names %s, which does not exist", name, m)
			}
		}
		if at := bytes.Index(data, []byte("url(http")); at >= 0 {
			t.Errorf("%s loads from another host: %s", name, data[at:min(len(data), at+60)])
		}
	}
	if count < 4 {
		t.Errorf("only %d references found; the site has at least 4 font files and script parts", count)
	}
}

// wantLazyEngine checks that the start-up code of WebAssembly is in a file that the page's first script loads on demand.
func wantLazyEngine(t *testing.T, s *Set) {
	t.Helper()
	mark := []byte("gojs") // the module name of Go's imports
	first := s.Files[strings.TrimPrefix(s.URL("site.js"), "/")]
	if bytes.Contains(first, mark) {
		t.Error("site.js carries the engine; every page would load it")
	}
	found := slices.ContainsFunc(slices.Collect(func(yield func([]byte) bool) {
		for name, data := range s.Files {
			if path.Ext(name) == ".js" && !yield(data) {
				return
			}
		}
	}), func(data []byte) bool { return bytes.Contains(data, mark) })
	if !found {
		t.Error("no script carries the start-up code of WebAssembly")
	}
}

func TestABrokenScriptAndStyleAreToldWithFileAndLine(t *testing.T) {
	root := t.TempDir()
	for name, text := range map[string]string{
		"theme/scripts/site.js":   "import { a } from './gone.js';\na();\n",
		"theme/scripts/worker.js": "", "theme/scripts/room.js": "", "theme/scripts/roomworker.js": "", "theme/scripts/head.js": "",
		"theme/styles/site.css": "@import './gone.css';\n", "theme/styles/room.css": "", "theme/styles/sheet.css": "", "theme/styles/specimens.css": "",
		"theme/scripts/other.js": "let = ;",
	} {
		file := filepath.Join(root, filepath.FromSlash(name))
		if err := errors.Join(os.MkdirAll(filepath.Dir(file), 0o755), os.WriteFile(file, []byte(text), 0o644)); err != nil {
			t.Fatal(err)
		}
	}
	_, err := bundle(Options{Root: root}, tools{})
	if err == nil {
		t.Fatal("a broken import was bundled")
	}
	lines := strings.Split(err.Error(), "\n")
	if len(lines) != 2 || !strings.HasPrefix(lines[0], "theme/scripts/site.js:1: ") || !strings.HasPrefix(lines[1], "theme/styles/site.css:1: ") {
		t.Errorf("told:\n%v\nwant one line each for site.js:1 and site.css:1", err)
	}
}

func TestNpmIsNamedWhenItIsNeededAndMissing(t *testing.T) {
	root := t.TempDir()
	lock := `{"packages": {"": {"version": "1"}, "node_modules/temml": {"version": "0.13.5"}, "node_modules/tool": {"version": "1", "dev": true}}}`
	write := func(name, text string) {
		file := filepath.Join(root, "theme", filepath.FromSlash(name))
		if err := errors.Join(os.MkdirAll(filepath.Dir(file), 0o755), os.WriteFile(file, []byte(text), 0o644)); err != nil {
			t.Fatal(err)
		}
	}
	write("package-lock.json", lock)
	t.Setenv("PATH", t.TempDir())
	err := Prepare(Options{Root: root})
	want := "theme/node_modules lacks temml 0.13.5, and npm was not found: install Node.js 20 or newer with npm (on Debian 13: apt-get install nodejs npm; Debian 12 has only 18), then build again"
	if err == nil || err.Error() != want {
		t.Errorf("Prepare without npm = %v, want %q", err, want)
	}
	write("node_modules/.package-lock.json", strings.Replace(lock, "0.13.5", "0.13.4", 1))
	if err := Prepare(Options{Root: root}); err == nil || err.Error() != want {
		t.Errorf("Prepare with another version installed = %v, want %q", err, want)
	}
	write("node_modules/.package-lock.json", `{"packages": {"node_modules/temml": {"version": "0.13.5"}}}`)
	if err := Prepare(Options{Root: root}); err != nil {
		t.Errorf("Prepare with all that a build needs = %v, want nothing to do", err)
	}
}

func TestTheCompilerSeesNothingOfThisMachinesSettings(t *testing.T) {
	env := wasmEnviron([]string{"PATH=/bin", "GOFLAGS=-tags=x", "GOOS=linux", "GOEXPERIMENT=y", "CGO_ENABLED=1", "GOFIPS140=latest", "HOME=/h"})
	want := []string{"PATH=/bin", "HOME=/h", "GOOS=js", "GOARCH=wasm", "GOFLAGS=-mod=readonly", "GOWORK=off", "CGO_ENABLED=0", "GOFIPS140=off", "GOEXPERIMENT=,"}
	if !slices.Equal(env, want) {
		t.Errorf("environment %v, want %v", env, want)
	}
	settings := filepath.Join(t.TempDir(), "env") // as go env -w writes it
	if err := os.WriteFile(settings, []byte("GOFLAGS=-race\nCGO_ENABLED=1\nGOFIPS140=latest\nGOWORK=/nowhere/go.work\nGOEXPERIMENT=nogreenteagc\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	ask := exec.Command("go", "env", "GOFLAGS", "CGO_ENABLED", "GOFIPS140", "GOWORK", "GOEXPERIMENT")
	ask.Env = wasmEnviron(append(os.Environ(), "GOENV="+settings, "CGO_ENABLED=1"))
	told, err := ask.Output()
	if want := "-mod=readonly\n0\noff\noff\n,\n"; err != nil || string(told) != want {
		t.Errorf("beside settings of its user the go tool has %q, %v; want %q", told, err, want)
	}
}
