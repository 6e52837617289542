// Package tests holds what crosses rooms: the laws of the architecture, the promises of README.md and DEVELOPERS.md, and
// in its folders the published values, the browser and the benchmarks.
//
// A law is a function from the project's files to breaches, written as file:line: text. TestTheProjectKeepsItsLaws asks
// each law about the project, and TestEveryLawSeesABreach asks it about small projects that break it, so a law that sees
// nothing is noticed. The laws are grouped by what they read: rooms, code, theme, what the interface says, what is caught, words, prose, documents, curriculum.
package tests

import (
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"maps"
	"os"
	"path"
	"slices"
	"strings"
	"testing"
)

// law is one rule that the whole project keeps.
type law struct {
	name  string // a sentence
	find  func(p *project, b *breaches)
	least int // how many things the law must have looked at in the real project
	// broken are projects that break the law, each as a few files beside those that every project has.
	broken []breach
	// kept is a project that comes near to breaking the law and does not.
	kept files
}

// files of a small project, by name.
type files map[string]string

// breach is a project that breaks a law and the message that must tell of it.
type breach struct {
	files files
	want  string
}

func laws() []law {
	return slices.Concat(roomLaws(), codeLaws(), themeLaws(), sayLaws(), silenceLaws(), wordLaws(), proseLaws(), documentLaws(), curriculumLaws(), evidenceLaws())
}

func TestTheProjectKeepsItsLaws(t *testing.T) {
	p := openProject(t, os.DirFS(".."))
	for _, l := range laws() {
		t.Run(l.name, func(t *testing.T) {
			var b breaches
			l.find(p, &b)
			for _, text := range b.sorted() {
				t.Error(text)
			}
			if b.seen < l.least {
				t.Errorf("the law looked at %d things, want at least %d; does it still find what it is about?", b.seen, l.least)
			}
		})
	}
}

func TestEveryLawSeesABreach(t *testing.T) {
	for _, l := range laws() {
		t.Run(l.name, func(t *testing.T) {
			if len(l.broken) == 0 {
				t.Error("no project breaks this law, so nobody knows whether it can fail")
			}
			for _, c := range l.broken {
				var b breaches
				l.find(openProject(t, mapFS(c.files)), &b)
				if got := strings.Join(b.sorted(), "\n"); got != c.want {
					t.Errorf("of %v the law says\n%s\nwant\n%s", slices.Sorted(maps.Keys(c.files)), got, c.want)
				}
			}
			if l.kept == nil {
				return
			}
			var b breaches
			l.find(openProject(t, mapFS(l.kept)), &b)
			for _, text := range b.sorted() {
				t.Errorf("a project that keeps the law is blamed: %s", text)
			}
		})
	}
}

// breaches collects what a law finds.
type breaches struct {
	seen int // things looked at
	list []string
}

// add notes a breach. Line 0 stands for the whole file.
func (b *breaches) add(file string, line int, format string, args ...any) {
	place := file
	if line > 0 {
		place = fmt.Sprintf("%s:%d", file, line)
	}
	b.list = append(b.list, place+": "+fmt.Sprintf(format, args...))
}

func (b *breaches) sorted() []string {
	return slices.Compact(slices.Sorted(slices.Values(b.list)))
}

// project is every text file of a tree that is neither ignored by git nor fetched.
type project struct {
	root  fs.FS
	names []string // sorted
	text  map[string]string
	mute  map[string]bool // files that hold no words: pictures, programs
	set   *token.FileSet
	code  map[string]*ast.File // Go files by name
}

func openProject(t *testing.T, root fs.FS) *project {
	t.Helper()
	p := &project{root: root, text: map[string]string{}, mute: map[string]bool{}, set: token.NewFileSet(), code: map[string]*ast.File{}}
	ignored := ignoredNames(root)
	err := fs.WalkDir(root, ".", func(name string, d fs.DirEntry, err error) error {
		if err != nil || name == "." {
			return err
		}
		if d.IsDir() {
			if name == ".git" || ignored(name, true) {
				return fs.SkipDir
			}
			return nil
		}
		if name == ".git" { // a file, in a second working tree of the repository
			return nil
		}
		if !d.Type().IsRegular() || ignored(name, false) {
			return nil
		}
		data, err := fs.ReadFile(root, name)
		if err != nil {
			return err
		}
		if strings.Contains(string(data), "\x00") {
			p.mute[name] = true
		} else {
			p.names, p.text[name] = append(p.names, name), string(data)
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	for name := range p.under("", ".go") {
		file, err := parser.ParseFile(p.set, name, p.text[name], parser.ParseComments|parser.SkipObjectResolution)
		if err != nil {
			t.Fatal(err)
		}
		p.code[name] = file
	}
	return p
}

// ignoredNames reads the two forms that .gitignore uses here: "/folder/" from the root, and "*.ending" anywhere.
func ignoredNames(root fs.FS) func(name string, folder bool) bool {
	text, err := fs.ReadFile(root, ".gitignore")
	if err != nil {
		text = nil // small projects have none
	}
	patterns := strings.Fields(string(text))
	return func(name string, folder bool) bool {
		for _, p := range patterns {
			if matched, _ := path.Match(p, path.Base(name)); matched || folder && p == "/"+name+"/" {
				return true
			}
		}
		return false
	}
}

// under yields the names of the files in a folder, "" for all, whose names end in one of the endings, in order.
func (p *project) under(folder string, endings ...string) func(yield func(string) bool) {
	return func(yield func(string) bool) {
		for _, name := range p.names {
			if folder != "" && !strings.HasPrefix(name, folder+"/") {
				continue
			}
			for _, ending := range endings {
				if strings.HasSuffix(name, ending) && !yield(name) {
					return
				}
			}
		}
	}
}

// program yields the Go files of a folder that are no tests.
func (p *project) program(folder string) func(yield func(string, *ast.File) bool) {
	return func(yield func(string, *ast.File) bool) {
		for name := range p.under(folder, ".go") {
			if !strings.HasSuffix(name, "_test.go") && !yield(name, p.code[name]) {
				return
			}
		}
	}
}

// line is the line of the file on which a node of its syntax begins.
func (p *project) line(at token.Pos) int { return p.set.Position(at).Line }

// lines counts the lines of a file.
func (p *project) lines(name string) int {
	text := strings.TrimSuffix(p.text[name], "\n")
	return 1 + strings.Count(text, "\n")
}

// lineOf is the line on which the byte at the offset stands.
func lineOf(text string, offset int) int { return 1 + strings.Count(text[:offset], "\n") }

// imports yields the paths that a Go file imports, with their lines.
func (p *project) imports(file *ast.File) func(yield func(string, int) bool) {
	return func(yield func(string, int) bool) {
		for _, spec := range file.Imports {
			if !yield(strings.Trim(spec.Path.Value, `"`), p.line(spec.Pos())) {
				return
			}
		}
	}
}
