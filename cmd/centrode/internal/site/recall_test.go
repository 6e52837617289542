package site

import (
	"os"
	"path/filepath"
	"testing"
	"time"

	"centrode/cmd/centrode/internal/keep"
)

func TestAFileIsReadAgainUnlessItIsTheSameAndLongSettled(t *testing.T) {
	name := filepath.Join(t.TempDir(), "a.md")
	reads := 0
	r := newRecall(keep.New())
	read := func(want string, anew bool) {
		t.Helper()
		before := reads
		data, err := r.read(name, func() (os.FileInfo, error) { return os.Lstat(name) }, func() ([]byte, error) { reads++; return os.ReadFile(name) })
		if err != nil || string(data) != want || (reads > before) != anew {
			t.Errorf("read %q (%v), anew %v; want %q, anew %v", data, err, reads > before, want, anew)
		}
	}
	write := func(text string, at time.Time) {
		t.Helper()
		if err := os.WriteFile(name, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
		if err := os.Chtimes(name, at, at); err != nil {
			t.Fatal(err)
		}
	}
	old := time.Now().Add(-time.Hour)
	write("one", old)
	read("one", true)
	read("one", false)
	write("two", old.Add(time.Nanosecond)) // as long as before
	read("two", true)
	write("three", old.Add(time.Nanosecond)) // at the same time
	read("three", true)
	now := time.Now()
	write("four.", now) // too young for its time to be believed
	read("four.", true)
	write("five.", now)
	read("five.", true)
	write("other", old)
	read("other", true)
	moved := name + ".new"
	if err := os.WriteFile(moved, []byte("moved"), 0o644); err != nil {
		t.Fatal(err)
	}
	if err := os.Chtimes(moved, old, old); err != nil {
		t.Fatal(err)
	}
	if err := os.Rename(moved, name); err != nil { // another file of the same size and time
		t.Fatal(err)
	}
	read("moved", true)
	if err := os.Remove(name); err != nil {
		t.Fatal(err)
	}
	if data, err := r.read(name, func() (os.FileInfo, error) { return os.Lstat(name) }, func() ([]byte, error) { return os.ReadFile(name) }); err == nil {
		t.Errorf("a file that is gone holds %q", data)
	}
}

// A listing tells a file's size and time, but of a link those of the link itself.
func TestWhatALinkLeadsToIsReadAgainWhenItHasChanged(t *testing.T) {
	dir, old := t.TempDir(), time.Now().Add(-time.Hour)
	for _, name := range []string{"a.md", "b.md"} {
		if err := os.WriteFile(filepath.Join(dir, name), []byte("one"), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	if err := os.Symlink("b.md", filepath.Join(dir, "link.md")); err != nil {
		t.Fatal(err)
	}
	time.Sleep(settled + 100*time.Millisecond) // else the link itself is too young to be remembered
	kept := keep.New()
	read := func(want string) {
		t.Helper()
		tree := newRecalling(os.DirFS(dir), kept) // one for each build
		if entries, err := tree.ReadDir("."); err != nil || len(entries) != 3 {
			t.Fatalf("%d files (%v), want 3", len(entries), err)
		}
		for _, name := range []string{"a.md", "link.md"} {
			if data, err := tree.ReadFile(name); err != nil || string(data) != want {
				t.Errorf("%s holds %q (%v), want %q", name, data, err, want)
			}
		}
		kept.Turn(true)
	}
	for _, text := range []string{"one", "two"} {
		for _, name := range []string{"a.md", "b.md"} {
			if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o644); err != nil {
				t.Fatal(err)
			}
			if err := os.Chtimes(filepath.Join(dir, name), old, old); err != nil {
				t.Fatal(err)
			}
		}
		old = old.Add(time.Second)
		read(text)
		read(text)
	}
}
