package scaffold

import (
	"bytes"
	"errors"
	"fmt"
	"go/ast"
	"go/format"
	"go/parser"
	"go/token"
	"strconv"
	"strings"
)

// ListFile is where every calculator has its line.
const ListFile = "calc/catalog/list/list.go"

// NewCalculator returns the package of a calculator, its page of words, and the list with its line added. list is the
// present content of ListFile.
func NewCalculator(id string, list []byte) ([]File, error) {
	if err := checkSlug("calculator", id); err != nil {
		return nil, err
	}
	name := strings.ReplaceAll(id, "-", "")
	if token.IsKeyword(name) || name == "catalog" || name == "list" {
		return nil, fmt.Errorf("%q: the package would be named %s, which Go or the catalogue uses already; choose another name", id, name)
	}
	longer, err := addToList(list, name)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", ListFile, err)
	}
	files := []File{{Path: ListFile, Content: longer, Replaces: true}}
	data := map[string]any{"ID": id, "Package": name, "Title": titled(id)}
	for form, path := range map[string]string{
		"spec.go.form":   "calc/" + name + "/spec.go",
		"solve.go.form":  "calc/" + name + "/solve.go",
		"figure.go.form": "calc/" + name + "/figure.go",
		"test.go.form":   "calc/" + name + "/solve_test.go",
		"plate.md":       "content/plates/" + id + ".md",
	} {
		f, err := render(form, path, data)
		if err != nil {
			return nil, err
		}
		files = append(files, f)
	}
	return files, nil
}

// addToList adds the import and the entry of a calculator's package to the source of the list.
func addToList(source []byte, name string) ([]byte, error) {
	set := token.NewFileSet()
	file, err := parser.ParseFile(set, "", source, parser.ParseComments)
	if err != nil {
		return nil, err
	}
	address := "centrode/calc/" + name
	if len(file.Imports) == 0 {
		return nil, errors.New("has no imports to add to")
	}
	for _, imp := range file.Imports {
		if imp.Path.Value == strconv.Quote(address) {
			return nil, fmt.Errorf("already imports %s", address)
		}
	}
	entries := entriesOf(file)
	if entries == nil {
		return nil, errors.New("its function All must return one list literal; add the calculator to it by hand")
	}
	offset := func(p token.Pos) int { return set.Position(p).Offset }
	var b bytes.Buffer
	b.Write(source[:offset(file.Imports[0].Pos())])
	fmt.Fprintf(&b, "%q\n\t", address) // the formatter sorts it into its place
	b.Write(source[offset(file.Imports[0].Pos()):offset(entries.Rbrace)])
	fmt.Fprintf(&b, "\t%s.Calculator{},\n\t", name)
	b.Write(source[offset(entries.Rbrace):])
	return format.Source(b.Bytes())
}

// entriesOf finds the list literal that the function All returns.
func entriesOf(file *ast.File) *ast.CompositeLit {
	for _, d := range file.Decls {
		f, ok := d.(*ast.FuncDecl)
		if !ok || f.Name.Name != "All" || f.Body == nil || len(f.Body.List) != 1 {
			continue
		}
		if r, ok := f.Body.List[0].(*ast.ReturnStmt); ok && len(r.Results) == 1 {
			if entries, ok := r.Results[0].(*ast.CompositeLit); ok {
				return entries
			}
		}
	}
	return nil
}
