//go:build unix

package site

import (
	"bufio"
	"errors"
	"fmt"
	"io/fs"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"syscall"
	"testing"
	"time"

	"centrode/cmd/centrode/internal/scaffold"
)

// writing names the folder that a copy of this test writes one edition after another to, until it is killed.
const writing = "CENTRODE_TEST_WRITES"

// issue is a site whose every file tells which edition it is of, and how many there are.
func issue(n int) map[string]string {
	files := map[string]string{}
	for i := range 20 + n%30 {
		files[fmt.Sprintf("lessons/%d/index.html", i)] = fmt.Sprintf("%d of %d", n, 20+n%30)
	}
	return files
}

// A real process is killed at a moment that nobody chose; KILLS says how often (tests/hard/long.sh asks for 500).
func TestABuilderKilledAtAnyMomentLeavesOneWholeSite(t *testing.T) {
	if dir := os.Getenv(writing); dir != "" {
		o, err := newOutput(dir)
		if err != nil {
			t.Fatal(err)
		}
		for n := 1; ; n++ {
			put(t, o, issue(n))
			fmt.Println("written")
		}
	}
	kills, _ := strconv.Atoi(os.Getenv("KILLS"))
	kills = max(kills, 10)
	o := outputIn(t, "public")
	put(t, o, issue(0))
	plant(t, o.dir, map[string]string{"CNAME": "mine"})
	for range kills {
		spent := killOne(t, o.dir)
		wantOneEdition(t, o.dir, spent)
		put(t, o, issue(0))
		want := issue(0)
		want["CNAME"] = "mine"
		wantTree(t, o.dir, want)
		wantNothing(t, o.work)
		if t.Failed() {
			return
		}
	}
}

// killOne starts a builder, and ends it some time after its first site; it returns that time.
func killOne(t *testing.T, dir string) time.Duration {
	t.Helper()
	child := exec.Command(os.Args[0], "-test.run=^TestABuilderKilledAtAnyMomentLeavesOneWholeSite$")
	child.Env = append(os.Environ(), writing+"="+dir)
	out, err := child.StdoutPipe()
	if err := errors.Join(err, child.Start()); err != nil {
		t.Fatal(err)
	}
	lines := bufio.NewScanner(out)
	if !lines.Scan() || lines.Text() != "written" {
		t.Errorf("the builder says %q", lines.Text())
	}
	after := time.Duration(rand.Int64N(int64(60 * time.Millisecond)))
	time.Sleep(after)
	if err := child.Process.Signal(syscall.SIGKILL); err != nil {
		t.Errorf("the builder ended by itself: %v", err)
	}
	_ = child.Wait() // says that it was killed
	return after
}

// wantOneEdition reads the whole folder: every file is of the same edition, and all of them are there.
func wantOneEdition(t *testing.T, dir string, spent time.Duration) {
	t.Helper()
	first, files := "", 0
	err := filepath.WalkDir(dir, func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || d.Name() == manifestName {
			return err
		}
		data, err := os.ReadFile(name)
		switch text := string(data); {
		case d.Name() == "CNAME":
			return err
		case first == "":
			first = text
		case text != first:
			t.Errorf("killed after %v: %s is of %q among files of %q", spent, name, text, first)
		}
		files++
		return err
	})
	if _, many, _ := strings.Cut(first, " of "); err != nil || many != strconv.Itoa(files) {
		t.Errorf("killed after %v: %d files of edition %q, %v", spent, files, first, err)
	}
	if name, err := os.ReadFile(filepath.Join(dir, "CNAME")); err != nil || string(name) != "mine" {
		t.Errorf("killed after %v: the file of somebody else holds %q, %v", spent, name, err)
	}
}

// mounted is a disk of its own with so much room, for as long as the test runs.
func mounted(t *testing.T, size string) string {
	t.Helper()
	disk := filepath.Join(t.TempDir(), "disk")
	if err := os.Mkdir(disk, 0o755); err != nil {
		t.Fatal(err)
	}
	if out, err := exec.Command("mount", "-t", "tmpfs", "-o", "size="+size, "none", disk).CombinedOutput(); err != nil {
		t.Skipf("only one who may mount can make a small disk: %v, %s", err, out)
	}
	t.Cleanup(func() { _ = exec.Command("umount", disk).Run() })
	return disk
}

// remount changes how a disk of mounted is mounted.
func remount(disk, how string) error {
	if out, err := exec.Command("mount", "-o", "remount,"+how, disk).CombinedOutput(); err != nil {
		return fmt.Errorf("%w, %s", err, out)
	}
	return nil
}

// A disk that is full or read-only refuses in the middle of a file, which no made-up fault does.
func TestAFullOrReadOnlyDiskLeavesTheOldSite(t *testing.T) {
	disk := mounted(t, "512k")
	o, err := newOutput(filepath.Join(disk, "public"))
	if err != nil {
		t.Fatal(err)
	}
	old := map[string]string{"index.html": "old"}
	put(t, o, old)
	err = tryPut(t, o, map[string]string{"index.html": "new", "big.html": strings.Repeat("x", 1<<20)})
	if err == nil || !strings.Contains(err.Error(), "the disk is full: free some space") {
		t.Errorf("a full disk: %v", err)
	}
	wantTree(t, o.dir, old)
	put(t, o, map[string]string{"index.html": "newer"})
	wantTree(t, o.dir, map[string]string{"index.html": "newer"})
	wantNothing(t, o.work)
	if err := remount(disk, "ro"); err != nil {
		t.Skipf("the disk cannot be made read-only: %v", err)
	}
	err = tryPut(t, o, map[string]string{"index.html": "newest"})
	if err == nil || !strings.Contains(err.Error(), "choose another with -out") {
		t.Errorf("a read-only disk: %v", err)
	}
	wantTree(t, o.dir, map[string]string{"index.html": "newer"})
}

// What is placed where there is no room for all of it leaves nothing behind.
func TestWhatFindsNoRoomIsTakenBack(t *testing.T) {
	disk := mounted(t, "512k")
	files := []scaffold.File{{Path: "a.md", Content: []byte("short")}, {Path: "b.md", Content: make([]byte, 1<<20)},
		{Path: "list.go", Content: make([]byte, 1<<20), Replaces: true}}
	for _, list := range [][]scaffold.File{files[:2], files[2:]} {
		if placed, err := Place(disk, list); err == nil {
			t.Errorf("placed %q on a disk that is too small", placed)
		}
		if left, err := os.ReadDir(disk); err != nil || len(left) > 0 {
			t.Errorf("left behind: %v (%v)", left, err)
		}
	}
}

// A project on a disk that cannot be written, as in a container, is built with a cache elsewhere; -out says where the site goes.
func TestAProjectOnAReadOnlyDiskHasItsCacheElsewhere(t *testing.T) {
	disk := mounted(t, "512k")
	if err := os.MkdirAll(filepath.Join(disk, ".cache", "wasm"), 0o755); err != nil {
		t.Fatal(err)
	}
	if err := remount(disk, "ro"); err != nil {
		t.Skipf("the disk cannot be made read-only: %v", err)
	}
	w, err := openCache(disk, nil)
	if err != nil {
		t.Fatal(err)
	}
	defer w.close()
	if strings.HasPrefix(w.tools, disk) || os.WriteFile(filepath.Join(w.tools, "x"), nil, 0o644) != nil {
		t.Errorf("the cache is in %s, where nothing can be written", w.tools)
	}
}
