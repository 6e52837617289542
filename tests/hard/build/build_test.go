// Package build measures how long the build of a long book takes, and what a change of it costs.
package build

import (
	"bufio"
	"bytes"
	"errors"
	"flag"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"slices"
	"strconv"
	"strings"
	"syscall"
	"testing"
	"time"

	"centrode/tests/generated"
)

var sizes = flag.String("lessons", "", "numbers of lessons to build, as in 1000,10000; nothing is measured without it")

// base is a book that is long already, and is compressed as such. What more lessons take beyond it is the time of lessons alone,
// without what every build does once. A few less would be compressed as an ordinary book, which takes minutes.
const base = 700

// What is held to. The aim is 1.5 times the floor; DEVELOPERS.md says what is in the way. Of 1.2 times the time of a lesson in a book of 1,000 and 100 ms by the clock for a word, which
// are reached on a machine that does nothing else, the second is held as time of a core, which load moves less.
const (
	mostOverFloor = 12
	mostGrowth    = 1.2
	mostMemory    = 1000                   // MiB
	mostRebuild   = 200 * time.Millisecond // of a core
)

// spent is what a run took: by the clock, by all cores together, and at its largest.
type spent struct {
	clock, cores time.Duration
	peak         int // MiB
}

// TestBuildAgainstItsFloor prints a table, and holds it to what is reached. A long book is not in the project's cache; what is, is
// compressed theme and calculators, and the first build fills it, so that the others differ in their lessons alone.
func TestBuildAgainstItsFloor(t *testing.T) {
	if *sizes == "" {
		t.Skip("takes minutes: go test -v -timeout 2h ./tests/hard/build -lessons 1000,10000")
	}
	root, err := filepath.Abs("../../..")
	if err != nil {
		t.Fatal(err)
	}
	tool, cache := made(t, root), filepath.Join(t.TempDir(), "cache")
	cold := built(t, root, tool, base, cache)
	few := built(t, root, tool, base, cache)
	t.Logf("cores %d; %d lessons take %v (%v of all cores), theme, WebAssembly, fonts and plates among it; with those in the cache %v (%v)", runtime.GOMAXPROCS(0), base,
		cold.clock.Round(time.Second), cold.cores.Round(time.Second), few.clock.Round(time.Second), few.cores.Round(time.Second))
	t.Logf("%8s | %10s %10s | %10s %10s %12s | %12s %6s %6s", "lessons", "floor", "of cores", "build", "of cores", "calculators", "one more", "ratio", "MiB")
	var first time.Duration
	for text := range strings.SplitSeq(*sizes, ",") {
		n, err := strconv.Atoi(text)
		if err != nil || n <= base {
			t.Fatalf("-lessons %s: must be whole numbers over %d with commas between them", text, base)
		}
		low, own := floor(t, n), calculators(t, n)
		whole := built(t, root, tool, n, cache)
		more := (whole.cores - few.cores) / time.Duration(n-base)
		ratio := (more - own/time.Duration(n)).Seconds() * float64(n) / low.cores.Seconds()
		t.Logf("%8d | %10v %10v | %10v %10v %12v | %12v %6.2f %6d", n, low.clock.Round(time.Millisecond), low.cores.Round(time.Millisecond), whole.clock.Round(time.Millisecond),
			whole.cores.Round(time.Millisecond), own.Round(time.Millisecond), more.Round(time.Microsecond), ratio, whole.peak)
		each := whole.cores / time.Duration(n) // steadier than the difference of two runs
		if first == 0 {
			first = each
		}
		if growth := each.Seconds() / first.Seconds(); ratio > mostOverFloor || growth > mostGrowth || whole.peak > mostMemory {
			t.Errorf("%d lessons: a lesson more takes %.1f times the floor, a lesson %.2f times that of the first book, the build %d MiB; want at most %v, %v and %d",
				n, ratio, growth, whole.peak, mostOverFloor, mostGrowth, mostMemory)
		}
	}
}

// made compiles the command.
func made(t *testing.T, root string) string {
	t.Helper()
	tool := filepath.Join(t.TempDir(), "centrode")
	command(t, root, "go", "build", "-o", tool, "./cmd/centrode")
	return tool
}

// project writes a book of n lessons, without anything that an earlier build left.
func project(t *testing.T, root string, n int) string {
	t.Helper()
	dir := filepath.Join(t.TempDir(), "book")
	if err := generated.Write(root, dir, n); err != nil {
		t.Fatal(err)
	}
	return dir
}

// built builds a book of n lessons with what is in the cache, and leaves there what the build has added.
func built(t *testing.T, root, tool string, n int, cache string) spent {
	t.Helper()
	dir := project(t, root, n)
	defer os.RemoveAll(dir)
	if err := errors.Join(os.MkdirAll(cache, 0o755), os.Symlink(cache, filepath.Join(dir, ".cache"))); err != nil {
		t.Fatal(err)
	}
	build := exec.Command(tool, "build")
	build.Dir = dir
	var told bytes.Buffer
	build.Stdout, build.Stderr = &told, &told
	start := time.Now()
	if err := build.Start(); err != nil {
		t.Fatal(err)
	}
	done := make(chan error, 1)
	go func() { done <- build.Wait() }()
	for peak := 0; ; {
		select {
		case err := <-done:
			if err != nil {
				t.Fatalf("%v: %s", err, told.Bytes())
			}
			state := build.ProcessState
			return spent{time.Since(start), state.UserTime() + state.SystemTime(), peak}
		case <-time.After(50 * time.Millisecond):
			peak = max(peak, resident(build.Process.Pid))
		}
	}
}

// resident is the greatest memory that a process has had, in MiB, without the compiler and Node, which it starts; Linux tells.
func resident(pid int) int {
	status, _ := os.ReadFile("/proc/" + strconv.Itoa(pid) + "/status") // gone when the process has ended
	_, after, _ := strings.Cut(string(status), "VmHWM:")
	field, _, _ := strings.Cut(strings.TrimSpace(after), " ")
	kib, _ := strconv.Atoi(field)
	return kib >> 10
}

func command(t *testing.T, dir, name string, args ...string) {
	t.Helper()
	cmd := exec.Command(name, args...)
	cmd.Dir = dir
	if out, err := cmd.CombinedOutput(); err != nil {
		t.Fatalf("%s %v: %v\n%s", name, args, err, out)
	}
}

// TestRebuild measures what a preview takes after one word of one lesson has changed.
func TestRebuild(t *testing.T) {
	if *sizes == "" {
		t.Skip("takes minutes: go test -v -timeout 2h ./tests/hard/build -lessons 1000")
	}
	root, err := filepath.Abs("../../..")
	if err != nil {
		t.Fatal(err)
	}
	n, _ := strconv.Atoi(strings.Split(*sizes, ",")[0])
	tool := made(t, root)
	dir := project(t, root, n)
	serve := exec.Command(tool, "serve", "-addr", "127.0.0.1:0")
	serve.Dir, serve.Stderr = dir, os.Stderr
	out, err := serve.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := serve.Start(); err != nil {
		t.Fatal(err)
	}
	defer func() {
		_ = serve.Process.Signal(syscall.SIGTERM)
		_ = serve.Wait()
	}()
	lines := bufio.NewScanner(out)
	until := func(word string) string {
		for lines.Scan() {
			if strings.Contains(lines.Text(), word) {
				return lines.Text()
			}
		}
		t.Fatalf("serve ended before it said %q", word)
		return ""
	}
	until("http://")
	name := filepath.Join(dir, filepath.FromSlash(generated.File(n/2)))
	var times []time.Duration
	for i := range 12 {
		text, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		time.Sleep(time.Second)
		if err := os.WriteFile(name, bytes.TrimRight(append(text, " Word"+strconv.Itoa(i)+".\n"...), " "), 0o644); err != nil {
			t.Fatal(err)
		}
		before := running(serve.Process.Pid)
		line := until("Built again")
		took := running(serve.Process.Pid) - before
		t.Logf("%s (%v of a core)", line, took)
		times = append(times, took)
	}
	slices.Sort(times)
	if median := times[len(times)/2]; median > mostRebuild {
		t.Errorf("a preview of %d lessons is built again in %v of a core, want at most %v", n, median, mostRebuild)
	}
}

// running is what a process has had of all cores; Linux tells, in hundredths of a second.
func running(pid int) time.Duration {
	stat, _ := os.ReadFile("/proc/" + strconv.Itoa(pid) + "/stat") // fields 14 and 15, counted from behind the name in brackets
	_, after, _ := strings.Cut(string(stat), ") ")
	fields := strings.Fields(after)
	if len(fields) < 13 {
		return 0
	}
	user, _ := strconv.Atoi(fields[11])
	system, _ := strconv.Atoi(fields[12])
	return time.Duration(user+system) * 10 * time.Millisecond
}
