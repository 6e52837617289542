package browser

import (
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"

	"centrode/tests/copied"
)

// A writer's round: the page reloads by itself after a change, tells why it could not after a broken one, and follows
// again when that is mended.
func TestTheWritersPageFollowsTheFiles(t *testing.T) {
	parallel(t)
	project := smallProject(t)
	home := filepath.Join(project, "content", "home.md")
	write := func(words string) {
		t.Helper()
		must(t, os.WriteFile(home, []byte("---\ntitle: A small book\nsummary: One page.\n---\n\n"+words+"\n"), 0o644))
	}
	write("First words.")
	tb := open(t, "/", view{})
	tb.preview(t, project)
	tb.until(t, `document.body.textContent.includes('First words.')`)
	write("Other words.")
	tb.until(t, `document.body.textContent.includes('Other words.')`)
	write("[[no such term]]")
	tb.until(t, `document.querySelector('.preview-trouble')?.textContent.includes('content/home.md:6')`)
	if !eval[bool](t, tb, `document.body.textContent.includes('Other words.') && getComputedStyle(document.querySelector('.preview-trouble')).position === 'fixed'`) {
		t.Error("with a broken page, the last good one must stay, and the line about it be seen")
	}
	write("Mended words.")
	tb.until(t, `document.body.textContent.includes('Mended words.') && !document.querySelector('.preview-trouble')`)
	tb.clean(t)
}

// A lesson is written the same way: what breaks it is told on the terminal with its place, and the last good page stays.
func TestABrokenLessonIsToldWithItsPlaceAndTheLastGoodPageStays(t *testing.T) {
	parallel(t)
	project := smallProject(t)
	must(t, os.WriteFile(filepath.Join(project, "content", "home.md"), []byte("---\ntitle: A small book\nsummary: One page.\n---\n\nWords.\n"), 0o644))
	scaffold := exec.Command(program, "new", "lesson", "the-long-neck", "-calculator", "hinge-arc")
	scaffold.Dir = project
	if out, err := scaffold.CombinedOutput(); err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	file := filepath.Join(project, "content", "lessons", "the-long-neck.md")
	good, err := os.ReadFile(file)
	must(t, err)
	before, _, found := strings.Cut(string(good), "expect:\n")
	if !found {
		t.Fatal("the new lesson expects nothing")
	}
	tb := blank(t, view{})
	told := tb.preview(t, project)
	tb.visit(t, tb.home+"/lessons/the-long-neck/")
	tb.until(t, `document.querySelector('h1') !== null`)
	must(t, os.WriteFile(file, append(good, "\nA sentence that came later.\n"...), 0o644))
	tb.until(t, `document.body.textContent.includes('A sentence that came later.')`)
	lines := strings.SplitAfter(string(good), "\n")
	at := strings.Count(before, "\n") + 1 // the line under "expect:"
	lines[at] = lines[at][:strings.Index(lines[at], ":")] + ": 77.777 cm\n"
	must(t, os.WriteFile(file, []byte(strings.Join(lines, "")), 0o644))
	place := "content/lessons/the-long-neck.md:" + strconv.Itoa(at+1) + ": first-example: "
	tb.until(t, `document.querySelector('.preview-trouble')?.textContent.includes('`+place+`')`)
	if !eval[bool](t, tb, `document.body.textContent.includes('A sentence that came later.')`) {
		t.Error("the last good page is gone")
	}
	if text := told(); !strings.Contains(text, place) || !strings.Contains(text, "expected 77.777 cm") {
		t.Errorf("the terminal says\n%s\nwant the place %s", text, place)
	}
	must(t, os.WriteFile(file, good, 0o644))
	tb.until(t, `!document.querySelector('.preview-trouble') && !document.body.textContent.includes('A sentence that came later.')`)
	tb.clean(t)
}

// smallProject copies what a preview needs, with content that the test writes.
func smallProject(t *testing.T) string {
	t.Helper()
	dir := filepath.Join(t.TempDir(), "handbook")
	copied.Parts(t, filepath.Join("..", ".."), dir, "theme", "calc", "wasm", "cmd", "go.mod", "go.sum", "content/sources.json", "content/glossary.yaml")
	return dir
}

// preview starts centrode serve in the project and opens its first page; told is what it has printed so far.
func (tb *tab) preview(t *testing.T, project string) (told func() string) {
	t.Helper()
	var log lockedText
	server := exec.Command(program, "serve", "-addr", "127.0.0.1:0")
	server.Dir = project
	server.Stdout, server.Stderr = &log, &log
	must(t, server.Start())
	t.Cleanup(func() {
		server.Process.Signal(os.Interrupt)
		server.Wait()
	})
	for deadline := time.Now().Add(patience); time.Now().Before(deadline); time.Sleep(20 * time.Millisecond) {
		if _, rest, found := strings.Cut(log.text(), "The site is at "); found && strings.Contains(rest, "\n") {
			address, _, _ := strings.Cut(rest, "\n")
			tb.visit(t, address)
			return log.text
		}
	}
	t.Fatalf("centrode serve told no address:\n%s", log.text())
	return nil
}

// lockedText gathers what a program prints while the test reads it.
type lockedText struct {
	mu   sync.Mutex
	data strings.Builder
}

func (l *lockedText) Write(p []byte) (int, error) {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.data.Write(p)
}

func (l *lockedText) text() string {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.data.String()
}
