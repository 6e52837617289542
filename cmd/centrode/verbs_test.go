package main

import (
	"bytes"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"unicode/utf8"

	"centrode/tests/copied"
)

// command runs the command line in the folder and returns what it printed and its status.
func command(t *testing.T, dir string, args ...string) (stdout, stderr string, status int) {
	t.Helper()
	t.Chdir(dir)
	var out, errOut bytes.Buffer
	status = run(args, strings.NewReader(""), &out, &errOut)
	return out.String(), errOut.String(), status
}

// handbook copies of this project what the verbs need; the content is one home page, its sources and its terms.
func handbook(t *testing.T) string {
	t.Helper()
	repository, err := filepath.Abs(filepath.Join("..", ".."))
	if err != nil {
		t.Fatal(err)
	}
	dir := filepath.Join(t.TempDir(), "handbook")
	copied.Parts(t, repository, dir, "go.mod", "go.sum", "theme", "calc", "wasm", "cmd", "tests/hard/bound", "tests/specs", "content/cast.go", "content/cast", "content/sources.json", "content/glossary.yaml")
	home := "---\ntitle: A small book\nsummary: Nothing yet.\n---\n\nWords.\n"
	if err := os.WriteFile(filepath.Join(dir, "content", "home.md"), []byte(home), 0o644); err != nil {
		t.Fatal(err)
	}
	copied.Results(t, repository, dir)
	return dir
}

func TestTheCommandLineIsExplainedAndItsMistakesAreNamed(t *testing.T) {
	elsewhere := t.TempDir()
	for _, c := range []struct {
		line   string
		status int
		out    string // standard output holds
		err    string // standard error holds
	}{
		{"", 2, "", "centrode VERB [flags]"},
		{"-h", 0, "show the site on this machine", ""},
		{"help build", 0, "-out FOLDER", ""},
		{"build -h", 0, "examples:", ""},
		{"serve --help", 0, "examples:", ""},
		{"check -h", 0, "examples:", ""},
		{"new -h", 0, "examples:", ""},
		{"calc -h", 0, "examples:", ""},
		{"sheet -h", 0, "examples:", ""},
		{"rig -h", 0, "examples:", ""},
		{"rig show -h", 0, "examples:", ""},
		{"rig fit -h", 0, "examples:", ""},
		{"rig move -h", 0, "examples:", ""},
		{"help rig show", 0, "centrode rig show ", ""},
		{"help biuld", 2, "", `"biuld" is no verb of centrode; nearest: "build"; centrode -h lists them`},
		{"biuld", 2, "", `"biuld" is no verb of centrode; nearest: "build"; centrode -h lists them`},
		{"build -uot x", 2, "", `-uot is no flag of build; nearest: "out"; centrode build -h tells more`},
		{"build -out=", 2, "", `-out "": is empty; give it a value, or leave it out; centrode build -h tells more`},
		{"calc hinge-arc -in=", 2, "", `-in "": is empty; give it a value, or leave it out`},
		{`rig show ""`, 2, "", `"": is empty; give it a value, or leave it out; centrode rig show -h tells more`},
		{`sheet "" -format svg`, 2, "", `"": is empty; give it a value, or leave it out; centrode sheet -h tells more`},
		{"calc hinge-arc -format= -- tip_x=1", 2, "", `-format "": is empty`},
		{"new lesso the-long-neck", 2, "", `"lesso": can begin a lesson, a calculator or a character; nearest: "lesson"`},
		{"BUILD", 2, "", `"BUILD" is no verb of centrode; nearest: "build"`},
		{"build here", 2, "", `"here": build takes no arguments besides its flags`},
		{"serve -addr", 2, "", "-addr stands alone; a value must follow it"},
		{"serve -built public -overlay ../our-studio", 2, "", "-overlay: is laid over the content and not over a built site; give it to centrode build, or leave out -built; centrode serve -h tells more"},
		{"check everything", 2, "", "check takes no arguments"},
		{"new lesson", 2, "", "as in: centrode new lesson the-long-neck"},
		{"build", 1, "", "lies in no folder of the handbook"},
		{"check", 1, "", "lies in no folder of the handbook"},
		{"serve", 1, "", "lies in no folder of the handbook"},
		{"serve -built nowhere", 1, "", "nowhere: holds no built site; make one with centrode build"},
	} {
		t.Run(c.line, func(t *testing.T) {
			args := strings.Fields(c.line)
			for i := range args {
				args[i] = strings.Trim(args[i], `"`)
			}
			out, errOut, status := command(t, elsewhere, args...)
			if status != c.status || !strings.Contains(out, c.out) || !strings.Contains(errOut, c.err) {
				t.Errorf("centrode %s = %d\nstdout: %s\nstderr: %s\nwant %d with %q and %q", c.line, status, out, errOut, c.status, c.out, c.err)
			}
			if (c.out == "") != (out == "") || (c.err == "") != (errOut == "") {
				t.Errorf("centrode %s: help belongs on standard output, complaints on standard error\nstdout: %s\nstderr: %s", c.line, out, errOut)
			}
		})
	}
}

// TestHelpFitsAWindow: what is longer than its widest lines breaks in the midst of a word.
func TestHelpFitsAWindow(t *testing.T) {
	const widest = 124
	for _, verb := range append([]string{"", "rig show", "rig fit", "rig move"}, verbNames...) {
		var out, errOut bytes.Buffer
		if status := run(append([]string{"help"}, strings.Fields(verb)...), nil, &out, &errOut); status != 0 {
			t.Fatalf("help %s = %d %s", verb, status, errOut.String())
		}
		for line := range strings.Lines(out.String()) {
			if wide := utf8.RuneCountInString(strings.TrimSuffix(line, "\n")); wide > widest {
				t.Errorf("help %s has a line of %d signs, %d are allowed: %s", verb, wide, widest, line)
			}
		}
	}
}

func TestANewLessonPassesAtOnceAndNothingIsReplaced(t *testing.T) {
	dir := handbook(t)
	inside := filepath.Join(dir, "content") // any folder of the project will do
	out, errOut, status := command(t, inside, "new", "lesson", "the-long-neck", "-part", "2", "-calculator", "hinge-arc", "-title", "The long neck, again")
	if status != 0 || !strings.HasPrefix(out, "content/lessons/the-long-neck.md\n") {
		t.Fatalf("new lesson = %d %s %s", status, out, errOut)
	}
	out, errOut, status = command(t, dir, "check")
	// On a fresh clone the command says that it brings the npm packages; nothing else may be said.
	if status != 0 || errOut != "" && !strings.HasPrefix(errOut, "Running npm ci") || !strings.Contains(out, "first-example") {
		t.Errorf("check of the new lesson = %d\n%s%s", status, out, errOut)
	}
	if _, errOut, status = command(t, dir, "new", "lesson", "the-long-neck"); status != 1 || !strings.Contains(errOut, "content/lessons/the-long-neck.md: exists already") {
		t.Errorf("the same lesson again = %d %s, want a refusal", status, errOut)
	}
	if _, _, status = command(t, dir, "new", "lesson", "second", "-part", "2"); status != 0 {
		t.Fatal("a second lesson is refused")
	}
	data, err := os.ReadFile(filepath.Join(dir, "content", "lessons", "second.md"))
	if err != nil || !strings.Contains(string(data), "\norder: 2\n") {
		t.Errorf("the second lesson of a part does not come second: %v\n%s", err, data)
	}
	for _, c := range []struct {
		status     int
		line, want string
	}{
		{2, "new lesson The_Neck", "lower-case words joined by hyphens, such as the-long-neck, and at most 60 letters; centrode new -h tells more"},
		{2, "new calculator Wrist", "lower-case words joined by hyphens"},
		{2, "new lesson x -part 4", "-part 4: must be from 1 to 3"},
		{2, "new lesson x -calculator hinge-ark", `nearest: "hinge-arc"`},
		{2, "new leson x", `nearest: "lesson"`},
		{1, "new calculator hinge-arc", "exists already"},
		{1, "new calculator skin", "the folder calc/skin holds another package"},
	} {
		if _, errOut, status := command(t, dir, strings.Fields(c.line)...); status != c.status || !strings.Contains(errOut, c.want) {
			t.Errorf("centrode %s = %d %s, want %d and %q", c.line, status, errOut, c.status, c.want)
		}
	}
}

// A house rule begins where it belongs: in the studio's folder, behind its lessons and ours, and in the place of none.
func TestANewLessonOfAStudioBeginsInItsFolder(t *testing.T) {
	dir, studio := handbook(t), t.TempDir()
	if _, errOut, status := command(t, dir, "new", "lesson", "ours", "-part", "2"); status != 0 {
		t.Fatal(errOut)
	}
	for i, slug := range []string{"our-neck-rule", "our-thumb-rule"} {
		out, errOut, status := command(t, dir, "new", "lesson", slug, "-part", "2", "-overlay", studio)
		data, err := os.ReadFile(filepath.Join(studio, "lessons", slug+".md"))
		if want := fmt.Sprintf("\norder: %d\n", i+2); status != 0 || err != nil || !strings.Contains(string(data), want) || !strings.Contains(out, "serve -overlay "+studio) {
			t.Errorf("new lesson %s = %d %s\n%s%v\n%s\nwant %q", slug, status, errOut, out, err, data, want)
		}
	}
	if out, errOut, status := command(t, dir, "check", "-overlay", studio); status != 0 || !strings.Contains(out, "our-thumb-rule") {
		t.Errorf("check = %d %s\n%s", status, errOut, out)
	}
	for slug, want := range map[string]string{"ours": "is a lesson of the handbook", "our-neck-rule": "exists already"} {
		if _, errOut, status := command(t, dir, "new", "lesson", slug, "-overlay", studio); status != 1 || !strings.Contains(errOut, want) {
			t.Errorf("new lesson %s = %d %s, want %q", slug, status, errOut, want)
		}
	}
}

func TestACheckTellsAProblemWithFileAndLine(t *testing.T) {
	dir := handbook(t)
	if err := os.WriteFile(filepath.Join(dir, "content", "home.md"), []byte("---\ntitle: A\nsummary: B\n---\n\n[[no such term]]\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	out, errOut, status := command(t, dir, "check")
	if status != 1 || !strings.HasPrefix(errOut, "content/home.md:6: ") || strings.Contains(out, "home.md") {
		t.Errorf("check = %d\nstdout: %s\nstderr: %s\nwant the problem on standard error as content/home.md:6", status, out, errOut)
	}
}

// A new calculator is Go code, so a fresh compilation must know it: its tests and those of plates pass, the content with its page is
// proved, and it answers on the command line. Its name is none that README.md or DEVELOPERS.md has somebody try.
func TestANewCalculatorCompilesPassesAndAnswers(t *testing.T) {
	if testing.Short() {
		t.Skip("compiles the whole program")
	}
	dir := handbook(t)
	out, errOut, status := command(t, dir, "new", "calculator", "trial-chord")
	if status != 0 || !strings.Contains(out, "calc/trialchord/spec.go\n") {
		t.Fatalf("new calculator = %d %s %s", status, out, errOut)
	}
	for _, c := range []struct {
		args []string
		want string
	}{
		{[]string{"vet", "./calc/trialchord"}, ""},
		{[]string{"test", "./calc/trialchord", "./calc/catalog/...", "./calc/plate"}, "ok"},
		{[]string{"run", "./cmd/centrode", "calc", "trial-chord", "reach=3", "angle=180"}, "6"},
		{[]string{"run", "./cmd/centrode", "check"}, "half-turn"},
	} {
		cmd := exec.Command("go", c.args...)
		cmd.Dir = dir
		if out, err := cmd.CombinedOutput(); err != nil || !strings.Contains(string(out), c.want) {
			t.Errorf("go %s: %v\n%s\nwant %q", strings.Join(c.args, " "), err, out, c.want)
		}
	}
}

func TestABuildWritesTheSiteItTellsOf(t *testing.T) {
	dir := handbook(t)
	target := filepath.Join(t.TempDir(), "site")
	if _, errOut, status := command(t, dir, "new", "lesson", "the-long-neck"); status != 0 {
		t.Fatal(errOut)
	}
	out, errOut, status := command(t, dir, "build", "-out", target)
	if status != 0 || errOut != "" {
		t.Fatalf("build = %d\n%s%s", status, out, errOut)
	}
	for _, want := range []string{target + ": ", " pages, 1 lesson, ", "with brotli"} {
		if !strings.Contains(out, want) {
			t.Errorf("build said %q, want %q in it", out, want)
		}
	}
	if _, err := os.Stat(filepath.Join(target, "index.html")); err != nil {
		t.Error(err)
	}
	file := filepath.Join(t.TempDir(), "file")
	if err := os.WriteFile(file, nil, 0o644); err != nil {
		t.Fatal(err)
	}
	if _, errOut, status := command(t, dir, "build", "-out", filepath.Join(file, "site")); status != 1 || !strings.Contains(errOut, "choose another folder with -out") {
		t.Errorf("build into a file = %d %s, want advice", status, errOut)
	}
}
