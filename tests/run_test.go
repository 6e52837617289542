package tests

import (
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// bash runs a script with the folder's programs before all others, and returns what it said.
func bash(t *testing.T, folder, script string, env ...string) string {
	t.Helper()
	program, err := exec.LookPath("bash")
	if err != nil {
		t.Skip("bash was not found, which tests/run.sh is written for")
	}
	command := exec.Command(program, "-c", script)
	command.Dir = folder
	command.Env = append(os.Environ(), append(env, "PATH="+folder+":"+os.Getenv("PATH"))...)
	said, _ := command.CombinedOutput() // how it ends is a part of what it says
	return string(said)
}

// lineOfScript is the line of tests/run.sh that begins so.
func lineOfScript(t *testing.T, begins string) string {
	t.Helper()
	script, err := os.ReadFile("run.sh")
	if err != nil {
		t.Fatal(err)
	}
	for line := range strings.Lines(string(script)) {
		if strings.HasPrefix(line, begins) {
			return line
		}
	}
	t.Fatalf("run.sh has no line that begins with %q", begins)
	return ""
}

// Debian 12 has Node.js 18, under which html-validate does not start: without a word at the beginning, a quarter of an hour went by first.
func TestAnOldNodeIsToldOfBeforeAnythingElse(t *testing.T) {
	script, err := os.ReadFile("run.sh")
	if err != nil {
		t.Fatal(err)
	}
	for version, want := range map[string]string{"v18.20.4": "v18.20.4 is too old", "v20.18.3": "v20.18.3 is too old", "v20.19.0": "git is next", "v22.1.0": "git is next", "v24.0.0": "git is next"} {
		dir := t.TempDir()
		for name, does := range map[string]string{"go": "exit 0", "npm": "exit 0", "node": "echo " + version, "run": strings.Replace(string(script), `need git "git"`, "stop 'git is next'", 1)} {
			if err := os.WriteFile(filepath.Join(dir, name), []byte("#!/bin/sh\n"+does+"\n"), 0o755); err != nil {
				t.Fatal(err)
			}
		}
		if said := bash(t, dir, "bash ./run"); !strings.Contains(said, want) {
			t.Errorf("with Node.js %s it says %q, want %q", version, said, want)
		}
	}
}

// A downloaded archive is no repository, and git tells nothing of one that belongs to somebody else, as a folder lent to a container does.
func TestTheTestsRunWhereGitTellsNothing(t *testing.T) {
	dir := t.TempDir()
	for _, name := range []string{"calc/a.go", "theme/node_modules/x/b.go", "git"} {
		file := filepath.Join(dir, filepath.FromSlash(name))
		if err := os.MkdirAll(filepath.Dir(file), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(file, []byte("#!/bin/sh\necho fatal: no repository >&2; exit 128\n"), 0o755); err != nil {
			t.Fatal(err)
		}
	}
	if said := bash(t, dir, "set -euo pipefail\n"+lineOfScript(t, "sources()")+"sources | tr '\\0' '\\n'"); said != "./calc/a.go\n" {
		t.Errorf("the files that gofmt looks at are %q", said)
	}
	if said := bash(t, dir, lineOfScript(t, "export GOFLAGS")+`echo "$GOFLAGS"`, "GOFLAGS=-p=1"); said != "-p=1 -buildvcs=false\n" {
		t.Errorf("programs are built with %q", said)
	}
}

// A package that runs out of time says so in the words of the test that ran, which never ends: they were lost, and with them which test it was.
func TestATestThatNeverEndedIsToldWithWhatItSaid(t *testing.T) {
	events := `{"Action":"run","Package":"p","Test":"TestA"}
{"Action":"output","Package":"p","Test":"TestA","Output":"--- PASS: TestA (0.00s)\n"}
{"Action":"pass","Package":"p","Test":"TestA","Elapsed":0}
{"Action":"run","Package":"p","Test":"TestB"}
{"Action":"run","Package":"p","Test":"TestB/part"}
{"Action":"output","Package":"p","Test":"TestB/part","Output":"panic: test timed out after 20m0s\n"}
{"Action":"output","Package":"p","Output":"FAIL\tp\t1200.0s\n"}
{"Action":"fail","Package":"p","Elapsed":1200}
`
	want := "never ended: p TestB/part\npanic: test timed out after 20m0s\nFAIL  p  1200.0 s\n\n1 passed, 1 failed\nstatus 1\n"
	if said := bash(t, ".", `printf %s "$EVENTS" | node tally.mjs; echo status $?`, "EVENTS="+events); said != want {
		t.Errorf("it says %q, want %q", said, want)
	}
}

// The words of the end come from the test that waits, also when a part of it was held back and never began, or in the name of the last
// part that ended, and stand behind all that it printed, however much that was.
func TestATestThatNeverEndedIsHeardToItsEnd(t *testing.T) {
	end := `{"Action":"output","Package":"p","Test":"TestB","Output":"panic: test timed out after 20m0s\n"}
{"Action":"fail","Package":"p","Elapsed":1200}
`
	waits := `{"Action":"run","Package":"p","Test":"TestB"}
{"Action":"output","Package":"p","Test":"TestB","Output":"=== RUN   TestB\n"}
`
	held := `{"Action":"run","Package":"p","Test":"TestB/part"}
{"Action":"output","Package":"p","Test":"TestB/part","Output":"=== PAUSE TestB/part\n"}
`
	long := strings.Repeat(`{"Action":"output","Package":"p","Test":"TestB","Output":"a line\n"}`+"\n", 500)
	// go test tells the end of the part only behind them.
	done := `{"Action":"run","Package":"p","Test":"TestB/part"}
{"Action":"output","Package":"p","Test":"TestB/part","Output":"    --- PASS: TestB/part (0.00s)\n"}
` + strings.Replace(end, "TestB", "TestB/part", 1)
	done = strings.Replace(done, `{"Action":"fail"`, `{"Action":"pass","Package":"p","Test":"TestB/part","Elapsed":0}`+"\n"+`{"Action":"fail"`, 1)
	for name, events := range map[string]string{"a part held back": waits + held + end, "many lines before": waits + long + end, "a part that ended": waits + done} {
		said := bash(t, ".", `printf %s "$EVENTS" | node tally.mjs; echo status $?`, "EVENTS="+events)
		if !strings.Contains(said, "never ended: p TestB\n=== RUN   TestB\n") || !strings.Contains(said, "panic: test timed out after 20m0s\n") ||
			strings.Count(said, "\n") > 420 || !strings.HasSuffix(said, "1 failed\nstatus 1\n") {
			t.Errorf("%s: it says %q", name, said)
		}
	}
}
