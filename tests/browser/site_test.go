// Package browser opens the built site in a real browser: what pages show without scripts, what the live plates do, and
// that nothing a strict host or a careful reader would object to happens on the way.
//
// The site is built once, by the command, and served by it as a host would serve it: `centrode serve -built`. A test
// opens a page with open, asks the page with eval, waits with until, and ends with clean, which fails on any console
// error, exception, refused content or request to another host. Pauses are never timed; a test waits for a condition.
package browser

import (
	"fmt"
	"os"
	"os/exec"
	"testing"
	"time"

	"centrode/tests/served"
)

// patience is how long anything may take that a person would call immediate; two slow cores build beside it.
const patience = 180 * time.Second

var (
	origin  string // "http://127.0.0.1:PORT"
	public  string // the folder that was built
	program string // the command that built it
)

func TestMain(m *testing.M) { os.Exit(run(m)) }

func run(m *testing.M) (status int) {
	chromium, err := findChromium()
	if err != nil {
		fmt.Fprintln(os.Stderr, err)
		return 1
	}
	if chromium == "" {
		fmt.Fprintln(os.Stderr, "No Chromium was found, so no page is opened; tests/run.sh installs one.")
		return 0
	}
	dir, err := os.MkdirTemp("", "centrode-browser-")
	if err != nil {
		fmt.Fprintln(os.Stderr, err)
		return 1
	}
	defer os.RemoveAll(dir)
	site, stop, err := served.Start(dir)
	if err != nil {
		fmt.Fprintln(os.Stderr, err)
		return 1
	}
	defer stop()
	origin, public, program = site.Origin, site.Public, site.Program
	browsers.chromium, browsers.profiles = chromium, dir
	defer browsers.quit()
	first, err := browsers.take()
	if err != nil {
		fmt.Fprintln(os.Stderr, "the browser does not start:", err)
		return 1
	}
	browsers.giveBack(first)
	return m.Run()
}

// findChromium returns the browser named by CHROMIUM, which must exist, or one of the usual names, or "". The first is the
// same engine without a window of its own, whose pages would take half of a small machine.
func findChromium() (string, error) {
	if name := os.Getenv("CHROMIUM"); name != "" {
		file, err := exec.LookPath(name)
		if err != nil {
			return "", fmt.Errorf("CHROMIUM=%s: is no program: %w", name, err)
		}
		return file, nil
	}
	for _, name := range []string{"chromium-headless-shell", "chromium", "chromium-browser", "google-chrome"} {
		if file, err := exec.LookPath(name); err == nil {
			return file, nil
		}
	}
	return "", nil
}
