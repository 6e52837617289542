package bench

import (
	"fmt"
	"os/exec"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"centrode/tests/hard/bound"
	"centrode/tests/outside"
)

// best runs a benchmark and tells, beside the mean, the least processor time of all its turns. What the engine of WASM still compiles and
// what the garbage collector does only ever add to a turn, and one among many meets little of it; a mean meets all. What else the machine
// does takes the clock's time and no time of the processor.
func best(b *testing.B, do func()) {
	b.Helper()
	least := time.Hour
	for b.Loop() {
		start := bound.Spent()
		do()
		least = min(least, bound.Spent()-start)
	}
	b.ReportMetric(float64(least.Nanoseconds()), "best-ns")
}

// bestOf is the least processor time of n turns of a benchmark on one core, in a run of its own.
func bestOf(t *testing.T, benchmark string, n int, command ...string) time.Duration {
	t.Helper()
	names := "^" + strings.ReplaceAll(benchmark, "/", "$/^") + "$"
	run := exec.Command(command[0], append(command[1:], "-test.run=^$", "-test.bench="+names, fmt.Sprintf("-test.benchtime=%dx", n), "-test.cpu=1")...)
	out, err := run.CombinedOutput()
	words := strings.Fields(string(out))
	at := slices.Index(words, "best-ns")
	if err != nil || at < 1 {
		t.Fatalf("%v\n%s", err, out)
	}
	ns, err := strconv.ParseFloat(words[at-1], 64)
	if err != nil {
		t.Fatal(err)
	}
	return time.Duration(ns)
}

// rounds is how often either side runs at most before it has failed: a core that two share may be slow for the whole of a run.
const rounds = 4

// inWASM compares the best turns of a benchmark on this machine and in WASM under node. In WASM one must take at most the limit, and at most
// so many times as long.
func inWASM(t *testing.T, benchmark string, turns int, limit time.Duration, times float64) {
	t.Helper()
	runner := outside.Runner(t)
	here, there := outside.Tests(t, false), outside.Tests(t, true)
	native, wasm := time.Hour, time.Hour
	for range rounds {
		native, wasm = min(native, bestOf(t, benchmark, turns, here)), min(wasm, bestOf(t, benchmark, turns, runner, there))
		if wasm <= limit && wasm.Seconds() <= times*native.Seconds() {
			break
		}
	}
	ratio := wasm.Seconds() / native.Seconds()
	t.Logf("%s: %v native, %v in WASM under node, %.2f times", benchmark, native, wasm, ratio)
	if !(wasm <= limit && ratio <= times) {
		t.Errorf("%s: want at most %v and %v times in WASM", benchmark, limit, times)
	}
}
