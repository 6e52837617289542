package bench

import (
	"os/exec"
	"strings"
	"testing"
	"time"

	"centrode/calc/placementmap"
	"centrode/tests/outside"
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
	runner := outside.Runner(t)
	here, there := outside.Tests(t, false), outside.Tests(t, true)
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
