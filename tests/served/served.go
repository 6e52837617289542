// Package served builds the site with the command and serves it as a host would (`centrode serve -built`), for tests that
// open its pages in browsers.
package served

import (
	"bufio"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
)

// Loaded is a script expression that says that a page has loaded; Alive, that its scripts have found what they bring to life, too.
const (
	Loaded = `document.readyState === 'complete'`
	Alive  = Loaded + ` && performance.getEntriesByName('alive').length > 0`
)

// Site is a built site while it is served.
type Site struct {
	Origin  string // "http://127.0.0.1:PORT"
	Public  string // the folder that was built
	Program string // the command that built it
}

// Start compiles the command into dir, lets it build the site there, and serves the result until stop is called. Where
// BUILT names a folder with both in it, as tests/run.sh does, that is served, so a run builds its site once. The tests lie
// one folder below tests, so the project's root is two above the working folder.
func Start(dir string) (site Site, stop func(), err error) {
	built := os.Getenv("BUILT")
	if built == "" {
		built = dir
	}
	site = Site{Program: filepath.Join(built, "centrode"), Public: filepath.Join(built, "public")}
	if built == dir {
		if err := site.build(); err != nil {
			return Site{}, nil, err
		}
	}
	server := exec.Command(site.Program, "serve", "-built", site.Public, "-addr", "127.0.0.1:0")
	server.Stderr = os.Stderr
	out, err := server.StdoutPipe()
	if err != nil {
		return Site{}, nil, err
	}
	if err := server.Start(); err != nil {
		return Site{}, nil, err
	}
	stop = func() {
		server.Process.Signal(os.Interrupt)
		server.Wait()
	}
	lines := bufio.NewScanner(out)
	for lines.Scan() {
		if address, ok := strings.CutPrefix(lines.Text(), "The site is at "); ok {
			site.Origin = strings.TrimSuffix(address, "/")
			go io.Copy(io.Discard, out)
			return site, stop, nil
		}
	}
	stop()
	return Site{}, nil, fmt.Errorf("centrode serve told no address: %v", lines.Err())
}

func (s Site) build() error {
	for _, args := range [][]string{{"go", "build", "-o", s.Program, "./cmd/centrode"}, {s.Program, "build", "-out", s.Public}} {
		cmd := exec.Command(args[0], args[1:]...)
		cmd.Dir = filepath.Join("..", "..")
		if out, err := cmd.CombinedOutput(); err != nil {
			return fmt.Errorf("%s: %w\n%s", strings.Join(args, " "), err, out)
		}
	}
	return nil
}
