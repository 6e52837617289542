//go:build unix

package site

import (
	"errors"
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// What surrounds a build may be as hostile as it likes: a kill, the disk, another build, links in the output and names in the content.
func TestAWholeBuildKeepsToItsPlace(t *testing.T) {
	if root := os.Getenv(building); root != "" { // the one that is killed
		if _, err := Build(Options{Root: root}); err != nil {
			t.Fatal(err)
		}
		return
	}
	root := fixtureWithCache(t)
	edit(t, root, "edition zero")
	if _, err := Build(Options{Root: root}); err != nil {
		t.Fatal(err)
	}
	public := filepath.Join(root, "public")
	t.Run("killed in any phase", func(t *testing.T) { killedBuilds(t, root) })
	t.Run("a link among the pages leads nowhere", func(t *testing.T) { linkedOutput(t, root, public) })
	t.Run("names like flags and ways out are files or refused", func(t *testing.T) { strangeNames(t, root) })
	t.Run("two builds of two contents do not mix", func(t *testing.T) { twoContents(t, root, public) })
	t.Run("a disk that fills up or is read-only", func(t *testing.T) { smallDisk(t, root) })
}

// linkedOutput puts links where pages should lie: nothing is written or removed behind them.
func linkedOutput(t *testing.T, root, public string) {
	outside := filepath.Join(t.TempDir(), "outside")
	plant(t, outside, map[string]string{"index.html": "precious", "the-only-one/index.html": "precious too"})
	want := tree(t, outside)
	if err := errors.Join(os.RemoveAll(filepath.Join(public, "lessons")), os.Symlink(outside, filepath.Join(public, "lessons"))); err != nil {
		t.Fatal(err)
	}
	before, err := os.ReadFile(filepath.Join(public, "index.html"))
	if err != nil {
		t.Fatal(err)
	}
	edit(t, root, "an edition that is not to be seen")
	_, err = Build(Options{Root: root})
	if err == nil || !strings.Contains(err.Error(), filepath.Join(public, "lessons")+": was not written by this program") {
		t.Errorf("a link where the lessons should be: %v", err)
	}
	if got := tree(t, outside); !maps.Equal(got, want) {
		t.Errorf("the folder behind a link holds %v now (%v)", got, err)
	}
	if home, err := os.ReadFile(filepath.Join(public, "index.html")); err != nil || string(home) != string(before) {
		t.Errorf("the old home page is gone: %v", err)
	}
	if err := os.Remove(filepath.Join(public, "lessons")); err != nil {
		t.Fatal(err)
	}
	if _, err := Build(Options{Root: root}); err != nil {
		t.Errorf("without the link: %v", err)
	}
}

// strangeNames puts files of strange names into the content, and then lessons that lead out of it.
func strangeNames(t *testing.T, root string) {
	data, err := os.ReadFile(filepath.Join(root, "content", "lessons", "the-only-one.md"))
	if err != nil {
		t.Fatal(err)
	}
	order := 1
	lesson := func(text string) string { // each has a place of its own, or that two have one would be what is told of them
		order++
		return strings.Replace(string(data), "order: 1", fmt.Sprintf("order: %d%s", order, text), 1)
	}
	before := outsideOf(t, root)
	refused := func(files map[string]string, places, others []string) {
		restore := overwrite(t, root, files)
		defer restore()
		_, _, err := Check(Options{Root: root})
		said := fmt.Sprint(err)
		for _, place := range places {
			if !strings.Contains(said, place) {
				t.Errorf("%s; want a refusal that names %s", said, place)
			}
		}
		for _, other := range others {
			if strings.Contains(said, other) {
				t.Errorf("%s; nothing is wrong with %s", said, other)
			}
		}
	}
	const harmless = "content/lessons/harmless.md"
	files, places, others := map[string]string{harmless: lesson("")}, []string{}, []string{harmless}
	for _, name := range []string{"-rf.md", "--out.md", "-out=x.md", "a..b.md", "a b;rm -rf ..md", "$(x).md"} {
		files["content/lessons/"+name], places = lesson(""), append(places, "content/lessons/"+name)
	}
	for _, name := range []string{"..md", "...md", "..%2fx.md"} { // no editor's leavings and nobody's hidden files are read
		files["content/lessons/"+name], others = lesson(""), append(others, "content/lessons/"+name)
	}
	refused(files, places, others)
	files, places = map[string]string{harmless: lesson("")}, []string{}
	for i, text := range []string{"needs: [../home]", "needs: [-rf]", "plates: [../../calc]", "sources: [../../../etc/passwd]"} {
		file := fmt.Sprintf("content/lessons/out-%d.md", i)
		files[file], places = lesson("\n"+text), append(places, file+":")
	}
	refused(files, places, []string{harmless})
	if after := outsideOf(t, root); !maps.Equal(before, after) {
		t.Errorf("the project's folder held %v and holds %v", before, after)
	}
}

// outsideOf lists what lies in the project and beside it.
func outsideOf(t *testing.T, root string) map[string]bool {
	t.Helper()
	names := map[string]bool{}
	for _, dir := range []string{root, filepath.Dir(root)} {
		entries, err := os.ReadDir(dir)
		if err != nil {
			t.Fatal(err)
		}
		for _, e := range entries {
			names[e.Name()] = true
		}
	}
	return names
}

// twoContents builds two books into one folder at once: it is then wholly the one or the other.
func twoContents(t *testing.T, root, public string) {
	over := filepath.Join(t.TempDir(), "studio")
	plant(t, over, map[string]string{"home.md": "---\ntitle: Another book\nsummary: Theirs.\n---\n\nWords.\n"})
	var alone []map[string]string
	for _, o := range []Options{{Root: root}, {Root: root, Overlay: over}} {
		if _, err := Build(o); err != nil {
			t.Fatal(err)
		}
		alone = append(alone, tree(t, public))
	}
	errs := make(chan error, 2)
	for _, o := range []Options{{Root: root}, {Root: root, Overlay: over}} {
		go func() { _, err := Build(o); errs <- err }()
	}
	if err := errors.Join(<-errs, <-errs); err != nil {
		t.Fatal(err)
	}
	if got := tree(t, public); maps.Equal(alone[0], alone[1]) || !maps.Equal(got, alone[0]) && !maps.Equal(got, alone[1]) {
		t.Error("the folder holds neither the one book nor the other")
	}
	if leftovers, err := filepath.Glob(filepath.Join(root, ".*.building")); err != nil || len(leftovers) > 0 {
		t.Errorf("left over: %v %v", leftovers, err)
	}
	if _, err := Built(public); err != nil {
		t.Error(err)
	}
}

// smallDisk builds where there is room for half a site, and where nothing can be written.
func smallDisk(t *testing.T, root string) {
	disk := mounted(t, "24m")
	o := Options{Root: root, Out: filepath.Join(disk, "public")}
	if _, err := Build(o); err != nil {
		t.Fatal(err)
	}
	old := tree(t, o.Out)
	edit(t, root, "an edition for which there is no room")
	if _, err := Build(o); err == nil || !strings.Contains(err.Error(), "the disk is full: free some space") {
		t.Errorf("a disk with room for one site and not for two: %v", err)
	}
	wantSite(t, "a full disk", o.Out, old)
	if err := remount(disk, "ro"); err != nil {
		t.Skipf("the disk cannot be made read-only: %v", err)
	}
	if _, err := Build(o); err == nil || !strings.Contains(err.Error(), "choose another with -out") {
		t.Errorf("a read-only disk: %v", err)
	}
	wantSite(t, "a read-only disk", o.Out, old)
	if err := remount(disk, "rw,size=64m"); err != nil {
		t.Fatal(err)
	}
	if _, err := Build(o); err != nil {
		t.Errorf("with room again: %v", err)
	}
	if inside, _ := filepath.Glob(filepath.Join(disk, ".*")); len(inside) > 0 {
		t.Errorf("left over: %v", inside)
	}
}

func wantSite(t *testing.T, when, dir string, want map[string]string) {
	t.Helper()
	if got := tree(t, dir); !maps.Equal(got, want) {
		t.Errorf("%s: the site has %d files, want the %d old ones as they were", when, len(got), len(want))
	}
}
