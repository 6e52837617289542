package browser

import (
	"bufio"
	"errors"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// A writer's round: the page reloads by itself after a change, tells why it could not after a broken one, and follows
// again when that is mended.
func TestTheWritersPageFollowsTheFiles(t *testing.T) {
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

// smallProject copies what a preview needs, with content that the test writes.
func smallProject(t *testing.T) string {
	t.Helper()
	dir := filepath.Join(t.TempDir(), "handbook")
	for _, name := range []string{"theme", "calc", "wasm", "cmd"} {
		must(t, os.CopyFS(filepath.Join(dir, name), os.DirFS(filepath.Join("..", "..", name))))
	}
	must(t, os.Mkdir(filepath.Join(dir, "content"), 0o755))
	for _, name := range []string{"go.mod", "go.sum", "content/sources.json", "content/glossary.yaml"} {
		data, err := os.ReadFile(filepath.Join("..", "..", filepath.FromSlash(name)))
		must(t, errors.Join(err, os.WriteFile(filepath.Join(dir, filepath.FromSlash(name)), data, 0o644)))
	}
	return dir
}

// preview starts centrode serve in the project and opens its first page.
func (tb *tab) preview(t *testing.T, project string) {
	t.Helper()
	server := exec.Command(program, "serve", "-addr", "127.0.0.1:0")
	server.Dir = project
	server.Stderr = os.Stderr
	out, err := server.StdoutPipe()
	must(t, err)
	must(t, server.Start())
	t.Cleanup(func() {
		server.Process.Signal(os.Interrupt)
		server.Wait()
	})
	lines := bufio.NewScanner(out)
	for lines.Scan() {
		if address, ok := strings.CutPrefix(lines.Text(), "The site is at "); ok {
			go io.Copy(io.Discard, out)
			tb.visit(t, address)
			return
		}
	}
	t.Fatalf("centrode serve told no address: %v", lines.Err())
}
