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

// least is the least processor time of several rounds: of the first map, which WASM makes before its engine has warmed up, of two and of
// twelve. What else the machine does only ever adds to it.
type least struct{ first, few, many time.Duration }

func (l *least) round(t *testing.T, kind string, command ...string) {
	t.Helper()
	for _, c := range []struct {
		n    string
		took *time.Duration
	}{{"1x", &l.first}, {"2x", &l.few}, {"12x", &l.many}} {
		if took := cpu(t, kind, c.n, command...); *c.took == 0 || took < *c.took {
			*c.took = took
		}
	}
}

// one is the time of a map among many.
func (l *least) one() time.Duration { return (l.many - l.few) / 10 }

func TestTheMapInWASMIsWithinThreeTimesNative(t *testing.T) {
	runner := outside.Runner(t)
	here, there := outside.Tests(t, false), outside.Tests(t, true)
	for _, kind := range []string{"ball", "hinge"} {
		var native, wasm least
		ratio := 0.0
		for round := 0; round < 3 || round < 9 && ratio > 3; round++ { // more rounds come nearer to the least
			native.round(t, kind, here)
			wasm.round(t, kind, runner, there)
			ratio = wasm.one().Seconds() / native.one().Seconds()
		}
		t.Logf("%s: %v native, %v in WASM under node, %.2f times; the first map with the start of node %v", kind, native.one(), wasm.one(), ratio, wasm.first)
		if !(wasm.one() < time.Second) || !(ratio <= 3) {
			t.Errorf("%s: %v in WASM, %.2f times native; want under 1 s and at most 3 times", kind, wasm.one(), ratio)
		}
	}
}
