// Package outside finds the programs from outside of this project that tests ask, and skips a test that lacks one.
package outside

import (
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// Python is one that has NumPy and SciPy: what PYTHON names, else the system's.
func Python(t testing.TB) string {
	t.Helper()
	python := os.Getenv("PYTHON")
	if python == "" {
		python = "/usr/bin/python3"
	}
	if out, err := exec.Command(python, "-c", "import numpy, scipy").CombinedOutput(); err != nil {
		t.Skipf("%s has no SciPy (%v %s): install it (on Debian: apt-get install python3-scipy), or name another Python in PYTHON", python, err, out)
	}
	return python
}

// Runner is Go's own runner of WASM test binaries under node. It takes GOMAXPROCS out of the test's environment: with more than 1
// there, a program of WASM, which has one thread, ends before it begins.
func Runner(t testing.TB) string {
	t.Helper()
	t.Setenv("GOMAXPROCS", "")
	if _, err := exec.LookPath("node"); err != nil {
		t.Skip("node was not found: install Node.js 20 or newer to compare with WASM")
	}
	root, err := exec.Command("go", "env", "GOROOT").Output()
	if err != nil {
		t.Fatal(err)
	}
	return filepath.Join(strings.TrimSpace(string(root)), "lib", "wasm", "go_js_wasm_exec")
}

// Tests compiles the tests of the working folder's package, for WASM or for this machine, and returns the file.
func Tests(t testing.TB, wasm bool) string {
	t.Helper()
	file := filepath.Join(t.TempDir(), "package.test")
	compile := exec.Command("go", "test", "-c", "-o", file, ".")
	if wasm {
		compile.Env = append(os.Environ(), "GOOS=js", "GOARCH=wasm")
	}
	if out, err := compile.CombinedOutput(); err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	return file
}
