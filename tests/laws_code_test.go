package tests

import (
	"go/ast"
	"go/doc"
	"path"
	"regexp"
	"slices"
	"strings"
	"unicode"
)

// The laws of size and of documentation.
func codeLaws() []law {
	return []law{
		{
			name: "every package says in its first line what it is for", find: packageComments, least: 35,
			broken: []breach{
				{files{"calc/a/a.go": "package a\n"}, "calc/a: no file says what the package is for; write \"// Package a …\" above one package clause"},
				{files{"cmd/a/a.go": "// Holds things that are useful.\npackage main\n"}, "cmd/a/a.go:1: the package comment must begin \"Command a\" and say what it is for"},
				{files{"calc/a/a.go": "// Package a.\npackage a\n"}, "calc/a/a.go:1: the package comment must begin \"Package a\" and say what it is for"},
				{files{"calc/a/a.go": "// Package a does something useful.\npackage a\n", "calc/a/b.go": "// Package a does something else.\npackage a\n"},
					"calc/a/b.go:1: the package has a comment in calc/a/a.go already"},
			},
			kept: files{"calc/a/a.go": "// Package a measures the sweep of a point.\npackage a\n", "calc/a/b.go": "package a\n", "calc/a/a_test.go": "package a_test\n"},
		},
		{
			name: "where a package comment says to start, there is something", find: beginnings, least: 40,
			broken: []breach{
				{files{"calc/a/a.go": "// Package a measures the sweep of a point.\n//\n// Start at Sweep.\npackage a\n"}, "calc/a/a.go:1: the package comment says to start at Sweep, which is not there"},
			},
			kept: files{"calc/a/a.go": "// Package a measures the sweep of a point. Start at Sweep and T.\npackage a\n\nfunc Sweep() {}\n", "calc/a/b.go": "package a\n\ntype T int\n"},
		},
		{
			name: "every export of calc is documented", find: exportComments, least: 300,
			broken: []breach{
				{files{"calc/a/a.go": "package a\n\nfunc F() {}\n"}, "calc/a/a.go:3: F has no comment"},
				{files{"calc/a/a.go": "package a\n\n// T is a thing.\ntype T struct{}\n\nfunc (T) M() {}\n"}, "calc/a/a.go:6: T.M has no comment"},
				{files{"calc/a/a.go": "package a\n\n// Turn it.\ntype T struct{}\n"}, "calc/a/a.go:4: the comment of T must begin with its name"},
				{files{"calc/a/a.go": "package a\n\nconst (\n\tA = 1\n)\n"}, "calc/a/a.go:4: A has no comment"},
			},
			kept: files{"calc/a/a.go": "package a\n\n// The sizes.\nconst (\n\tA = 1\n)\n\nfunc f() {}\n\ntype t struct{}\n\nfunc (t) M() {}\n"},
		},
		{
			name: "a test that a comment names exists", find: namedTests, least: 15,
			broken: []breach{
				{files{"calc/a/a.go": "package a\n\n// Nine are enough (TestNine).\nvar n = 9\n", "calc/a/a_test.go": "package a\n\nfunc TestTen() {}\n"}, "calc/a/a.go:3: TestNine is no test"},
			},
			kept: files{"calc/a/a.go": "package a\n\n// See TestNine and TestTen….\nvar n = 9\n", "calc/a/a_test.go": "package a\n\nfunc TestNine() {}\n\nfunc TestTenIsMore() {}\n"},
		},
		{
			name: "no function is longer than 80 lines, literals and tests apart", find: functionLengths, least: 800,
			broken: []breach{{files{"calc/a/a.go": "package a\n\nfunc f() {\n" + strings.Repeat("\t_ = 1\n", 79) + "}\n"}, "calc/a/a.go:3: f has 81 lines; at most 80 are allowed"}},
			kept: files{"calc/a/a.go": "package a\n\nfunc f() []int {\n\treturn []int{\n" + strings.Repeat("\t\t1,\n", 99) + "\t}\n}\n",
				"calc/a/a_test.go": "package a\n\nfunc f() {\n" + strings.Repeat("\t_ = 1\n", 79) + "}\n"},
		},
		{
			name: "most functions and files are short", find: medianLengths, least: 800,
			broken: []breach{
				{files{"calc/a/a.go": "package a\n\nfunc f() {\n" + strings.Repeat("\t_ = 1\n", 9) + "}\n"}, "functions: half of them have more than 10 lines (11)"},
			},
		},
		{
			name: "no file is long", find: fileLengths, least: 250,
			broken: []breach{
				{files{"calc/a/a.go": "package a\n" + strings.Repeat("\n", 499) + "var x int\n"}, "calc/a/a.go: has 501 lines; at most 500 are allowed"},
				{files{"theme/scripts/a.js": strings.Repeat("a();\n", 151)}, "theme/scripts/a.js: has 151 lines; at most 150 are allowed"},
				{files{"theme/styles/a.css": strings.Repeat("a{}\n", 201)}, "theme/styles/a.css: has 201 lines; at most 200 are allowed"},
			},
			kept: files{"theme/scripts/a.js": strings.Repeat("a();\n", 150)},
		},
	}
}

func packageComments(p *project, b *breaches) {
	type place struct{ file, comment string }
	found := map[string][]place{} // by folder
	kind := map[string]string{}   // by folder: what the comment must begin with
	for name := range p.under("", ".go") {
		folder, file := path.Dir(name), p.code[name]
		own := strings.TrimSuffix(file.Name.Name, "_test")
		switch {
		case own == "main":
			kind[folder] = "Command " + path.Base(folder)
		case kind[folder] == "" || !strings.HasSuffix(name, "_test.go"):
			kind[folder] = "Package " + own
		}
		if file.Doc != nil {
			found[folder] = append(found[folder], place{name, file.Doc.Text()})
		}
	}
	for folder, opening := range kind {
		b.seen++
		places := found[folder]
		if len(places) == 0 {
			b.add(folder, 0, "no file says what the package is for; write \"// %s …\" above one package clause", opening)
			continue
		}
		first, _, _ := strings.Cut(places[0].comment, "\n")
		if rest, ok := strings.CutPrefix(first, opening+" "); !ok || len(strings.Fields(rest)) < 3 {
			b.add(places[0].file, p.line(p.code[places[0].file].Doc.Pos()), "the package comment must begin %q and say what it is for", opening)
		}
		for _, second := range places[1:] {
			b.add(second.file, p.line(p.code[second.file].Doc.Pos()), "the package has a comment in %s already", places[0].file)
		}
	}
}

// startsAt finds the one or two names, with or without their type, at which a reader of a package is told to start.
var startsAt = regexp.MustCompile(`\bStart at ([A-Z]\w*)(?:(?:,| and| or) ([A-Z]\w*))?`)

// beginnings looks for them among what the package declares.
func beginnings(p *project, b *breaches) {
	declared := map[string]bool{} // folder and name
	for name, file := range p.code {
		ast.Inspect(file, func(n ast.Node) bool {
			switch n := n.(type) {
			case *ast.FuncDecl:
				declared[path.Dir(name)+" "+n.Name.Name] = true
				return false
			case *ast.TypeSpec:
				declared[path.Dir(name)+" "+n.Name.Name] = true
			}
			return true
		})
	}
	for name, file := range p.code {
		for _, m := range startsAt.FindAllStringSubmatch(strings.ReplaceAll(file.Doc.Text(), "\n", " "), -1) {
			for _, start := range m[1:] {
				if b.seen++; start != "" && !declared[path.Dir(name)+" "+start] {
					b.add(name, p.line(file.Doc.Pos()), "the package comment says to start at %s, which is not there", start)
				}
			}
		}
	}
}

// exportComments asks for a comment on every exported name; in a group one above the group will do. Methods of types
// that are not exported cannot be reached by name and are left out.
func exportComments(p *project, b *breaches) {
	for name, file := range p.program("calc") {
		for _, d := range file.Decls {
			switch d := d.(type) {
			case *ast.FuncDecl:
				p.functionComment(b, name, d)
			case *ast.GenDecl:
				p.groupComment(b, name, d)
			}
		}
	}
}

func (p *project) functionComment(b *breaches, name string, d *ast.FuncDecl) {
	shown := d.Name.Name
	if !ast.IsExported(shown) {
		return
	}
	if d.Recv != nil {
		owner := receiver(d)
		if !ast.IsExported(owner) {
			return
		}
		shown = owner + "." + shown
	}
	b.seen++
	p.comment(b, name, p.line(d.Pos()), shown, d.Name.Name, d.Doc)
}

// receiver is the name of the type that a method belongs to.
func receiver(d *ast.FuncDecl) string {
	t := d.Recv.List[0].Type
	for {
		switch x := t.(type) {
		case *ast.StarExpr:
			t = x.X
		case *ast.IndexExpr:
			t = x.X
		case *ast.Ident:
			return x.Name
		default:
			return ""
		}
	}
}

func (p *project) groupComment(b *breaches, name string, d *ast.GenDecl) {
	for _, s := range d.Specs {
		switch s := s.(type) {
		case *ast.TypeSpec:
			if s.Name.IsExported() {
				b.seen++
				text := s.Doc
				if text == nil {
					text = d.Doc
				}
				p.comment(b, name, p.line(s.Pos()), s.Name.Name, s.Name.Name, text)
			}
		case *ast.ValueSpec:
			for _, id := range s.Names {
				if id.IsExported() {
					b.seen++
					if s.Doc == nil && s.Comment == nil && d.Doc == nil {
						b.add(name, p.line(id.Pos()), "%s has no comment", id.Name)
					}
				}
			}
		}
	}
}

func (p *project) comment(b *breaches, name string, line int, shown, own string, text *ast.CommentGroup) {
	if text == nil {
		b.add(name, line, "%s has no comment", shown)
		return
	}
	words := strings.Fields((&doc.Package{}).Synopsis(text.Text()))
	if len(words) > 0 && slices.Contains([]string{"A", "An", "The"}, words[0]) {
		words = words[1:]
	}
	if len(words) == 0 || strings.TrimRightFunc(words[0], unicode.IsPunct) != own {
		b.add(name, line, "the comment of %s must begin with its name", shown)
	}
}

// function is a declared function and its length, the inner lines of literals left out.
type function struct {
	file, name  string
	line, lines int
}

func (p *project) functions() []function {
	var list []function
	for name, file := range p.program("") {
		for _, d := range file.Decls {
			if f, ok := d.(*ast.FuncDecl); ok {
				first := p.line(f.Pos())
				list = append(list, function{name, f.Name.Name, first, p.line(f.End()) - first + 1 - p.literalLines(f)})
			}
		}
	}
	return list
}

// literalLines counts the lines that lie wholly inside a literal.
func (p *project) literalLines(f *ast.FuncDecl) int {
	count := 0
	ast.Inspect(f, func(n ast.Node) bool {
		if lit, ok := n.(*ast.CompositeLit); ok {
			count += max(0, p.line(lit.Rbrace)-p.line(lit.Lbrace)-1)
			return false
		}
		return true
	})
	return count
}

var testName = regexp.MustCompile(`\bTest[A-Z]\w+…?`)

// namedTests looks for tests by their names in comments; one cut short with … is known by its beginning.
func namedTests(p *project, b *breaches) {
	var tests []string
	for _, file := range p.code {
		for _, d := range file.Decls {
			if f, ok := d.(*ast.FuncDecl); ok {
				tests = append(tests, f.Name.Name)
			}
		}
	}
	for name, file := range p.code {
		for _, group := range file.Comments {
			for _, c := range group.List {
				for _, found := range testName.FindAllStringIndex(c.Text, -1) {
					b.seen++
					test := c.Text[found[0]:found[1]]
					begins, cut := strings.CutSuffix(test, "…")
					if !slices.ContainsFunc(tests, func(known string) bool { return known == test || cut && strings.HasPrefix(known, begins) }) {
						b.add(name, p.line(c.Pos())+strings.Count(c.Text[:found[0]], "\n"), "%s is no test", test)
					}
				}
			}
		}
	}
}

func functionLengths(p *project, b *breaches) {
	for _, f := range p.functions() {
		b.seen++
		if f.lines > 80 {
			b.add(f.file, f.line, "%s has %d lines; at most 80 are allowed", f.name, f.lines)
		}
	}
}

func medianLengths(p *project, b *breaches) {
	var inFunctions, inFiles []int
	for _, f := range p.functions() {
		b.seen++
		inFunctions = append(inFunctions, f.lines)
	}
	for name := range p.program("") {
		inFiles = append(inFiles, p.lines(name))
	}
	for _, c := range []struct {
		what, share string
		lines       []int
		part        float64
		most        int
	}{
		{"functions", "half of them have", inFunctions, 0.5, 10},
		{"functions", "one in ten has", inFunctions, 0.9, 40},
		{"files", "half of them have", inFiles, 0.5, 150},
	} {
		slices.Sort(c.lines)
		if at := int(c.part * float64(len(c.lines))); at < len(c.lines) && c.lines[at] > c.most {
			b.add(c.what, 0, "%s more than %d lines (%d)", c.share, c.most, c.lines[at])
		}
	}
}

func fileLengths(p *project, b *breaches) {
	for _, c := range []struct {
		folder, ending string
		most           int
	}{{"", ".go", 500}, {"theme/scripts", ".js", 150}, {internal, ".js", 150}, {"theme/styles", ".css", 200}} {
		for name := range p.under(c.folder, c.ending) {
			b.seen++
			if n := p.lines(name); n > c.most {
				b.add(name, 0, "has %d lines; at most %d are allowed", n, c.most)
			}
		}
	}
}
