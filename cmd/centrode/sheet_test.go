package main

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

const sheetFile = `{"format":"centrode-sheet-1","title":"Elbow <b>lower</b>","character":"Odalys","reviewer":"First","entries":[
{"joint":"elbow","calculator":"hinge-arc","current":"","candidate":"candidate_y=-2","numbers":[{"id":"tip_shift","candidate":1}]}]}`

// sheetFiles writes a sheet and a second opinion of it.
func sheetFiles(t *testing.T) (first, second string) {
	t.Helper()
	dir := t.TempDir()
	first, second = filepath.Join(dir, "a.json"), filepath.Join(dir, "b.json")
	for name, text := range map[string]string{first: sheetFile, second: strings.ReplaceAll(strings.ReplaceAll(sheetFile, "First", "Second"), "y=-2", "y=-1")} {
		if err := os.WriteFile(name, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	return first, second
}

func sheetRun(args ...string) (stdout, stderr string, status int) {
	var out, complaints strings.Builder
	status = run(append([]string{"sheet"}, args...), strings.NewReader(sheetFile), &out, &complaints)
	return out.String(), complaints.String(), status
}

func TestASheetBecomesAPageThatStandsAlone(t *testing.T) {
	first, second := sheetFiles(t)
	for _, format := range []string{"html", "svg"} {
		one, _, status := sheetRun(first, "-format", format)
		if status != 0 || strings.Contains(one, "<script") || strings.Contains(one, "<b>") || !strings.Contains(one, "&lt;b&gt;lower") {
			t.Errorf("%s, status %d: %.200s", format, status, one)
		}
		for _, want := range []string{"elbow", "Odalys", "First", "Candidate", "<path", "<style>", "−2.0", "For drawn and animated characters."} {
			if !strings.Contains(one, want) {
				t.Errorf("%s: %q is not on the page", format, want)
			}
		}
		for _, outside := range []string{"src=", "@import", "url(http", `href="http`} {
			if strings.Contains(one, outside) {
				t.Errorf("%s asks for something outside: %s", format, outside)
			}
		}
		piped, _, _ := sheetRun("-", "-format", format)
		if piped != one {
			t.Errorf("%s: from standard input it is another page", format)
		}
		marked := filepath.Join(t.TempDir(), "marked.json") // as some editors save a text
		if err := os.WriteFile(marked, []byte("\ufeff"+sheetFile), 0o644); err != nil {
			t.Fatal(err)
		}
		if page, complaint, _ := sheetRun(marked, "-format", format); page != one {
			t.Errorf("%s: behind a byte order mark it is another page: %s", format, complaint)
		}
		out := filepath.Join(t.TempDir(), "page")
		if _, complaint, status := sheetRun(first, second, "-format", format, "-out", out); status != 0 {
			t.Fatal(complaint)
		}
		both, err := os.ReadFile(out)
		if err != nil || strings.Count(string(both), "≠ ") < 6 || !strings.Contains(string(both), "Second") {
			t.Errorf("%s of both: %v, %d marks", format, err, strings.Count(string(both), "≠ "))
		}
	}
}

func TestAFileNamedLikeAFlagIsAFile(t *testing.T) {
	t.Chdir(t.TempDir())
	for _, name := range []string{"-format", "--out=x"} {
		if err := os.WriteFile(name, []byte(sheetFile), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, _, _ := sheetRun("-format", "svg", "./-format", "./--out=x")
	for _, args := range [][]string{{"-format", "svg", "--", "-format", "--out=x"}, {"-format", "svg", "./-format", "--", "--out=x"}} {
		if out, complaint, status := sheetRun(args...); status != 0 || out != want || !strings.Contains(out, "</svg>") {
			t.Errorf("%q: status %d, %s", args, status, complaint)
		}
	}
	if _, complaint, status := sheetRun("-format"); status != 2 {
		t.Errorf("a flag without --: status %d, %s", status, complaint)
	}
}

func TestASheetIsRefusedInOneLine(t *testing.T) {
	first, second := sheetFiles(t)
	protected := filepath.Join(t.TempDir(), "kept.html")
	if err := os.WriteFile(protected, []byte("kept"), 0o444); err != nil {
		t.Fatal(err)
	}
	before, _ := os.ReadFile(first)
	broken := filepath.Join(t.TempDir(), "broken.json")
	if err := os.WriteFile(broken, []byte(strings.Replace(sheetFile, "y=-2", "y=2kg", 1)), 0o644); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		args   []string
		status int
		want   string
	}{
		{nil, 2, "name one sheet, or two to compare; centrode sheet -h tells more\n"},
		{[]string{first, "-format", "pdf"}, 2, `-format "pdf": must be html or svg`},
		{[]string{first, first, first}, 2, "name one sheet"},
		{[]string{"-", "-"}, 2, "standard input can be read once; name a file for the other sheet"},
		{[]string{first, "-out", filepath.Join(t.TempDir(), strings.Repeat("x", 300)+".html")}, 1, ".html: the page cannot be written: file name too long\n"},
		{[]string{broken}, 1, "broken.json: entries[1].candidate: candidate_y: "},
		{[]string{broken + ".txt"}, 1, "cannot be read"},
		{[]string{filepath.Dir(broken)}, 1, ": is a folder; name the JSON file of a sheet\n"},
		{[]string{first, "-out", t.TempDir()}, 1, "is no plain file"},
		{[]string{first, "-out", filepath.Join(filepath.Dir(first), ".", filepath.Base(first))}, 1, "is the file that was read, and would be lost; name another for the page"},
		{[]string{second, first, "-out", first}, 1, "is the file that was read"},
		{[]string{first, "-out", protected}, 1, "is protected against writing"},
	} {
		out, complaint, status := sheetRun(c.args...)
		if status != c.status || out != "" || !strings.Contains(complaint, c.want) || strings.Count(complaint, "\n") > 3 {
			t.Errorf("%q: status %d, %q, want %d, %q", c.args, status, complaint, c.status, c.want)
		}
	}
	if after, err := os.ReadFile(first); err != nil || !bytes.Equal(after, before) {
		t.Errorf("the sheet that was read is now %.40q, %v", after, err)
	}
	if kept, _ := os.ReadFile(protected); string(kept) != "kept" {
		t.Errorf("a protected file is now %.40q", kept)
	}
}

func TestASheetThatCannotBeReadIsNamedOnce(t *testing.T) {
	dir := t.TempDir()
	if err := os.WriteFile(filepath.Join(dir, "empty.json"), nil, 0o644); err != nil {
		t.Fatal(err)
	}
	for _, name := range []string{"missing.json", "empty.json"} {
		if _, errOut, status := command(t, dir, "sheet", name); status != 1 || !strings.HasPrefix(errOut, name+": ") || strings.Count(errOut, name) != 1 {
			t.Errorf("sheet %s = %d, %q; want its name once, in front", name, status, errOut)
		}
	}
}
