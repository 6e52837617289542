package bench

import (
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"centrode/calc/placementmap"
)

// BenchmarkMap is a map of 200 × 200 cells on 30 landmarks in 20 poses, from values to finished answer.
func BenchmarkMap(b *testing.B) {
	v := newBall(30, 20).values()
	v.Numbers["cells"] = 200
	for _, kind := range []string{"ball", "hinge"} {
		v.Choices["kind"] = kind
		b.Run("kind="+kind, func(b *testing.B) { run(b, placementmap.Calculator{}, v) })
	}
}

// wasmExec is Go's own runner of WASM test binaries under node.
func wasmExec(t *testing.T) string {
	t.Helper()
	if _, err := exec.LookPath("node"); err != nil {
		t.Skip("node was not found: install Node.js 20 or newer to measure in WASM")
	}
	root, err := exec.Command("go", "env", "GOROOT").Output()
	if err != nil {
		t.Fatal(err)
	}
	return filepath.Join(strings.TrimSpace(string(root)), "lib", "wasm", "go_js_wasm_exec")
}

// build compiles this package's tests for a platform.
func build(t *testing.T, name string, env ...string) string {
	t.Helper()
	file := filepath.Join(t.TempDir(), name)
	command := exec.Command("go", "test", "-c", "-o", file, ".")
	command.Env = append(os.Environ(), env...)
	if out, err := command.CombinedOutput(); err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	return file
}

// cpu is the processor time of one run of the map of a kind, n times over.
func cpu(t *testing.T, kind, n string, command ...string) time.Duration {
	t.Helper()
	run := exec.Command(command[0], append(command[1:], "-test.run=^$", "-test.bench=^BenchmarkMap$/^kind="+kind+"$", "-test.benchtime="+n)...)
	if out, err := run.CombinedOutput(); err != nil || !strings.Contains(string(out), "ns/op") {
		t.Fatalf("%v\n%s", err, out)
	}
	return run.ProcessState.UserTime() + run.ProcessState.SystemTime()
}

// perMap is the processor time of one map among many, and of the first one, which WASM runs before its engine has warmed
// up. Processor time, the least of several rounds: what else the machine does hardly counts.
func perMap(t *testing.T, kind string, command ...string) (one, first time.Duration) {
	t.Helper()
	one, first = time.Hour, time.Hour
	for range 3 {
		few, many, start := cpu(t, kind, "2x", command...), cpu(t, kind, "12x", command...), cpu(t, kind, "1x", command...)
		one = min(one, max(0, many-few)/10)
		first = min(first, start)
	}
	return one, first
}

func TestTheMapInWASMIsWithinThreeTimesNative(t *testing.T) {
	runner := wasmExec(t)
	here, there := build(t, "native.test"), build(t, "wasm.test", "GOOS=js", "GOARCH=wasm")
	for _, kind := range []string{"ball", "hinge"} {
		native, _ := perMap(t, kind, here)
		wasm, first := perMap(t, kind, runner, there)
		ratio := wasm.Seconds() / native.Seconds()
		t.Logf("%s: %v native, %v in WASM under node, %.2f times; the first map with the start of node %v", kind, native, wasm, ratio, first)
		if !(wasm.Seconds() < 1) || !(ratio <= 3) {
			t.Errorf("%s: %v in WASM, %.2f times native; want under 1 s and at most 3 times", kind, wasm, ratio)
		}
	}
}
