//go:build unix

package site

import (
	"errors"
	"fmt"
	"maps"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"syscall"
	"testing"
	"time"
)

// building names the project that a copy of this test builds once, as the command does.
const building = "CENTRODE_TEST_BUILDS"

// What the disk tells of how far a build has come.
const (
	preparing   = "before its folder" // reading, proving
	rendering   = "rendering"         // the folder is there, with no page in it
	compressing = "writing and compressing"
	exchanging  = "sealed, before the exchange"
	clearing    = "clearing the old site away"
	finished    = "finished"
)

var phases = []string{preparing, rendering, compressing, exchanging, clearing, finished}

// phaseOf looks at the disk; edition is the text that only the new home page holds.
func phaseOf(o *output, edition string) string {
	list, err := os.ReadFile(filepath.Join(o.fresh(), manifestName))
	home, _ := os.ReadFile(filepath.Join(o.dir, "index.html"))
	live := strings.Contains(string(home), edition)
	_, gone := os.Lstat(o.fresh())
	switch {
	case live && gone != nil:
		return finished
	case live:
		return clearing
	case gone != nil:
		return preparing
	case err != nil || len(list) <= len(manifestHead)+len(draftName)+1:
		return rendering
	case strings.HasPrefix(string(list), manifestHead+draftName):
		return compressing
	}
	return exchanging
}

// killedBuilds kills a real build of a whole site, half of the times at a moment that nobody chose and half as soon as a phase is
// seen to begin. What is published is then the old site or the one that the next build makes, byte for byte.
// KILLS says how often (tests/hard/long.sh asks for 500); from 60 on, each phase must have been hit.
func killedBuilds(t *testing.T, root string) {
	kills, _ := strconv.Atoi(os.Getenv("KILLS"))
	kills = max(kills, 5)
	o, err := newOutput(filepath.Join(root, "public"))
	if err != nil {
		t.Fatal(err)
	}
	foreign := map[string]string{}
	for i := range 300 { // they are carried over one by one, so that there is time to be killed in
		foreign[fmt.Sprintf("others/%d/file.txt", i)] = "mine"
	}
	plant(t, o.dir, foreign)
	edit(t, root, "edition one")
	began := time.Now()
	if _, err := Build(Options{Root: root}); err != nil {
		t.Fatal(err)
	}
	usual := time.Since(began)
	hit := map[string]int{}
	old := tree(t, o.dir)
	for n := range kills {
		edition := fmt.Sprintf("edition %d of many", n)
		edit(t, root, edition)
		hit[killBuild(t, o, root, edition, n, usual)]++
		left := tree(t, o.dir)
		if _, err := Build(Options{Root: root}); err != nil {
			t.Fatal(err)
		}
		whole := tree(t, o.dir)
		if !maps.Equal(left, old) && !maps.Equal(left, whole) {
			t.Errorf("kill %d: what is published is neither the old site nor the new one: %d files, old %d, new %d", n, len(left), len(old), len(whole))
		}
		if !strings.Contains(whole["index.html"], edition) || whole["others/7/file.txt"] != "mine" || len(whole) != len(old) {
			t.Errorf("kill %d: the next build has %d files, want %d, and the home page of %s", n, len(whole), len(old), edition)
		}
		wantNothing(t, o.work)
		if t.Failed() {
			return
		}
		old = whole
	}
	t.Logf("%d kills, a build takes %v: %v", kills, usual.Round(time.Millisecond), hit)
	for _, phase := range phases {
		if kills >= 60 && hit[phase] == 0 {
			t.Errorf("no kill fell into the phase %q", phase)
		}
	}
}

// edit writes a home page with words that no other has.
func edit(t *testing.T, root, words string) {
	t.Helper()
	plant(t, root, map[string]string{"content/home.md": "---\ntitle: A small book\nsummary: One lesson.\n---\n\nThis is " + words + ". " + strings.Repeat("It has more to say. ", 60) + "\n"})
}

// killBuild starts a builder and kills it, at a random moment or in the phase whose turn it is; it returns the phase that the disk shows.
func killBuild(t *testing.T, o *output, root, edition string, n int, usual time.Duration) string {
	t.Helper()
	child := exec.Command(os.Args[0], "-test.run=^TestAWholeBuildKeepsToItsPlace$")
	child.Env = append(os.Environ(), building+"="+root)
	child.SysProcAttr = &syscall.SysProcAttr{Setpgid: true} // what it started goes with it
	if err := child.Start(); err != nil {
		t.Fatal(err)
	}
	ended := make(chan error, 1)
	go func() { ended <- child.Wait() }()
	aim, chance := phases[(n/2)%len(phases)], n%2 == 0
	within := usual * 5 / 4
	if !chance && aim == preparing {
		within = 20 * time.Millisecond
	}
	after := time.NewTimer(time.Duration(rand.Int64N(int64(within))))
	look := time.NewTicker(200 * time.Microsecond)
	defer look.Stop()
	for {
		select {
		case err := <-ended:
			if err != nil {
				t.Errorf("the builder ended by itself: %v", err)
			}
			return phaseOf(o, edition)
		case <-after.C:
			if chance || aim == preparing {
				return end(t, child, ended, o, edition)
			}
		case <-look.C:
			if !chance && aim != preparing && aim != finished && phaseOf(o, edition) == aim {
				return end(t, child, ended, o, edition)
			}
		}
	}
}

func end(t *testing.T, child *exec.Cmd, ended chan error, o *output, edition string) string {
	t.Helper()
	if err := syscall.Kill(-child.Process.Pid, syscall.SIGKILL); err != nil && !errors.Is(err, syscall.ESRCH) {
		t.Error(err)
	}
	<-ended
	return phaseOf(o, edition)
}
