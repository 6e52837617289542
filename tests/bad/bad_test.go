// Package bad breaks lessons in every way the handbook knows and asks the command about each: `centrode check` and
// `centrode build` must end with status 1 and name the place, what was given and what is allowed, and the site that was
// built before must stay as it is. The packages below cmd test every message; here stand the kinds, through the door
// that a writer uses.
package bad

import (
	"bytes"
	"errors"
	"maps"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"centrode/tests/copied"
)

const front = "---\ntitle: T\nsummary: S.\npart: 1\norder: %\nminutes: 5\n---\n\n" // eight lines

const worked = "```worked\nid: turn\ntitle: A turn\ncalculator: pivot-offset\nexpect:\n  lever: 1.118 cm\ncheck: √(1² + 0.5²)\nsource: derived\n```\n"

// kinds are lessons that are wrong, each with every line that must be told of it, without the file's name.
var kinds = []struct {
	name, text string // front matter with order % is completed
	want       []string
}{
	{"a wrong expected number", front + strings.Replace(worked, "1.118", "1.45", 1), []string{`14: turn: lever: expected 1.45 cm ± 0.005, computed 1.118 cm, off by 0.332`}},
	{"an unknown key in the front matter", strings.Replace(front, "minutes", "minuts", 1), []string{
		`1: front matter: "minutes" is missing`, `6: front matter: key "minuts" is unknown; nearest: "minutes"`}},
	{"an unknown key in a block", front + strings.Replace(worked, "check:", "chek:", 1), []string{
		`9: worked "turn": "check" is missing`, `15: worked "turn": key "chek" is unknown; nearest: "check"`}},
	{"an unknown block", front + "```workd\n```\n", []string{`9: block "workd" is unknown; nearest: "worked"`}},
	{"an unknown id of a block", front + "{=trun.lever}\n\n" + worked, []string{`9: {=trun.lever}: block "trun" is unknown on this page; nearest: "turn"`}},
	{"an unknown output", front + worked + "\n{=turn.levr}\n", []string{`19: {=turn.levr}: "levr" is no output or field of pivot-offset; nearest: "lever"`}},
	{"an unknown field", front + strings.Replace(worked, "expect:", "given: {angel: 3}\nexpect:", 1), []string{`13: turn: angel: is no field of pivot-offset; nearest: "angle"`}},
	{"an unknown term", front + "A [[pivvot]].\n", []string{`9: term "pivvot" is unknown; nearest: "pivot"`}},
	{"an unknown source", front + strings.Replace(worked, "derived", "deriven", 1), []string{`16: turn: source "deriven" is unknown; nearest: "derived"`}},
	{"an unknown citation", front + "As [@nobody1900] says.\n", []string{`9: source "nobody1900" is unknown`}},
	{"an unknown fact", front + "{=fact:no-such-fact}\n", []string{`9: {=fact:no-such-fact}: fact "no-such-fact" is unknown`}},
	{"an unknown unit", front + strings.Replace(worked, "expect:", "given: {offset_x: 3 parsec}\nexpect:", 1), []string{
		`13: turn: offset_x: "3 parsec": has the unknown unit "parsec"; must be a length such as 1.2 cm (mm, cm, m, in or ft)`}},
	{"a unit of another kind", front + strings.Replace(worked, "expect:", "given: {angle: 3 cm}\nexpect:", 1), []string{
		`13: turn: angle: "3 cm": is a length; must be an angle such as 90 deg (deg, rad or turn)`}},
	{"a number out of range", front + strings.Replace(worked, "expect:", "given: {angle: 1e9}\nexpect:", 1), []string{
		`13: turn: angle: 1000000000 deg: must be from -36000 to 36000 deg`}},
	{"a number that is none", front + strings.Replace(worked, "expect:", "given: {angle: NaN}\nexpect:", 1), []string{`13: turn: angle: "NaN": must be an angle such as 90 deg (deg, rad or turn)`}},
	{"an unknown calculator", front + strings.Replace(worked, "pivot-offset", "pivot-ofset", 1), []string{`12: calculator "pivot-ofset" is unknown; nearest: "pivot-offset"`}},
	{"an unknown preset", front + strings.Replace(worked, "expect:", "preset: nobody\nexpect:", 1), []string{`13: turn: preset "nobody" is no preset of pivot-offset`}},
	{"a link to no page", front + "[a](/lessons/nowhere-at-all/)\n", []string{`9: link "/lessons/nowhere-at-all/" leads to no page`}},
	{"a link to no place on its page", front + "[a](#dept)\n\n## Depth\n", []string{`9: link "#dept" leads to no place on its page; nearest: "depth"`}},
	{"two blocks of one id", front + worked + "\n" + worked, []string{`19: worked "turn": the id is used twice; the first is on line 9`}},
	{"a circle of needs", strings.Replace(front, "minutes: 5\n", "minutes: 5\nneeds: [a-bad-one]\n", 1), []string{`7: needs form a circle: a-bad-one → a-bad-one`}},
	{"an unknown need", strings.Replace(front, "minutes: 5\n", "minutes: 5\nneeds: [nothing-like-it]\n", 1), []string{`7: needs: lesson "nothing-like-it" is unknown`}},
	{"an exercise whose answer is wrong", front + "```exercise\nid: e\ntitle: E\ncalculator: pivot-offset\nask: lever\nquestion: How far?\nanswer: 2.0 cm\ntolerance: 0.1 cm\nhints:\n  - {mistake: doubled, times: 2, say: Look again.}\n```\n",
		[]string{`15: e: lever: expected 2.0 cm ± 0.05, computed 1.118 cm, off by 0.882`}},
	{"a fence that is never closed", front + "```worked\nid: turn\n", []string{"9: the fence \"```worked\" that opens here is not closed; put a line of as many backquotes at its end"}},
	{"a formula that cannot be read", front + "$\\nosuch$\n", []string{`9: formula $\nosuch$: Unsupported function name: \nosuch at position 1: \nosuch`}},
	{"markup of its own", front + "A <script>alert(1)</script> here.\n", []string{`9: has an HTML tag, which is not shown; use markdown, or a backslash before < for the sign itself`}},
	{"a binary file", "\x7fELF\x02\x01\x00\x00", []string{`1: is not UTF-8 text; save the file as UTF-8`}},
	{"an empty file", "", []string{`is empty`}},
}

const slug = "a-bad-one"

// command runs the command in the project, and returns the problems it tells and its status.
func command(t *testing.T, project string, args ...string) (problems []string, status int) {
	t.Helper()
	cmd := exec.Command(filepath.Join(project, "..", "centrode"), args...)
	cmd.Dir = project
	var errOut bytes.Buffer
	cmd.Stderr = &errOut
	err := cmd.Run()
	if exit := (*exec.ExitError)(nil); err != nil && !errors.As(err, &exit) {
		t.Fatal(err)
	}
	for line := range strings.Lines(errOut.String()) {
		if strings.HasPrefix(line, "content/") {
			problems = append(problems, strings.TrimSuffix(line, "\n"))
		}
	}
	return problems, cmd.ProcessState.ExitCode()
}

// handbook makes a project with this one's theme, terms, sources and calculators, and one good page; the command lies beside it.
func handbook(t *testing.T) string {
	t.Helper()
	dir := t.TempDir()
	project, repository := filepath.Join(dir, "handbook"), filepath.Join("..", "..")
	build := exec.Command("go", "build", "-o", filepath.Join(dir, "centrode"), "./cmd/centrode")
	build.Dir = repository
	if out, err := build.CombinedOutput(); err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	copied.Parts(t, repository, project, "theme", "calc", "wasm", "go.mod", "go.sum", "content/sources.json", "content/glossary.yaml")
	copied.Results(t, repository, project)
	must(t, os.MkdirAll(filepath.Join(project, "content", "lessons"), 0o755))
	must(t, os.WriteFile(filepath.Join(project, "content", "home.md"), []byte("---\ntitle: A small book\nsummary: One page.\n---\n\nWords.\n"), 0o644))
	return project
}

// plant writes a lesson of the kind and returns the lines that must be told of it.
func plant(t *testing.T, project, slug string, order int, text string, want []string) []string {
	t.Helper()
	text = strings.Replace(text, "order: %", "order: "+strconv.Itoa(order), 1)
	must(t, os.WriteFile(filepath.Join(project, "content", "lessons", slug+".md"), []byte(text), 0o644))
	var lines []string
	for _, line := range want {
		at := ":"
		if line[0] < '0' || line[0] > '9' {
			at = ": " // about the whole file
		}
		lines = append(lines, "content/lessons/"+slug+".md"+at+line)
	}
	return lines
}

func TestEveryKindOfBrokenLessonIsToldAtItsLine(t *testing.T) {
	project := handbook(t)
	if problems, status := command(t, project, "build"); status != 0 {
		t.Fatalf("the good project does not build: %d %q", status, problems)
	}
	before := tree(t, filepath.Join(project, "public"))
	if len(before) < 20 {
		t.Fatalf("the good site has only %d files", len(before))
	}
	for _, k := range kinds {
		t.Run(k.name, func(t *testing.T) {
			want := plant(t, project, slug, 1, k.text, k.want)
			got, status := command(t, project, "check")
			for _, line := range want {
				if status != 1 || !slices.Contains(got, line) {
					t.Errorf("check ends with %d and tells\n\t%s\nwant 1 and\n\t%s", status, strings.Join(got, "\n\t"), line)
				}
			}
			for _, line := range got { // one mistake may show twice, but in no other file
				if !strings.HasPrefix(line, "content/lessons/"+slug+".md:") {
					t.Errorf("check tells of another file: %s", line)
				}
			}
		})
	}
	t.Run("all at once, and the old site stays", func(t *testing.T) {
		must(t, os.Remove(filepath.Join(project, "content", "lessons", slug+".md")))
		var want []string
		for i, k := range kinds {
			if k.name == "a circle of needs" { // its name stands in the message
				continue
			}
			want = append(want, plant(t, project, "bad-"+strconv.Itoa(i+10), i+1, k.text, k.want)...)
		}
		got, status := command(t, project, "build")
		for _, line := range want {
			if !slices.Contains(got, line) {
				t.Errorf("build does not tell\n\t%s", line)
			}
		}
		if status != 1 {
			t.Errorf("build ends with %d, want 1", status)
		}
		if after := tree(t, filepath.Join(project, "public")); !maps.Equal(before, after) {
			t.Error("the build that failed changed the old site")
		}
	})
}

// tree reads all files under dir.
func tree(t *testing.T, dir string) map[string]string {
	t.Helper()
	files := map[string]string{}
	must(t, filepath.WalkDir(dir, func(name string, entry os.DirEntry, err error) error {
		if err != nil || entry.IsDir() {
			return err
		}
		data, err := os.ReadFile(name)
		files[name] = string(data)
		return err
	}))
	return files
}

func must(t *testing.T, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}
