package site

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"testing"

	"centrode/calc/catalog/list"
	"centrode/cmd/centrode/internal/report"
	"centrode/cmd/centrode/internal/scaffold"
	"centrode/tests/copied"
)

var repository = filepath.Join("..", "..", "..", "..")

// fixture is a whole project at dir: this one's theme and calculators, and content of one lesson.
func fixture(t *testing.T, dir string) string {
	t.Helper()
	copied.Parts(t, repository, dir, "go.mod", "go.sum", "theme", "calc", "wasm", "content/sources.json", "content/glossary.yaml")
	lesson, err := scaffold.NewLesson(scaffold.Lesson{Slug: "the-only-one", Part: 1, Order: 1, Calculator: list.All()[0]})
	if err != nil {
		t.Fatal(err)
	}
	plant(t, dir, map[string]string{
		lesson.Path:       string(lesson.Content),
		"content/home.md": "---\ntitle: A small book\nsummary: One lesson.\n---\n\nRead [the lesson](/lessons/the-only-one/).\n",
	})
	return dir
}

// fixtureWithCache is a fixture that shares slow results with this project's own builds and with other tests.
func fixtureWithCache(t *testing.T) string {
	t.Helper()
	root := fixture(t, filepath.Join(t.TempDir(), "p"))
	copied.Results(t, repository, root)
	return root
}

func TestTheSameInputGivesTheSameBytesAnywhere(t *testing.T) {
	near := fixture(t, filepath.Join(t.TempDir(), "a"))
	far := fixture(t, filepath.Join(t.TempDir(), "another folder", "deeper", "dé"))
	t.Setenv("TZ", "Pacific/Chatham")
	t.Setenv("GOFLAGS", "")
	first, err := makeWhole(Options{Root: near, Draft: true}, nil)
	if err != nil {
		t.Fatal(err)
	}
	t.Setenv("TZ", "UTC")
	t.Setenv("LC_ALL", "C")
	t.Setenv("GOFLAGS", "-buildvcs=false")
	t.Setenv("USER", "somebody")
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(1))
	second, err := makeWhole(Options{Root: far, Draft: true}, nil)
	if err != nil {
		t.Fatal(err)
	}
	warm, err := makeWhole(Options{Root: near, Draft: true}, nil) // from the cache of the first
	if err != nil {
		t.Fatal(err)
	}
	if len(first.Files) < 20 {
		t.Errorf("the site has only %d files", len(first.Files))
	}
	for _, name := range slices.Sorted(maps.Keys(first.Files)) {
		if !bytes.Equal(first.Files[name], second.Files[name]) {
			t.Errorf("%s differs between the two folders", name)
		}
		if !bytes.Equal(first.Files[name], warm.Files[name]) {
			t.Errorf("%s differs when the cache is warm", name)
		}
		for _, trace := range []string{near, far, os.TempDir() + "/"} {
			if bytes.Contains(first.Files[name], []byte(trace)) {
				t.Errorf("%s tells a path of the machine: %s", name, trace)
			}
		}
	}
	if len(first.Files) != len(second.Files) || len(first.Files) != len(warm.Files) {
		t.Errorf("%d files, then %d, and %d from a warm cache", len(first.Files), len(second.Files), len(warm.Files))
	}
	if s := first.Summary; s.Lessons != 1 || s.Worked != 1 || s.Exercises != 1 || s.Plates != 1 || s.Pages < 6 || s.WASM < 1<<20 || s.WASMBrotli != 0 {
		t.Errorf("summary %+v; want one lesson, worked example, exercise and plate, and a draft without brotli", s)
	}
}

func TestAFailingBuildLeavesTheOldSiteAndForeignFiles(t *testing.T) {
	root := fixtureWithCache(t)
	public := filepath.Join(root, "public")
	made, err := Build(Options{Root: root})
	if err != nil {
		t.Fatal(err)
	}
	modules, err := filepath.Glob(filepath.Join(public, "assets", "calculators.*.wasm"))
	if err != nil || len(modules) != 1 {
		t.Fatalf("the site has the calculators %v (%v)", modules, err)
	}
	if info, err := os.Stat(modules[0]); err != nil || info.Size() != int64(made.WASM) {
		t.Errorf("the summary gives the calculators %d bytes, their file has %d (%v)", made.WASM, info.Size(), err)
	}
	if made.WASMBrotli == 0 || made.WASMBrotli > made.WASM/2 {
		t.Errorf("the calculators have %d bytes and %d with brotli", made.WASM, made.WASMBrotli)
	}
	plant(t, public, map[string]string{"CNAME": "example.org"})
	before := tree(t, public)
	broken, place := breakExpectation(t, root)
	for name, files := range map[string]map[string]string{
		place:                               {"content/lessons/the-only-one.md": broken},
		"theme/styles/site.css:1: ":         {"theme/styles/site.css": "@import './gone.css';"},
		"calculators.wasm does not compile": {"wasm/broken.go": "package main\n\nvar x int = \"\"\n"},
	} {
		restore := overwrite(t, root, files)
		_, err := Build(Options{Root: root})
		if err == nil || !strings.Contains(err.Error(), name) {
			t.Errorf("Build = %v, want it to say %s", err, name)
		}
		if !maps.Equal(tree(t, public), before) {
			t.Errorf("%s: the failing build changed the old site", name)
		}
		restore()
	}
	overwrite(t, root, map[string]string{"content/home.md": "---\ntitle: Another\nsummary: Title.\n---\n\nWords.\n"})
	if _, err := Build(Options{Root: root}); err != nil {
		t.Fatal(err)
	}
	after := tree(t, public)
	if after["CNAME"] != "example.org" {
		t.Error("a rebuild lost the file of somebody else")
	}
	if !strings.Contains(after["index.html"], "Another") {
		t.Error("a rebuild did not replace the home page")
	}
	files, err := Built(public)
	if err != nil || len(files) != len(after)-2 { // the manifest and the foreign file
		t.Errorf("Built reads %d files, %v; want the %d that were written", len(files), err, len(after)-2)
	}
}

// breakExpectation returns the fixture's lesson with another expected number in its worked example, and where it stands.
func breakExpectation(t *testing.T, root string) (text, place string) {
	t.Helper()
	data, err := os.ReadFile(filepath.Join(root, "content", "lessons", "the-only-one.md"))
	if err != nil {
		t.Fatal(err)
	}
	lines := strings.Split(string(data), "\n")
	for i, line := range lines {
		if line == "expect:" {
			lines[i+1] = lines[i+1][:strings.Index(lines[i+1], ":")] + ": 77.777 cm"
			return strings.Join(lines, "\n"), fmt.Sprintf("content/lessons/the-only-one.md:%d: first-example: ", i+2)
		}
	}
	t.Fatal("the lesson expects nothing")
	return "", ""
}

func TestCheckTellsTheVerdictsAndEveryProblem(t *testing.T) {
	root := fixture(t, filepath.Join(t.TempDir(), "p"))
	proved, s, err := Check(Options{Root: root})
	if err != nil {
		t.Fatal(err)
	}
	if len(proved.Checks) < 2 || s.Pages < 6 {
		t.Errorf("%d checks and %d pages; want the worked example, the exercise and at least 6 pages", len(proved.Checks), s.Pages)
	}
	broken, _ := breakExpectation(t, root)
	overwrite(t, root, map[string]string{
		"content/lessons/the-only-one.md": broken,
		"content/lessons/second.md":       "---\ntitle: x\n---\n\n[[no such term]]\n",
	})
	proved, _, err = Check(Options{Root: root})
	var problems report.Problems
	if !errors.As(err, &problems) || len(problems) < 3 || proved == nil {
		t.Errorf("Check = %v, want the wrong number, the missing keys and the unknown term, and the verdicts", err)
	}
}

func TestASiteAmongTheSourcesIsRefused(t *testing.T) {
	root := filepath.Join(t.TempDir(), "p")
	plant(t, root, map[string]string{"content/home.md": "x"})
	for out, want := range map[string]string{
		root:                                   "holds the project itself",
		filepath.Dir(root):                     "holds the project itself",
		filepath.Join(root, "content"):         "lies among the project's sources in content",
		filepath.Join(root, "content", "site"): "lies among the project's sources in content",
		filepath.Join(root, ".git", "x"):       "lies among the project's sources in .git",
	} {
		if _, err := Build(Options{Root: root, Out: out}); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("Build to %s = %v, want it to say that it %s", out, err, want)
		}
	}
	wantTree(t, root, map[string]string{"content/home.md": "x"})
}

func TestALinkOutOfTheContentIsNotFollowed(t *testing.T) {
	root := fixtureWithCache(t)
	secret := filepath.Join(t.TempDir(), "secret.md")
	plant(t, filepath.Dir(secret), map[string]string{"secret.md": "---\ntitle: Secret\nsummary: s\n---\nkept from readers\n"})
	if err := os.Symlink(secret, filepath.Join(root, "content", "lessons", "leak.md")); err != nil {
		t.Fatal(err)
	}
	made, err := makeWhole(Options{Root: root, Draft: true}, nil)
	if err == nil {
		for name, data := range made.Files {
			if bytes.Contains(data, []byte("kept from readers")) {
				t.Errorf("%s shows a file from outside of the content", name)
			}
		}
	} else if !strings.Contains(err.Error(), "content/lessons/leak.md") {
		t.Errorf("Make = %v, want the link left out or named", err)
	}
}

// overwrite replaces files and returns what puts them back.
func overwrite(t *testing.T, root string, files map[string]string) (restore func()) {
	t.Helper()
	old := map[string]string{}
	for name := range files {
		if data, err := os.ReadFile(filepath.Join(root, filepath.FromSlash(name))); err == nil {
			old[name] = string(data)
		}
	}
	plant(t, root, files)
	return func() {
		for name := range files {
			if err := os.Remove(filepath.Join(root, filepath.FromSlash(name))); err != nil {
				t.Fatal(err)
			}
		}
		plant(t, root, old)
	}
}

// tree reads all files under dir.
func tree(t *testing.T, dir string) map[string]string {
	t.Helper()
	got := map[string]string{}
	err := filepath.WalkDir(dir, func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		data, err := os.ReadFile(name)
		rel, _ := filepath.Rel(dir, name)
		got[filepath.ToSlash(rel)] = string(data)
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return got
}
