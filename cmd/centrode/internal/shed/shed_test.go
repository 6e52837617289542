package shed

import (
	"bytes"
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
	if err := program.Run(); err == nil {
		t.Fatal("the program was to end in a panic")
	}
	return out.String(), errs.String()
}

func TestAProgramDoesTheSameWithoutItsLines(t *testing.T) {
	module := compiled(t, "busy")
	lean, err := Lines(module)
	if err != nil {
		t.Fatal(err)
	}
	if len(lean) != len(module) {
		t.Fatalf("%d bytes became %d; nothing may move", len(module), len(lean))
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
