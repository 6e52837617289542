package sweep

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"hash"
	"math"
	"math/rand/v2"
	"os"
	"os/exec"
	"slices"
	"strings"
	"testing"

	"centrode/tests/outside"
)

// trials is how many scenes each place of a sweep gets.
const trials = 20

func families() []family {
	return slices.Concat(poseFamilies("ball"), poseFamilies("hinge"), keyFamilies(), chainFamilies(), jointFamilies(), limbFamilies(), fingerFamilies(), closedFamilies())
}

// row is a family at one exponent.
type row struct {
	refused, open, broken int
	ratio                 float64
}

func (f family) row(exponent int, noise float64, digest hash.Hash) (out row) {
	r := rand.New(rand.NewPCG(uint64(exponent), uint64(len(f.name))))
	for range trials {
		v := f.ask(r, exponent, noise, digest)
		if v.refused {
			out.refused++
		}
		if v.open {
			out.open++
		}
		if !(v.ratio <= 1) {
			out.broken++
		}
		out.ratio = math.Max(out.ratio, v.ratio)
	}
	return out
}

func TestTheStatedErrorBoundsTheTrueOne(t *testing.T) {
	digest := sha256.New()
	for _, f := range families() {
		for _, noise := range f.noises {
			t.Logf("%s, noise %g cm", f.name, noise)
			t.Logf("%8s %8s %8s %8s %12s", "ill by", "refused", "left out", "beyond", "worst ratio")
			for exponent := range worst + 1 {
				at := f.row(exponent, noise, digest)
				t.Logf("%8s %8d %8d %8d %12.2g", fmt.Sprintf("1e%02d", exponent), at.refused, at.open, at.broken, at.ratio)
				if at.broken > 0 {
					t.Errorf("%s, ill by 1e%d, noise %g cm: %d of %d errors exceed what the answer states, the worst %.2g times",
						f.name, exponent, noise, at.broken, trials, at.ratio)
				}
			}
		}
	}
	t.Logf("digest %s", hex.EncodeToString(digest.Sum(nil)))
}

// The same sweep, compiled for the machine and for WASM: all answers share every bit, refusals every letter.
func TestTheSweepInWASMGivesTheSameBits(t *testing.T) {
	runner, there := outside.Runner(t), outside.Tests(t, true)
	const which = "-test.run=^TestTheStatedErrorBoundsTheTrueOne$"
	here, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	native := digestOf(t, here, which, "-test.v")
	wasm := digestOf(t, runner, there, which, "-test.v")
	if native == "" || native != wasm {
		t.Errorf("the sweep's digest is %q here and %q in WASM", native, wasm)
	}
}

func digestOf(t *testing.T, command ...string) string {
	out, _ := exec.Command(command[0], command[1:]...).CombinedOutput() // whether the bounds hold is the other test's question
	_, after, ok := strings.Cut(string(out), "digest ")
	if !ok {
		t.Fatalf("no digest came out of %v:\n%.2000s", command, out)
	}
	return strings.Fields(after)[0]
}
