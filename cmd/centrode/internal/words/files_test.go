package words

import (
	"go/ast"
	"go/parser"
	"go/token"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"centrode/cmd/centrode/internal/report"
)

// said are the texts that an expression of the file reader's source can come to, with a sample in the place of what it computes. Of a
// variable it is every text that the file gives to one of that name.
func said(e ast.Expr, given map[string][]string) []string {
	switch e := e.(type) {
	case *ast.BasicLit:
		if text, err := strconv.Unquote(e.Value); err == nil {
			return []string{text}
		}
	case *ast.ParenExpr:
		return said(e.X, given)
	case *ast.Ident:
		if texts := given[e.Name]; len(texts) > 0 {
			return texts
		}
		return []string{"VEC3"}
	case *ast.BinaryExpr:
		var list []string
		for _, x := range said(e.X, given) {
			for _, y := range said(e.Y, given) {
				list = append(list, x+y)
			}
		}
		return list
	case *ast.CallExpr:
		return called(e, given)
	}
	return []string{"7"}
}

func called(e *ast.CallExpr, given map[string][]string) (list []string) {
	name, ok := e.Fun.(*ast.SelectorExpr)
	if id, is := e.Fun.(*ast.Ident); is && id.Name == "numbered" {
		for _, what := range said(e.Args[0], given) {
			list = append(list, "is one of the "+what+", numbered from 0 to 7")
		}
		return list
	}
	if !ok {
		return shortened(said(e.Args[0], given))
	}
	switch name.Sel.Name {
	case "Offer":
		return []string{"", `; nearest: "VEC3"`}
	case "Things":
		for _, one := range said(e.Args[1], given) {
			for _, many := range said(e.Args[2], given) {
				list = append(list, "1 "+one, "7 "+many)
			}
		}
		return list
	case "Quote", "QuoteRune":
		return []string{`"x"`}
	case "form":
		return []string{"VEC3 of component type 5126", "VEC3 of component type 5121, normalised"}
	case "given":
		return append(shortened([]string{`"x y"`}), "nothing", "a list", "an object", "7")
	}
	return []string{"7"}
}

// shortened are texts that somebody else wrote, whole and as they are cut where they are long.
func shortened(texts []string) (list []string) {
	for _, text := range texts {
		if list = append(list, text); strings.HasPrefix(text, `"`) {
			list = append(list, strings.TrimSuffix(text, `"`)+"…")
		}
	}
	return list
}

// refusals are what the reader of files says of a file that it does not take, as its source has it.
func fileRefusals(t *testing.T) (list []string) {
	files, err := filepath.Glob("../../../../calc/gltf/*.go")
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range append(files, "../../../../calc/jsontree/parse.go") {
		if strings.HasSuffix(name, "_test.go") || strings.HasSuffix(name, "change.go") || strings.HasSuffix(name, "add.go") { // these write
			continue
		}
		file, err := parser.ParseFile(token.NewFileSet(), name, nil, 0)
		if err != nil {
			t.Fatal(err)
		}
		given := map[string][]string{"what": {"nodes"}, "problem": {"base64 that ends within a byte", `character 7 of the base64 is '?'`}}
		ast.Inspect(file, func(n ast.Node) bool {
			if a, ok := n.(*ast.AssignStmt); ok && len(a.Lhs) == len(a.Rhs) {
				for i, to := range a.Lhs {
					if id, ok := to.(*ast.Ident); ok && id.Name == "want" && len(said(a.Rhs[i], nil)[0]) > 1 {
						given[id.Name] = append(given[id.Name], said(a.Rhs[i], nil)...)
					}
				}
			}
			return true
		})
		ast.Inspect(file, func(n ast.Node) bool {
			list = append(list, refusedBy(n, given)...)
			return true
		})
	}
	return list
}

// refusedBy are the refusals of one call, or of one error that is made.
func refusedBy(n ast.Node, given map[string][]string) (list []string) {
	var parts []ast.Expr
	switch n := n.(type) {
	case *ast.CallExpr:
		if f, ok := n.Fun.(*ast.SelectorExpr); ok {
			switch f.Sel.Name {
			case "refuse":
				parts = n.Args[1:]
			case "spend":
				for _, what := range said(n.Args[len(n.Args)-1], nil) {
					list = append(list, "a.glb: x[0]: more than 7 "+what+" together; allowed are at most that many")
				}
			case "wrong":
				for _, text := range said(n.Args[1], nil) {
					list = append(list, "a.glb: json: line 7, byte 7: "+text)
				}
			}
		}
	case *ast.CompositeLit:
		if id, ok := n.Type.(*ast.Ident); ok && id.Name == "FormatError" && len(n.Elts) == 3 {
			parts = n.Elts[1:]
		}
	}
	if len(parts) != 2 {
		return list
	}
	for _, held := range said(parts[0], given) {
		if held == "more than 7 nodes together" { // by spend, for those that call it
			continue
		}
		for _, allowed := range said(parts[1], given) {
			if strings.HasPrefix(allowed, "is ") || strings.HasPrefix(allowed, "are ") {
				place := "x[0]"
				if _, whole := n.(*ast.CompositeLit); whole {
					place = "file"
				}
				list = append(list, "a.glb: "+place+": "+held+"; allowed "+allowed)
			}
		}
	}
	return list
}

// unheard are the parts of a text that a list has no words for; a number, a name or a text in quotes needs none.
func unheard(list []heard, text string) (left []string) {
	if !strings.Contains(text, " ") && text != "nothing" {
		return nil
	}
	for _, h := range list {
		values, ok := h.meet(text)
		if !ok {
			continue
		}
		for name, part := range values {
			if strings.HasPrefix(name, partGap) {
				left = append(left, unheard(list, part)...)
			}
		}
		return left
	}
	return []string{text}
}

// TestARefusedFileIsRefusedInTheLanguageOfThePage reads the source of what reads files, since no file of ours is spoilt in all of these ways.
func TestARefusedFileIsRefusedInTheLanguageOfThePage(t *testing.T) {
	german := readHeard(os.DirFS("../../../../theme/words"), "de.room.json", &report.Log{})
	inPage := hearer(t, "scripts/roomsaid.js", "said")
	met := map[string]bool{}
	all := fileRefusals(t)
	for _, text := range all {
		if left := unheard(german, text); len(left) > 0 {
			t.Errorf("%q: %q stays English", text, left)
		}
		meet(german, text, met)
		own, _ := hear(german, text)
		if page := inPage(text); page != own || strings.Contains(strings.ReplaceAll(page, `"\/`, ""), `"`) {
			t.Errorf("%q is %q in a page, want %q, in German quotes", text, page, own)
		}
	}
	if parts := slices.IndexFunc(german, func(h heard) bool { return h.english == `{part}; nearest: "{near}"` }); parts < 0 {
		t.Error("theme/words/de.room.json has nothing of the parts of such a refusal")
	} else {
		allMet(t, german[parts:], met, "theme/words/de.room.json")
	}
	if len(all) < 90 {
		t.Errorf("only %d refusals found in the source", len(all))
	}
}
