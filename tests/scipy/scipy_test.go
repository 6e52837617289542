// Package scipy runs the comparisons with SciPy and numpy that are written in Python beside it.
package scipy

import (
	"errors"
	"os"
	"os/exec"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"centrode/tests/outside"
)

// leastComparisons is what a whole run made when it was last extended; fewer means that some got lost.
const leastComparisons = 98_000

// run starts run.sh, after asking whether there is a Python with SciPy at all.
func run(t *testing.T, env string, args ...string) (text string, failed bool) {
	t.Helper()
	outside.Python(t)
	command := exec.Command("./run.sh", args...)
	command.Env = append(os.Environ(), env)
	out, err := command.CombinedOutput()
	var exit *exec.ExitError
	if err != nil && !errors.As(err, &exit) {
		t.Fatal(err)
	}
	return string(out), err != nil
}

func TestSciPyAgrees(t *testing.T) {
	text, failed := run(t, "COMPARE_WRONG=")
	t.Log(text)
	if failed {
		t.Error("some comparisons failed, see above")
	}
	last := regexp.MustCompile(`(?m)^(\d+) passed, 0 failed`).FindStringSubmatch(text)
	if last == nil {
		t.Fatal("the run did not come to its end")
	}
	if n, _ := strconv.Atoi(last[1]); n < leastComparisons {
		t.Errorf("%d comparisons, want at least %d", n, leastComparisons)
	}
}

// The check of the check: answers that are a millionth off must fail, for every solver.
func TestAnswersAMillionthOffFail(t *testing.T) {
	text, failed := run(t, "COMPARE_WRONG=1", "-n", "20")
	if !failed {
		t.Errorf("wrong answers pass:\n%s", text)
	}
	counts := regexp.MustCompile(`(?m)^(.*): 20 problems, (\d+) comparisons passed, (\d+) failed`).FindAllStringSubmatch(text, -1)
	if len(counts) < 12 {
		t.Errorf("%d solvers reported, want 12:\n%s", len(counts), text)
	}
	for _, c := range counts {
		passed, _ := strconv.Atoi(c[2])
		failed, _ := strconv.Atoi(c[3])
		if failed < 2*passed {
			t.Errorf("%s: %d wrong answers pass, %d fail\n%s", c[1], passed, failed, strings.TrimSpace(text))
		}
	}
}
