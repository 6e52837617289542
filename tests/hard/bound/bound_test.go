package bound

import (
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"centrode/calc/catalog/list"
)

// told is a test that only notes what failed.
type told struct {
	testing.TB
	errors []string
}

func (t *told) Helper()        {}
func (t *told) Error(a ...any) { t.errors = append(t.errors, a[0].(string)) }

var kept []byte

func TestWhatTakesTooMuchIsTold(t *testing.T) {
	for name, c := range map[string]struct {
		size int
		work func()
		want string
	}{
		"nothing":       {0, func() {}, ""},
		"a second":      {9, func() { turn(1100 * time.Millisecond) }, "of a core for 9 bytes"},
		"much memory":   {0, func() { kept = make([]byte, Memory+1<<20) }, "bytes of memory for 0 bytes"},
		"much for much": {64, func() { kept = make([]byte, Memory+1<<20) }, ""},
	} {
		spy := &told{TB: t}
		end := Watch(spy, c.size)
		c.work()
		end()
		if got := strings.Join(spy.errors, "; "); c.want == "" && got != "" || !strings.Contains(got, c.want) {
			t.Errorf("%s: %q, want %q", name, got, c.want)
		}
	}
}

// turn keeps a core busy for so long.
func turn(d time.Duration) {
	for begin := Spent(); Spent()-begin < d; {
		kept = kept[:0]
	}
}

// Every native fuzz target of the project is held to the bounds.
func TestEveryFuzzTargetIsBound(t *testing.T) {
	root, targets, watched := filepath.Join("..", "..", ".."), 0, 0
	for _, room := range []string{"calc", "cmd", "tests"} {
		err := filepath.WalkDir(filepath.Join(root, room), func(name string, d fs.DirEntry, err error) error {
			if err != nil || !strings.HasSuffix(name, "_test.go") || name == filepath.Join(root, "tests", "hard", "bound", "bound_test.go") {
				return err
			}
			text, err := os.ReadFile(name)
			asked := strings.Count(string(text), "f.Fuzz(func(")
			if held := strings.Count(string(text), "defer bound.Watch(t, "); held != asked {
				t.Errorf("%s: %d of %d targets begin with defer bound.Watch(t, SIZE)()", name, held, asked)
			}
			targets, watched = targets+strings.Count(string(text), "\nfunc Fuzz"), watched+asked
			return err
		})
		if err != nil {
			t.Fatal(err)
		}
	}
	if targets < 40 || watched < 28 {
		t.Errorf("only %d targets were found, and %d bodies of them", targets, watched)
	}
}

func TestEveryCalculatorHasItsFuzzTarget(t *testing.T) {
	const file = "calc/catalog/list/solve_fuzz_test.go"
	text, err := os.ReadFile(filepath.Join("..", "..", "..", filepath.FromSlash(file)))
	if err != nil {
		t.Fatal(err)
	}
	asked := map[string]bool{}
	for _, target := range regexp.MustCompile(`(?m)^func FuzzSolve\w+\(f \*testing\.F\) +\{ fuzzSolve\(f, "([a-z-]+)"\) \}$`).FindAllSubmatch(text, -1) {
		asked[string(target[1])] = true
	}
	for _, id := range list.IDs() {
		if !asked[id] {
			t.Errorf("%s: %s has no target; add func FuzzSolveName(f *testing.F) { fuzzSolve(f, %q) }", file, id, id)
		}
		delete(asked, id)
	}
	for id := range asked {
		t.Errorf("%s: %s is no calculator", file, id)
	}
}
