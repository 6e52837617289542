package tests

import (
	"go/ast"
	"go/importer"
	"go/token"
	"go/types"
	"path"
	"slices"
	"strings"
	"sync"
	"testing/fstest"
)

func mapFS(list files) fstest.MapFS {
	tree := fstest.MapFS{}
	for name, text := range list {
		tree[name] = &fstest.MapFile{Data: []byte(text)}
	}
	return tree
}

// The laws of the rooms: who may import what, who touches the disk, what calc must not do.
func roomLaws() []law {
	return []law{
		{
			name: "calc imports nothing of ours outside calc", find: calcImports, least: 100,
			broken: []breach{{files{"calc/a/a.go": "package a\n\nimport _ \"centrode/cmd/x\"\n"},
				"calc/a/a.go:3: imports centrode/cmd/x; calc may import only calc"}},
			kept: files{"calc/a/a.go": "package a\n\nimport _ \"centrode/calc/b\"\n", "calc/a/a_test.go": "package a\n\nimport _ \"centrode/cmd/x\"\n"},
		},
		{
			name: "calc knows no files, clock, log, chance or formatting", find: calcMachine, least: 100,
			broken: []breach{
				{files{"calc/a/a.go": "package a\n\nimport \"fmt\"\nimport \"os/exec\"\n"}, "calc/a/a.go:3: imports fmt, which calc must do without\ncalc/a/a.go:4: imports os/exec, which calc must do without"},
				{files{"calc/a/a.go": "package a\n\nimport \"encoding/json\"\n"}, "calc/a/a.go:3: imports encoding/json, which calc must do without"},
			},
			kept: files{"calc/a/a.go": "package a\n\nimport \"strconv\"\n", "calc/a/a_test.go": "package a\n\nimport \"fmt\"\n"},
		},
		{
			name: "nobody outside calc imports one calculator", find: calculatorImports, least: 500,
			broken: []breach{{files{"calc/a/a.go": calculatorStub, "cmd/x/x.go": "package x\n\nimport _ \"centrode/calc/a\"\n"},
				"cmd/x/x.go:3: imports the calculator centrode/calc/a; go through centrode/calc/catalog/list"}},
			kept: files{"calc/a/a.go": calculatorStub, "calc/b/b.go": "package b\n\nimport _ \"centrode/calc/a\"\n"},
		},
		{
			name: "only site and preview order the work", find: oneWay, least: 60,
			broken: []breach{{files{"cmd/centrode/internal/page/a.go": "package page\n\nimport _ \"centrode/cmd/centrode/internal/site\"\n"},
				"cmd/centrode/internal/page/a.go:3: imports site; the work flows the other way"}},
		},
		{
			name: "only site, preview, asset and the verbs touch the disk", find: diskImports, least: 60,
			broken: []breach{{files{"cmd/centrode/internal/book/a.go": "package book\n\nimport \"os\"\n"},
				"cmd/centrode/internal/book/a.go:3: imports os; take an fs.FS and return values"}},
			kept: files{"cmd/centrode/internal/site/a.go": "package site\n\nimport \"os\"\n", "cmd/centrode/main.go": "package main\n\nimport \"os\"\n"},
		},
		{
			name: "no package variable of calc is ever written or handed out", find: writtenVariables, least: 8,
			broken: []breach{
				{files{"calc/a/a.go": "package a\n\nvar n int\n\nfunc f() { n++ }\n"}, "calc/a/a.go:5: writes the package variable n"},
				{files{"calc/a/a.go": "package a\n\nvar n = []int{1}\n\nfunc f() { n[0] = 2 }\n"}, "calc/a/a.go:5: writes the package variable n"},
				{files{"calc/a/a.go": "package a\n\nvar n [2]int\n\nfunc f() *int { return &n[1] }\n"}, "calc/a/a.go:5: hands out the package variable n, so that others could write it"},
				{files{"calc/a/a.go": "package a\n\nvar n = map[int]int{}\n\nfunc f() { delete(n, 1) }\n"}, "calc/a/a.go:5: hands out the package variable n, so that others could write it"},
				{files{"calc/a/a.go": "package a\n\nvar n = []int{1}\n\nfunc f() []int { return n }\n"}, "calc/a/a.go:5: hands out the package variable n, so that others could write it"},
				{files{"calc/a/a.go": "package a\n\nvar n int\n\nfunc f() { for n = range 3 {} }\n"}, "calc/a/a.go:5: writes the package variable n"},
				{files{"calc/a/a.go": "package a\n\nimport \"strings\"\n\nvar b strings.Builder\n\nfunc f() { b.WriteByte('x') }\n"}, "calc/a/a.go:7: hands out the package variable b, so that others could write it"},
				{files{"calc/b/b.go": "package b\n\nvar N int\n", "calc/a/a.go": "package a\n\nimport \"centrode/calc/b\"\n\nfunc f() { b.N = 1 }\n"}, "calc/a/a.go:5: writes the package variable N"},
				{files{"calc/catalog/c.go": "package catalog\n\ntype Spec struct{ Fields []int }\n", "calc/a/a.go": "package a\n\nimport \"centrode/calc/catalog\"\n\nvar spec catalog.Spec\n\nfunc f() catalog.Spec { spec.Fields[0] = 1; return spec }\n"}, "calc/a/a.go:7: writes the package variable spec"},
			},
			kept: files{"calc/catalog/c.go": "package catalog\n\ntype Spec struct{ Fields []int }\n", "calc/b/b.go": "package b\n\nimport \"centrode/calc/catalog\"\n\nvar spec catalog.Spec\n\nfunc f() catalog.Spec { return spec }\n",
				"calc/a/a.go": "package a\n\nimport \"strings\"\n\nvar n = []struct{ s string }{{\"x\"}}\nvar r = strings.NewReplacer(\"a\", \"b\")\nvar m = [3]int{}\n\n" +
					"func f(i int) (string, int) {\n\tfor _, x := range n {\n\t\t_ = x\n\t}\n\tn := n[i].s\n\tn = \"mine\"\n\treturn r.Replace(n), len(m) + m[i]\n}\n"},
		},
		{
			name: "calc calls nothing of math whose bits differ between machines", find: unsteadyMaths, least: 50,
			broken: []breach{{files{"calc/a/a.go": "package a\n\nimport \"math\"\n\nvar x = math.Hypot(1, 1)\n"},
				"calc/a/a.go:5: math.Hypot gives other bits in a page than at the command line; write it out"}},
			kept: files{"calc/a/a.go": "package a\n\nimport \"math\"\n\nvar x = math.Sqrt(2)\n"},
		},
		{
			name: "the bridges are short and compute nothing", find: thinBridge, least: 3,
			broken: []breach{
				{files{"wasm/main.go": "package main\n\nfunc f(a float64) float64 { return a * 2 }\n"}, "wasm/main.go:3: computes with *; that belongs into calc"},
				{files{"wasm/main.go": "package main\n\nimport \"math\"\n"}, "wasm/main.go:3: imports math; the bridge may import only calc, wasm/door, errors, runtime and syscall/js"},
				{files{"wasm/main.go": "package main\n" + strings.Repeat("\n", 149) + "var x int\n"}, "wasm/main.go: holds 151 lines; at most 150 are allowed"},
				{files{"wasm/room/main.go": "package main\n\nfunc f(a float64) float64 { return a * 2 }\n"}, "wasm/room/main.go:3: computes with *; that belongs into calc"},
			},
		},
	}
}

const calculatorStub = "package a\n\ntype Calculator struct{}\n"

func calcImports(p *project, b *breaches) {
	for name, file := range p.program("calc") {
		for imported, line := range p.imports(file) {
			b.seen++
			if strings.HasPrefix(imported, "centrode/") && !strings.HasPrefix(imported, "centrode/calc/") {
				b.add(name, line, "imports %s; calc may import only calc", imported)
			}
		}
	}
}

func calcMachine(p *project, b *breaches) {
	for name, file := range p.program("calc") {
		for imported, line := range p.imports(file) {
			b.seen++
			first, rest, _ := strings.Cut(imported, "/")
			switch first {
			case "fmt", "os", "time", "log", "reflect", "net", "syscall", "unsafe", "runtime":
			case "encoding":
				if rest != "json" {
					continue
				}
			case "math":
				if !strings.HasPrefix(rest, "rand") {
					continue
				}
			default:
				continue
			}
			b.add(name, line, "imports %s, which calc must do without", imported)
		}
	}
}

// calculators are the packages of calc that declare a type Calculator which is no interface.
func (p *project) calculators() []string {
	var list []string
	for name, file := range p.program("calc") {
		for _, d := range file.Decls {
			decl, ok := d.(*ast.GenDecl)
			if !ok {
				continue
			}
			for _, s := range decl.Specs {
				if spec, ok := s.(*ast.TypeSpec); ok && spec.Name.Name == "Calculator" {
					if _, abstract := spec.Type.(*ast.InterfaceType); !abstract {
						list = append(list, "centrode/"+path.Dir(name))
					}
				}
			}
		}
	}
	return list
}

func calculatorImports(p *project, b *breaches) {
	calculators := p.calculators()
	for name, file := range p.program("") {
		for imported, line := range p.imports(file) {
			b.seen++
			if slices.Contains(calculators, imported) && !strings.HasPrefix(name, "calc/") {
				b.add(name, line, "imports the calculator %s; go through centrode/calc/catalog/list", imported)
			}
		}
	}
}

const internal = "cmd/centrode/internal"

func oneWay(p *project, b *breaches) {
	for name, file := range p.program(internal) {
		b.seen++
		for imported, line := range p.imports(file) {
			switch imported {
			case "centrode/" + internal + "/site", "centrode/" + internal + "/preview":
				b.add(name, line, "imports %s; the work flows the other way", path.Base(imported))
			}
		}
	}
}

func diskImports(p *project, b *breaches) {
	for name, file := range p.program(internal) {
		b.seen++
		switch path.Base(path.Dir(name)) {
		case "site", "preview", "asset":
			continue
		}
		for imported, line := range p.imports(file) {
			switch imported {
			case "os", "os/exec", "io/ioutil", "syscall", "net", "net/http", "path/filepath":
				b.add(name, line, "imports %s; take an fs.FS and return values", imported)
			}
		}
	}
}

// unsteady are the functions of math that some machine we run on computes with instructions of its own, and those
// built on them; see the files *_asm.go of the standard library.
var unsteady = []string{"Hypot", "Exp", "Exp2", "Expm1", "Log", "Log2", "Log10", "Log1p", "Pow", "Sinh", "Cosh", "Tanh"}

func unsteadyMaths(p *project, b *breaches) {
	for name, file := range p.program("calc") {
		b.seen++
		ast.Inspect(file, func(n ast.Node) bool {
			s, ok := n.(*ast.SelectorExpr)
			if !ok {
				return true
			}
			if x, ok := s.X.(*ast.Ident); ok && x.Name == "math" && slices.Contains(unsteady, s.Sel.Name) {
				b.add(name, p.line(s.Pos()), "math.%s gives other bits in a page than at the command line; write it out", s.Sel.Name)
			}
			return true
		})
	}
}

func thinBridge(p *project, b *breaches) {
	for name, file := range p.program("wasm") {
		b.seen++
		if n := p.lines(name); n > 150 {
			b.add(name, 0, "holds %d lines; at most 150 are allowed", n)
		}
		for imported, line := range p.imports(file) {
			if !slices.Contains([]string{"errors", "runtime", "syscall/js", "centrode/wasm/door"}, imported) && !strings.HasPrefix(imported, "centrode/calc/") {
				b.add(name, line, "imports %s; the bridge may import only calc, wasm/door, errors, runtime and syscall/js", imported)
			}
		}
		ast.Inspect(file, func(n ast.Node) bool {
			if x, ok := n.(*ast.BinaryExpr); ok && slices.Contains([]token.Token{token.ADD, token.SUB, token.MUL, token.QUO, token.REM}, x.Op) {
				b.add(name, p.line(x.Pos()), "computes with %s; that belongs into calc", x.Op)
			}
			return true
		})
	}
}

// checker type-checks the project's own packages from its files, and the standard library from its compiled form.
type checker struct {
	p        *project
	packages map[string]*types.Package
	info     types.Info
}

// standard is shared: asking the go command for a package of the standard library takes a while.
var standard = sync.OnceValue(importer.Default)

func newChecker(p *project) *checker {
	return &checker{p: p, packages: map[string]*types.Package{}, info: types.Info{
		Uses: map[*ast.Ident]types.Object{}, Types: map[ast.Expr]types.TypeAndValue{}, Selections: map[*ast.SelectorExpr]*types.Selection{}}}
}

// Import implements types.Importer.
func (c *checker) Import(name string) (*types.Package, error) {
	folder, ours := strings.CutPrefix(name, "centrode/")
	if !ours {
		return standard().Import(name)
	}
	if done, ok := c.packages[name]; ok {
		return done, nil
	}
	var list []*ast.File
	for file, syntax := range c.p.program(folder) {
		if path.Dir(file) == folder {
			list = append(list, syntax)
		}
	}
	config := types.Config{Importer: c}
	done, err := config.Check(name, c.p.set, list, &c.info)
	c.packages[name] = done
	return done, err
}

// writtenVariables refuses every use of a package variable that is not plainly a reading: what is assigned, whose
// address is taken, or what would let somebody else write through it, such as a slice passed on whole.
func writtenVariables(p *project, b *breaches) {
	c := newChecker(p)
	for name := range p.program("calc") {
		if _, err := c.Import("centrode/" + path.Dir(name)); err != nil {
			b.add(name, 0, "cannot be checked: %v", err)
		}
	}
	for name, file := range p.program("calc") {
		var above []ast.Node
		ast.Inspect(file, func(n ast.Node) bool {
			if n == nil {
				above = above[:len(above)-1]
				return true
			}
			if id, ok := n.(*ast.Ident); ok {
				if v, ok := c.info.Uses[id].(*types.Var); ok && v.Pkg() != nil && v.Parent() == v.Pkg().Scope() {
					b.seen++
					if verb := c.misuse(id, above); verb != "" {
						b.add(name, p.line(id.Pos()), "%s", strings.Replace(verb, "@", v.Name(), 1))
					}
				}
			}
			above = append(above, n)
			return true
		})
	}
}

// misuse says what a use of a package variable does wrong, with @ for its name, or "".
func (c *checker) misuse(id *ast.Ident, above []ast.Node) string {
	expr := ast.Expr(id)
	last := len(above) - 1
	for ; last >= 0; last-- { // climb to the largest expression that is the variable or a part of it
		switch n := above[last].(type) {
		case *ast.SelectorExpr:
			if s, ok := c.info.Selections[n]; ok && s.Kind() != types.FieldVal {
				return c.method(s)
			}
			expr = n
			continue
		case *ast.IndexExpr:
			if n.X == expr {
				expr = n
				continue
			}
		case *ast.ParenExpr:
			expr = n
			continue
		}
		break
	}
	const writes, handsOut = "writes the package variable @", "hands out the package variable @, so that others could write it"
	switch n := above[last].(type) {
	case *ast.AssignStmt:
		if slices.Contains(n.Lhs, expr) {
			return writes
		}
	case *ast.IncDecStmt:
		return writes
	case *ast.RangeStmt:
		if n.X == expr {
			return ""
		}
		return writes
	case *ast.UnaryExpr:
		if n.Op == token.AND {
			return handsOut
		}
	case *ast.SliceExpr:
		if n.X == expr {
			return handsOut
		}
	case *ast.CallExpr:
		if f, ok := n.Fun.(*ast.Ident); ok && (f.Name == "len" || f.Name == "cap") {
			return ""
		}
	}
	if shares(c.info.TypeOf(expr)) {
		return handsOut
	}
	return ""
}

// method allows a method that gets a copy, and one of a pointer to a type of the standard library that keeps its fields
// to itself and is made to be shared, such as *strings.Replacer.
func (c *checker) method(s *types.Selection) string {
	f := s.Obj().(*types.Func)
	if _, pointer := f.Signature().Recv().Type().(*types.Pointer); !pointer {
		return ""
	}
	if f.FullName() == "(*strings.Replacer).Replace" {
		return ""
	}
	return "hands out the package variable @, so that others could write it"
}

// shares reports whether a copy of a value of the type still leads to the same memory. A catalog.Spec is shared on purpose; that nobody
// writes into one is held where the calculators and the whole site are run, by specs.Unwritten.
func shares(t types.Type) bool {
	if named, ok := t.(*types.Named); ok && named.Obj().Name() == "Spec" && strings.HasSuffix(named.Obj().Pkg().Path(), "calc/catalog") {
		return false
	}
	switch t := t.Underlying().(type) {
	case *types.Slice, *types.Map, *types.Pointer, *types.Chan, *types.Interface:
		return true
	case *types.Array:
		return shares(t.Elem())
	case *types.Struct:
		for field := range t.Fields() {
			if shares(field.Type()) {
				return true
			}
		}
	}
	return false
}
