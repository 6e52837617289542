package tests

import (
	"bytes"
	"flag"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

var update = flag.Bool("update", false, "write the list of packages in DEVELOPERS.md and the drawing of README.md again")

// rewrite writes a file that a document holds or shows, and says so.
func rewrite(t *testing.T, name string, text []byte) {
	t.Helper()
	file := filepath.Join("..", filepath.FromSlash(name))
	if old, err := os.ReadFile(file); err == nil && bytes.Equal(old, text) {
		return
	}
	if err := os.WriteFile(file, text, 0o644); err != nil {
		t.Fatal(err)
	}
	fmt.Println(name + ": is written again")
}

// The law of the graph compares; this writes the list of packages when asked.
func TestTheGraphIsWrittenWhenAsked(t *testing.T) {
	if !*update {
		t.Skip("runs with -update")
	}
	p := openProject(t, os.DirFS(".."))
	text := p.text["DEVELOPERS.md"]
	m := graphPlace.FindStringSubmatchIndex(text)
	if m == nil {
		t.Fatal("DEVELOPERS.md holds no list of packages; put one after <!-- graph -->")
	}
	rewrite(t, "DEVELOPERS.md", []byte(text[:m[2]]+strings.Join(p.graph(), "\n")+"\n"+text[m[3]:]))
}

// runCommand is how the documents call the command.
const runCommand = "go run ./cmd/centrode"

// example is a command of a document and what it is shown to print.
type example struct {
	line   int
	script string
	output string
}

var consoles = regexp.MustCompile("(?s)```console\n(.*?)```\n")

// examples reads the console blocks: a line that begins with "$ " is typed, with the lines of its here-document.
func examples(text string) []example {
	var list []example
	for _, m := range consoles.FindAllStringSubmatchIndex(text, -1) {
		here := ""
		for i, line := range strings.SplitAfter(text[m[2]:m[3]], "\n") {
			typed, isTyped := strings.CutPrefix(line, "$ ")
			switch {
			case isTyped:
				list = append(list, example{line: lineOf(text, m[2]) + i, script: typed})
				if _, end, ok := strings.Cut(typed, "<< "); ok {
					here = end
				}
			case here != "":
				list[len(list)-1].script += line
				if line == here {
					here = ""
				}
			case len(list) > 0:
				list[len(list)-1].output += line
			}
		}
	}
	return list
}

// onPath makes the command and puts it on the path of the test.
func onPath(t *testing.T) {
	t.Helper()
	dir := t.TempDir()
	build := exec.Command("go", "build", "-o", dir, "./cmd/centrode")
	build.Dir = ".."
	if out, err := build.CombinedOutput(); err != nil {
		t.Fatalf("go build: %v\n%s", err, out)
	}
	t.Setenv("PATH", dir+string(os.PathListSeparator)+os.Getenv("PATH"))
}

// typedIn types the examples of a document in one folder, one after the other, and holds what they print against what it shows.
func typedIn(t *testing.T, name string, list []example, dir string) {
	t.Helper()
	shell, err := exec.LookPath("bash")
	if err != nil {
		t.Skip("the examples need bash")
	}
	for _, e := range list {
		cmd := exec.Command(shell, "-c", strings.ReplaceAll(e.script, runCommand, "centrode"))
		cmd.Dir = dir
		out, err := cmd.Output()
		if err != nil || string(out) != e.output {
			t.Errorf("%s:%d: %s prints (%v)\n%s\nit shows\n%s", name, e.line, e.script, err, out, e.output)
		}
	}
}

// What README.md shows is typed as it stands there; a figure that an example draws must be the one that README.md shows.
func TestTheExamplesOfTheREADMEPrintWhatItShows(t *testing.T) {
	text, err := os.ReadFile("../README.md")
	if err != nil {
		t.Fatal(err)
	}
	list, dir := examples(string(text)), t.TempDir()
	if len(list) < 3 {
		t.Fatalf("README.md holds %d examples, want at least 3", len(list))
	}
	onPath(t)
	typedIn(t, "README.md", list, dir)
	drawn, err := filepath.Glob(filepath.Join(dir, "*.svg"))
	if err != nil || len(drawn) != 1 {
		t.Fatalf("the examples draw %d figures, %v; want the one that README.md shows", len(drawn), err)
	}
	sameFigure(t, "theme/"+filepath.Base(drawn[0]), drawn[0], string(text))
}

// unproved is a command that stands in a lesson without what it prints.
var unproved = regexp.MustCompile(`(?m)^centrode .*`)

// A lesson shows a command with what it prints, each lesson in a folder of its own.
func TestTheCommandsOfTheLessonsPrintWhatTheyShow(t *testing.T) {
	onPath(t)
	p, typed := openProject(t, os.DirFS("..")), 0
	for name := range p.under("content", ".md") {
		text := p.text[name]
		if alone := unproved.FindString(text); alone != "" {
			t.Errorf("%s: %s stands in no console block with what it prints", name, alone)
		}
		list := examples(text)
		typed += len(list)
		typedIn(t, name, list, t.TempDir())
	}
	if typed < 20 {
		t.Errorf("the lessons show %d commands, want at least 20", typed)
	}
}

func sameFigure(t *testing.T, shown, drawn, readme string) {
	t.Helper()
	if !strings.Contains(readme, "]("+shown+")") {
		t.Errorf("README.md does not show %s", shown)
	}
	want, err := os.ReadFile(drawn)
	if err != nil {
		t.Fatal(err)
	}
	if *update {
		rewrite(t, shown, want)
	}
	got, err := os.ReadFile(filepath.Join("..", filepath.FromSlash(shown)))
	if err != nil || !bytes.Equal(got, want) {
		t.Errorf("%s is not what its command draws (%v); run go test ./tests -update", shown, err)
	}
}

var shBlock = regexp.MustCompile("(?s)```sh\n(.*?)```")

// The two commands of a fresh machine are the first thing to type, and both are there.
func TestTwoCommandsSetUpAFreshMachine(t *testing.T) {
	text, err := os.ReadFile("../README.md")
	if err != nil {
		t.Fatal(err)
	}
	var typed []string
	if m := shBlock.FindSubmatch(text); m != nil {
		for line := range strings.Lines(string(m[1])) {
			command, _, _ := strings.Cut(line, "#")
			typed = append(typed, strings.TrimSpace(command))
		}
	}
	if strings.Join(typed, "\n") != runCommand+" serve\nbash tests/run.sh" {
		t.Errorf("the first block of README.md holds %q", typed)
	}
	for _, name := range []string{"tests/run.sh", "cmd/centrode/serve.go", ".ci/run"} {
		if _, err := os.Stat(filepath.Join("..", filepath.FromSlash(name))); err != nil {
			t.Error(err)
		}
	}
	if ci, err := os.ReadFile("../.ci/run"); err != nil || !strings.Contains(string(ci), "tests/run.sh") {
		t.Errorf(".ci/run does not call the test command of README.md: %v", err)
	}
}
