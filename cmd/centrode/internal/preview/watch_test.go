package preview

import (
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"
)

func TestAStudiosFolderIsWatchedToo(t *testing.T) {
	for _, through := range []string{"its name", "a link"} {
		t.Run(through, func(t *testing.T) { studioIsWatched(t, through == "a link") })
	}
}

func studioIsWatched(t *testing.T, linked bool) {
	root, also := t.TempDir(), t.TempDir()
	called := also
	if linked {
		called = filepath.Join(t.TempDir(), "studio")
		if err := os.Symlink(also, called); err != nil {
			t.Skip("this system lets nobody make links: ", err)
		}
	}
	for _, dir := range []string{filepath.Join(root, "content"), filepath.Join(also, "lessons")} {
		if err := os.MkdirAll(dir, 0o755); err != nil {
			t.Fatal(err)
		}
	}
	done := make(chan struct{})
	defer close(done)
	changes, err := watch(root, called, done)
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(also, "lessons", "ours.md"), []byte("x"), 0o644); err != nil {
		t.Fatal(err)
	}
	select {
	case list := <-changes:
		if !slices.ContainsFunc(list, func(name string) bool { return strings.HasSuffix(name, "lessons/ours.md") }) {
			t.Errorf("told %q", list)
		}
		if _, needed := advise(list); !needed {
			t.Errorf("%q asks for no build", list)
		}
	case <-time.After(patience):
		t.Fatal("a change in the studio's folder is not told")
	}
}

// The page of changes and its feed show CHANGELOG.md, which lies beside the folders that are watched; a site that is built there is no
// change, nor is what an editor or a system leaves among the content.
func TestTheChangesAreWatchedToo(t *testing.T) {
	root := t.TempDir()
	if err := os.MkdirAll(filepath.Join(root, "content"), 0o755); err != nil {
		t.Fatal(err)
	}
	done := make(chan struct{})
	defer close(done)
	changes, err := watch(root, "", done)
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range []string{"public/index.html", "notes.txt", "content/desktop.ini", "content/Thumbs.db", "content/.home.md.swp", "CHANGELOG.md"} {
		file := filepath.Join(root, filepath.FromSlash(name))
		if err := os.MkdirAll(filepath.Dir(file), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(file, []byte("x"), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	select {
	case list := <-changes:
		if _, needed := advise(list); !slices.Equal(list, []string{"CHANGELOG.md"}) || !needed {
			t.Errorf("told %q, a build is needed: %v", list, needed)
		}
	case <-time.After(30 * time.Second):
		t.Fatal("a change of CHANGELOG.md is not told")
	}
}
