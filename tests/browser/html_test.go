package browser

import (
	"encoding/json"
	"os"
	"os/exec"
	"path/filepath"
	"testing"
)

// Rules that tests/html.json switches off, each with its reason:
//
//   - doctype-style: the standard takes the doctype in any case; the minifier writes it in small letters.
const rules = "../html.json"

// remark is what html-validate says of one page.
type remark struct {
	FilePath   string
	ErrorCount int
	Messages   []struct {
		RuleID, Message, Selector string
		Line, Column              int
	}
}

// validate holds the pages against the standard of HTML. Pages without a fault are not in the list.
func validate(t testing.TB, pages string) []remark {
	t.Helper()
	program, err := filepath.Abs(filepath.Join("..", "..", "theme", "node_modules", ".bin", "html-validate"))
	must(t, err)
	if _, err := os.Stat(program); err != nil {
		t.Fatalf("%v: npm ci --prefix theme brings it", err)
	}
	answer := filepath.Join(t.TempDir(), "answer.json") // into a pipe it writes no more than fits
	out, err := os.Create(answer)
	must(t, err)
	defer out.Close()
	cmd := exec.Command(program, "--config", rules, "--formatter", "json", pages)
	cmd.Stdout = out
	// MiB: it makes much and keeps little, and would collect for a fifth of its time.
	cmd.Env = append(os.Environ(), "NODE_OPTIONS=--max-semi-space-size=64")
	status := cmd.Run() // tells of faults too
	data, err := os.ReadFile(answer)
	must(t, err)
	var list []remark
	if err := json.Unmarshal(data, &list); err != nil {
		t.Fatalf("html-validate: %v, and says %.200q: %v", status, data, err)
	}
	return list
}

func TestEveryPageIsValidHTML(t *testing.T) {
	parallel(t)
	all, err := filepath.Glob(filepath.Join(public, "*", "*", "index.html"))
	if err != nil || len(all) < 40 {
		t.Errorf("only %d pages lie two folders down (%v)", len(all), err)
	}
	for _, page := range validate(t, filepath.Join(public, "**", "*.html")) {
		name, err := filepath.Rel(public, page.FilePath)
		must(t, err)
		for _, m := range page.Messages {
			t.Errorf("%s:%d:%d: %s: %s (%s)", filepath.ToSlash(name), m.Line, m.Column, m.RuleID, m.Message, m.Selector)
		}
	}
}

// The check of the check: a list in a paragraph, and an id that stands twice.
func TestAnInvalidPageIsFound(t *testing.T) {
	parallel(t)
	file := filepath.Join(t.TempDir(), "index.html")
	must(t, os.WriteFile(file, []byte("<!doctype html>\n<html lang=\"en\">\n<head><title>t</title></head>\n<body><span id=\"a\"><p id=\"a\">x</p></span></body>\n</html>\n"), 0o600))
	met := map[string]bool{}
	for _, page := range validate(t, file) {
		for _, m := range page.Messages {
			met[m.RuleID] = true
		}
	}
	for _, rule := range []string{"no-dup-id", "element-permitted-content"} {
		if !met[rule] {
			t.Errorf("%s was not found, only %v", rule, met)
		}
	}
}
