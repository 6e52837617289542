package bound

import (
	"strings"
	"testing"
	"time"
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
	for begin := spent(); spent()-begin < d; {
		kept = kept[:0]
	}
}
