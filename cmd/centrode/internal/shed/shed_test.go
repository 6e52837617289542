package shed

import (
	"bytes"
	"errors"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"testing"
)

// compiled is a program of testdata, compiled for a page.
func compiled(t *testing.T, name string) []byte {
	t.Helper()
	file := filepath.Join(t.TempDir(), name+".wasm")
	build := exec.Command("go", "build", "-trimpath", "-ldflags=-s -w", "-o", file, "./testdata/"+name)
	build.Env = append(os.Environ(), "GOOS=js", "GOARCH=wasm")
	if out, err := build.CombinedOutput(); err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	data, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	return data
}

// run gives what a module prints before it stops, and what it says of the stop.
func run(t *testing.T, module []byte) (says, stop string) {
	t.Helper()
	file := filepath.Join(t.TempDir(), "program.wasm")
	if err := os.WriteFile(file, module, 0o600); err != nil {
		t.Fatal(err)
	}
	program := exec.Command(filepath.Join(runtime.GOROOT(), "lib", "wasm", "go_js_wasm_exec"), file)
	var out, errs bytes.Buffer
	program.Stdout, program.Stderr = &out, &errs
	var exit *exec.ExitError
	if err := program.Run(); !errors.As(err, &exit) || exit.ExitCode() != 2 {
		t.Fatalf("the program was to stop with status 2, and does so with %v\n%s", err, errs.Bytes())
	}
	return out.String(), errs.String()
}

func TestAProgramDoesTheSameWithoutItsLines(t *testing.T) {
	module := compiled(t, "busy")
	lean, err := Lines(module)
	if err != nil {
		t.Fatal(err)
	}
	if least := len(module) * 9 / 10; len(lean) < least || len(lean) >= len(module) {
		t.Fatalf("%d bytes became %d; want less, but %d or more", len(module), len(lean), least)
	}
	whole, _ := run(t, module)
	says, stop := run(t, lean)
	if says != whole || !strings.Contains(whole, "wrapper → value method main.point.sum called using nil *point pointer") {
		t.Errorf("without lines the program says\n%s\nwith them\n%s", says, whole)
	}
	if !strings.Contains(stop, "panic: the end") || strings.Contains(stop, "main.go") || strings.Contains(stop, "fatal error") {
		t.Errorf("it stops with\n%s\nwant its panic, without a file and without an error of the runtime", stop)
	}
	for _, name := range []string{"main.deep", "testdata/busy/main.go"} {
		if !bytes.Contains(module, []byte(name)) || bytes.Contains(lean, []byte(name)) {
			t.Errorf("%s: is in the module %v, in the lean one %v", name, bytes.Contains(module, []byte(name)), bytes.Contains(lean, []byte(name)))
		}
	}
	if again, err := Lines(lean); err == nil && !bytes.Equal(again, lean) {
		t.Error("a second time changes something")
	}
}

// What looks into a program is shortened, and no other function; what asks whether an execution is recorded stays, and all of it where one may be.
func TestNothingIsShortenedButWhatLooksIntoTheProgram(t *testing.T) {
	for name, want := range map[string]bool{"busy": true, "traced": false} {
		module := compiled(t, name)
		lean, err := Lines(module)
		if err != nil {
			t.Fatal(err)
		}
		functions := named(t, module)
		was, is, emptied := code(t, module), code(t, lean), 0
		if len(is) != len(was) || len(was) != len(functions) {
			t.Fatalf("%s: %d functions became %d; the tables name %d", name, len(was), len(is), len(functions))
		}
		for i, f := range functions {
			if bytes.Equal(was[i], is[i]) {
				continue
			}
			emptied++
			if !bytes.Equal(is[i], stop) && !bytes.Equal(is[i], back) || f.name == asked || !strings.HasPrefix(f.name, "runtime.") {
				t.Errorf("%s: %s was changed, to %d bytes", name, f.name, len(is[i]))
			}
		}
		if (emptied > 130) != want || emptied > 0 != want {
			t.Errorf("%s: %d functions are shortened", name, emptied)
		}
		if _, why := run(t, lean); !want && !strings.HasPrefix(why, "panic: recorded") {
			t.Errorf("%s ends with %q", name, why)
		}
	}
}

// A name that Go no longer has would spare nothing and say nothing.
func TestEveryNameOfTheListsIsAFunctionOfGo(t *testing.T) {
	functions := named(t, compiled(t, "busy"))
	for _, name := range slices.Concat(traced, quiet, unasked, []string{asked}) {
		if !slices.ContainsFunc(functions, func(f function) bool { return strings.HasPrefix(f.name, name) }) {
			t.Errorf("%s: no function has that name", name)
		}
	}
}

// A program that stops says why, as ever, and ends with the same status: nothing on the way is missing.
func TestAProgramThatWaitsForNothingSaysSo(t *testing.T) {
	module := compiled(t, "stuck")
	lean, err := Lines(module)
	if err != nil {
		t.Fatal(err)
	}
	_, whole := run(t, module)
	_, stop := run(t, lean)
	why, _, _ := strings.Cut(whole, "\n")
	if !strings.HasPrefix(why, "fatal error: all goroutines are asleep") || !strings.HasPrefix(stop, why+"\n") || strings.Contains(stop, "RuntimeError") {
		t.Errorf("the lean program ends with\n%s\nthe whole one with\n%s", stop, whole)
	}
}

// named lists the functions of a module.
func named(t *testing.T, module []byte) []function {
	t.Helper()
	m := &memory{file: module}
	if err := m.findSegments(); err != nil {
		t.Fatal(err)
	}
	table, err := findTables(m)
	if err != nil {
		t.Fatal(err)
	}
	functions, err := table.functions()
	if err != nil {
		t.Fatal(err)
	}
	return functions
}

// code gives the bodies of a module's functions.
func code(t *testing.T, module []byte) (list [][]byte) {
	t.Helper()
	for id, at := range sections(module) {
		if id != codeSection {
			continue
		}
		count, next := number(module, at.from)
		for range count {
			size, start := number(module, next)
			next = start + size
			list = append(list, module[start:next])
		}
	}
	return list
}

// Where nothing reflects, types lose their written forms and are told apart as before.
func TestAProgramKnowsItsTypesWithoutTheirForms(t *testing.T) {
	module := compiled(t, "quiet")
	lean, err := Lines(module)
	if err != nil {
		t.Fatal(err)
	}
	for name, module := range map[string][]byte{"whole": module, "lean": lean} {
		_, stop := run(t, module)
		says, why, _ := strings.Cut(stop, "\n")
		if want := "length stones store measure in inches other other 3 5 6"; says != want {
			t.Errorf("%s: says %q, want %q", name, says, want)
		}
		if !strings.HasPrefix(why, "panic: interface conversion: ") {
			t.Errorf("%s: ends with %q, want a failed assertion", name, why)
		}
	}
	for _, form := range []string{"*main.length", "[]main.stone", "map[string]*main.stone"} {
		if !bytes.Contains(module, []byte(form)) || bytes.Contains(lean, []byte(form)) {
			t.Errorf("%s: is in the module %v, in the lean one %v", form, bytes.Contains(module, []byte(form)), bytes.Contains(lean, []byte(form)))
		}
	}
}

func TestWhatIsNotAsDescribedStaysAsItIs(t *testing.T) {
	module := compiled(t, "busy")
	header := bytes.Index(module, []byte{0xf1, 0xff, 0xff, 0xff, 0, 0, 1, 8})
	other := slices.Clone(module)
	other[header] ^= 1
	for name, broken := range map[string][]byte{
		"nothing": nil, "text": []byte("no module, but long enough to be one"), "half": module[:len(module)/2], "without its last byte": module[:len(module)-1], "another table": other,
	} {
		if lean, err := Lines(broken); err == nil || lean != nil {
			t.Errorf("%s: no error", name)
		}
	}
}
