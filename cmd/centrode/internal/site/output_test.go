package site

import (
	"errors"
	"io/fs"
	"maps"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"syscall"
	"testing"
	"time"
)

func TestASiteIsWrittenAndReplaced(t *testing.T) {
	o := outputIn(t, "public")
	put(t, o, map[string]string{"index.html": "one", "lessons/a/index.html": "a", "assets/x.css": "x"})
	put(t, o, map[string]string{"index.html": "two", "lessons/b/index.html": "b"})
	wantTree(t, o.dir, map[string]string{"index.html": "two", "lessons/b/index.html": "b"})
	wantNothing(t, o.work)
}

func TestForeignFilesSurviveARebuild(t *testing.T) {
	for _, way := range []struct {
		name string
		swap func(a, b string) error
	}{
		{"one exchange", exchange},
		{"two renames", func(a, b string) error { return errors.ErrUnsupported }},
	} {
		t.Run(way.name, func(t *testing.T) {
			o := outputIn(t, "public")
			put(t, o, map[string]string{"index.html": "one", "lessons/a/index.html": "a"})
			plant(t, o.dir, map[string]string{"CNAME": "example.org", "lessons/a/draft.txt": "mine", "notes/deep/n.txt": "n"})
			if err := os.Mkdir(filepath.Join(o.dir, "empty"), 0o755); err != nil {
				t.Fatal(err)
			}
			if err := os.Symlink("CNAME", filepath.Join(o.dir, "link")); err != nil {
				t.Fatal(err)
			}
			o.swap = way.swap
			put(t, o, map[string]string{"index.html": "two"})
			wantTree(t, o.dir, map[string]string{"index.html": "two", "CNAME": "example.org", "lessons/a/draft.txt": "mine",
				"notes/deep/n.txt": "n", "link": "example.org"})
			if info, err := os.Stat(filepath.Join(o.dir, "empty")); err != nil || !info.IsDir() {
				t.Errorf("the empty folder of somebody else is gone: %v", err)
			}
			wantNothing(t, o.work)
		})
	}
}

func TestAFolderOfOthersIsRefused(t *testing.T) {
	o := outputIn(t, "documents")
	plant(t, o.dir, map[string]string{"thesis.txt": "years of work"})
	_, err := o.prepare(locker{})
	want := o.dir + ": holds files that this program did not write, such as thesis.txt; give it a new or empty folder with -out"
	if err == nil || err.Error() != want {
		t.Errorf("prepare = %v, want %q", err, want)
	}
	wantTree(t, o.dir, map[string]string{"thesis.txt": "years of work"})
	wantNothing(t, o.work)
}

func TestAForeignFileOfAPagesNameIsRefused(t *testing.T) {
	o := outputIn(t, "public")
	put(t, o, map[string]string{"index.html": "one"})
	plant(t, o.dir, map[string]string{"robots.txt": "mine"})
	release := ready(t, o)
	defer release()
	_, err := o.write(map[string][]byte{"index.html": []byte("two"), "robots.txt": []byte("ours")})
	if err == nil || !strings.Contains(err.Error(), "robots.txt: was not written by this program") {
		t.Errorf("write = %v, want a refusal that names robots.txt", err)
	}
	wantTree(t, o.dir, map[string]string{"index.html": "one", "robots.txt": "mine"})
}

// The n-th step fails, for every n until none does; the old site stands each time, and the next build goes through.
func TestEveryFailingStepLeavesTheOldSite(t *testing.T) {
	old := map[string]string{"index.html": "old", "lessons/a/index.html": "a", "CNAME": "mine"}
	for _, swap := range []func(a, b string) error{exchange, func(a, b string) error { return errors.ErrUnsupported }} {
		for n := 0; ; n++ {
			o := outputIn(t, "public")
			put(t, o, map[string]string{"index.html": "old", "lessons/a/index.html": "a"})
			plant(t, o.dir, map[string]string{"CNAME": "mine"})
			step := 0
			o.swap = swap
			o.fault = func(op, name string) error {
				if step++; step > n {
					return &fs.PathError{Op: op, Path: name, Err: syscall.ENOSPC}
				}
				return nil
			}
			err := tryPut(t, o, map[string]string{"index.html": "new", "b.html": "b"})
			if err == nil {
				if n < 6 {
					t.Fatalf("only %d steps could fail; a build has at least 6", n)
				}
				wantTree(t, o.dir, map[string]string{"index.html": "new", "b.html": "b", "CNAME": "mine"})
				break
			}
			if !strings.Contains(err.Error(), "the disk is full: free some space") || !strings.Contains(err.Error(), "unchanged") {
				t.Errorf("step %d: %v does not say what to do", n, err)
			}
			wantTree(t, o.dir, old)
			o.fault, o.swap = nil, exchange
			put(t, o, map[string]string{"index.html": "newer"})
			wantTree(t, o.dir, map[string]string{"index.html": "newer", "CNAME": "mine"})
			wantNothing(t, o.work)
		}
	}
}

// A kill is a step after which nothing more runs: the process state is dropped and a new one recovers from the disk.
func TestAKilledBuildIsClearedUpByTheNext(t *testing.T) {
	for _, dance := range []bool{false, true} {
		for n := 0; ; n++ {
			o := outputIn(t, "public")
			put(t, o, map[string]string{"index.html": "old"})
			plant(t, o.dir, map[string]string{"CNAME": "mine"})
			killed := kill(t, o, n, dance)
			again, err := newOutput(o.dir)
			if err != nil {
				t.Fatal(err)
			}
			put(t, again, map[string]string{"index.html": "newer"})
			wantTree(t, o.dir, map[string]string{"index.html": "newer", "CNAME": "mine"})
			wantNothing(t, o.work)
			if !killed {
				break
			}
		}
	}
}

// kill runs a build that dies at its n-th step and reports whether it got so far.
func kill(t *testing.T, o *output, n int, dance bool) (died bool) {
	t.Helper()
	type death struct{}
	defer func() {
		if r := recover(); r != nil {
			if _, ok := r.(death); !ok {
				panic(r)
			}
			died = true
		}
	}()
	if dance {
		o.swap = func(a, b string) error { return errors.ErrUnsupported }
	}
	release := ready(t, o)
	release() // the system frees a dead process's lock
	step := 0
	o.fault = func(op, name string) error {
		if step++; step > n {
			panic(death{})
		}
		return nil
	}
	if err := os.MkdirAll(o.work, 0o755); err != nil {
		t.Fatal(err)
	}
	_, err := o.write(map[string][]byte{"index.html": []byte("new"), "b.html": []byte("b")})
	if err != nil {
		t.Fatal(err)
	}
	return false
}

func TestAnOutputInsideAFileIsRefusedWithAdvice(t *testing.T) {
	dir := t.TempDir()
	plant(t, dir, map[string]string{"file": "x"})
	o, err := newOutput(filepath.Join(dir, "file", "public"))
	if err != nil {
		t.Fatal(err)
	}
	if _, err = o.prepare(locker{}); err == nil || !strings.Contains(err.Error(), "choose another folder with -out") {
		t.Errorf("prepare = %v, want advice to choose another folder", err)
	}
	o, err = newOutput(filepath.Join(dir, "file"))
	if err != nil {
		t.Fatal(err)
	}
	if _, err = o.prepare(locker{}); err == nil || !strings.Contains(err.Error(), "is a file") {
		t.Errorf("prepare = %v, want it to say that the output is a file", err)
	}
}

func TestAFolderWithoutWriteRightIsRefusedWithAdvice(t *testing.T) {
	if os.Getuid() == 0 || runtime.GOOS == "windows" {
		t.Skip("no folder is closed to this user")
	}
	dir := t.TempDir()
	if err := os.Chmod(dir, 0o555); err != nil {
		t.Fatal(err)
	}
	o, err := newOutput(filepath.Join(dir, "public"))
	if err != nil {
		t.Fatal(err)
	}
	if _, err = o.prepare(locker{}); err == nil || !strings.Contains(err.Error(), "cannot be written by you") {
		t.Errorf("prepare = %v, want advice", err)
	}
}

// A rename that Windows refuses because something is open is tried again; one that fails for another reason is not.
func TestWhatAnotherProgramHasOpenIsWaitedFor(t *testing.T) {
	o := outputIn(t, "public")
	put(t, o, map[string]string{"index.html": "old"})
	scanned, tries := errors.New("scanned"), 0
	o.swap = func(a, b string) error { return errors.ErrUnsupported }
	o.held = func(err error) bool { return errors.Is(err, scanned) }
	o.fault = func(op, name string) error {
		if tries++; op == "rename" && tries%4 != 0 {
			return scanned
		}
		return nil
	}
	put(t, o, map[string]string{"index.html": "new"})
	wantTree(t, o.dir, map[string]string{"index.html": "new"})
	tries, o.fault = 0, func(op, name string) error {
		if op != "rename" {
			return nil
		}
		tries++
		return fs.ErrPermission
	}
	if err := tryPut(t, o, map[string]string{"index.html": "newer"}); err == nil || tries != 1 {
		t.Errorf("without the right to write it is tried %d times, %v", tries, err)
	}
	wantTree(t, o.dir, map[string]string{"index.html": "new"})
}

func TestTheErrorsOfWindowsAreKnown(t *testing.T) {
	for number, want := range map[syscall.Errno]trouble{5: inUse, 32: inUse, 33: inUse, 39: full, 112: full, 17: fixed, 19: forbidden, 6: other} {
		err := error(&os.LinkError{Op: "rename", Old: "a", New: "b", Err: number})
		if got := troubleOn("windows", err); got != want {
			t.Errorf("number %d is taken for %d, want %d", number, got, want)
		}
		if got := troubleOn("linux", err); got == inUse {
			t.Errorf("number %d of another system is taken for one of Windows", number)
		}
	}
}

func TestTwoBuildsDoNotMix(t *testing.T) {
	o := outputIn(t, "public")
	release := ready(t, o)
	var said []string
	_, err := o.prepare(locker{wait: 120 * time.Millisecond, note: func(line string) { said = append(said, line) }})
	if err == nil || !strings.Contains(err.Error(), "another build") {
		t.Errorf("prepare while another build writes = %v, want a refusal", err)
	}
	if len(said) != 1 || !strings.HasPrefix(said[0], "Waiting for another build (process ") {
		t.Errorf("said %q, want one line that it waits and for which process", said)
	}
	release()
	ready(t, o)()
	wantNothing(t, o.work)
}

func TestAManifestCannotReachOutside(t *testing.T) {
	o := outputIn(t, "public")
	put(t, o, map[string]string{"index.html": "one"})
	outside := filepath.Join(filepath.Dir(o.dir), "precious.txt")
	plant(t, filepath.Dir(o.dir), map[string]string{"precious.txt": "p"})
	plant(t, o.dir, map[string]string{manifestName: manifestHead + "../precious.txt\n..\\..\\precious.txt\n/etc/nothing\n.\nindex.html\n"})
	put(t, o, map[string]string{"index.html": "two"})
	if _, err := os.Stat(outside); err != nil {
		t.Errorf("a damaged manifest made the build delete a file outside: %v", err)
	}
}

// outputIn returns an output folder of the name in a fresh folder.
func outputIn(t *testing.T, name string) *output {
	t.Helper()
	o, err := newOutput(filepath.Join(t.TempDir(), name))
	if err != nil {
		t.Fatal(err)
	}
	return o
}

func ready(t *testing.T, o *output) (release func()) {
	t.Helper()
	release, err := o.prepare(locker{})
	if err != nil {
		t.Fatal(err)
	}
	return release
}

func put(t *testing.T, o *output, files map[string]string) {
	t.Helper()
	if err := tryPut(t, o, files); err != nil {
		t.Fatal(err)
	}
}

func tryPut(t *testing.T, o *output, files map[string]string) error {
	t.Helper()
	release, err := o.prepare(locker{})
	if err != nil {
		return err
	}
	defer release()
	data := map[string][]byte{}
	for name, text := range files {
		data[name] = []byte(text)
	}
	note, err := o.write(data)
	if note != "" {
		t.Errorf("note: %s", note)
	}
	return err
}

// write makes files the whole site.
func (o *output) write(files map[string][]byte) (note string, err error) {
	if err := o.begin(); err != nil {
		return "", errors.Join(err, o.abandon())
	}
	for _, name := range slices.Sorted(maps.Keys(files)) {
		o.put(name, files[name])
	}
	return o.finish()
}

// plant writes files as somebody else would.
func plant(t *testing.T, dir string, files map[string]string) {
	t.Helper()
	for name, text := range files {
		file := filepath.Join(dir, filepath.FromSlash(name))
		if err := errors.Join(os.MkdirAll(filepath.Dir(file), 0o755), os.WriteFile(file, []byte(text), 0o644)); err != nil {
			t.Fatal(err)
		}
	}
}

// wantTree compares the files under dir, the manifest aside, with want.
func wantTree(t *testing.T, dir string, want map[string]string) {
	t.Helper()
	got := map[string]string{}
	err := filepath.WalkDir(dir, func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || d.Name() == manifestName {
			return err
		}
		data, err := os.ReadFile(name)
		rel, _ := filepath.Rel(dir, name)
		got[filepath.ToSlash(rel)] = string(data)
		return err
	})
	if err != nil || !maps.Equal(got, want) {
		t.Errorf("%s holds %v (%v), want %v", filepath.Base(dir), slices.Sorted(maps.Keys(got)), err, slices.Sorted(maps.Keys(want)))
	}
}

func wantNothing(t *testing.T, name string) {
	t.Helper()
	if _, err := os.Lstat(name); !errors.Is(err, fs.ErrNotExist) {
		inside, _ := filepath.Glob(filepath.Join(name, "*"))
		t.Errorf("%s is left over: %v %v", filepath.Base(name), err, inside)
	}
}

// A site that came from somewhere else may list a link, and files behind it, as its own: the link goes, and what it leads to stays.
func TestNothingBehindALinkIsRemoved(t *testing.T) {
	for range 4 { // a list has no order of its own
		o := outputIn(t, "public")
		put(t, o, map[string]string{"index.html": "one"})
		elsewhere := t.TempDir()
		plant(t, elsewhere, map[string]string{"thesis.txt": "years of work"})
		if err := os.Symlink(elsewhere, filepath.Join(o.dir, "assets")); err != nil {
			t.Fatal(err)
		}
		plant(t, o.dir, map[string]string{manifestName: manifestHead + "assets/thesis.txt\nassets\nindex.html\n"})
		put(t, o, map[string]string{"index.html": "two", "assets/x.css": "x"})
		wantTree(t, elsewhere, map[string]string{"thesis.txt": "years of work"})
		wantTree(t, o.dir, map[string]string{"index.html": "two", "assets/x.css": "x"})
		wantNothing(t, o.work)
	}
}

// A link to a folder that is not there yet stays one, and the folder is made: also where the link ends in a slash, or leads to another.
func TestAnOutputBehindALinkIsMadeThere(t *testing.T) {
	dir := t.TempDir()
	link := filepath.Join(dir, "public")
	for _, to := range []string{filepath.Join("disk", "site"), "slashed/", "second/"} {
		there := filepath.Join(dir, to)
		if to == "second/" {
			there = filepath.Join(dir, "last")
			if err := os.Symlink("last/", filepath.Join(dir, "second")); err != nil {
				t.Fatal(err)
			}
		}
		os.Remove(link)
		if err := os.Symlink(to, link); err != nil {
			t.Fatal(err)
		}
		for range 2 {
			o, err := newOutput(link)
			if err != nil {
				t.Fatal(err)
			}
			put(t, o, map[string]string{"index.html": "one"})
			wantTree(t, there, map[string]string{"index.html": "one"})
			if info, err := os.Lstat(link); err != nil || info.Mode().Type() != os.ModeSymlink {
				t.Errorf("the link is now %v, %v", info, err)
			}
		}
	}
	if err := errors.Join(os.Remove(link), os.Symlink("public", link)); err != nil {
		t.Fatal(err)
	}
	if _, err := newOutput(link); !errors.Is(err, syscall.ELOOP) {
		t.Errorf("a link to itself: %v", err)
	}
}
