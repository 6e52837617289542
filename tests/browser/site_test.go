// Package browser opens the built site in a real browser: what pages show without scripts, what the live plates do, and
// that nothing a strict host or a careful reader would object to happens on the way.
//
// The site is built once, by the command, and served by it as a host would serve it: `centrode serve -built`. A test
// opens a page with open, asks the page with eval, waits with until, and ends with clean, which fails on any console
// error, exception, refused content or request to another host. Pauses are never timed; a test waits for a condition.
package browser

import (
	"context"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"testing"
	"time"

	"github.com/chromedp/chromedp"

	"centrode/tests/served"
)

// patience is how long anything may take that a person would call immediate; two slow cores build beside it.
const patience = 180 * time.Second

var (
	origin  string          // "http://127.0.0.1:PORT"
	public  string          // the folder that was built
	program string          // the command that built it
	browser context.Context // whose tabs the tests open
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
	var quit func()
	if browser, quit, err = startBrowser(chromium, filepath.Join(dir, "profile"), plainBrowser); err != nil {
		fmt.Fprintln(os.Stderr, "the browser does not start:", err)
		return 1
	}
	defer quit()
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

// plainBrowser adds nothing to a browser.
func plainBrowser(*chromedp.ExecAllocator) {}

// startBrowser starts the browser without a window, in a profile of its own.
func startBrowser(chromium, profile string, more chromedp.ExecAllocatorOption) (context.Context, func(), error) {
	options := append(chromedp.DefaultExecAllocatorOptions[:],
		chromedp.ExecPath(chromium), chromedp.UserDataDir(profile), chromedp.DisableGPU,
		chromedp.Flag("disable-quic", true), chromedp.Flag("disable-component-update", true),
		chromedp.Flag("font-render-hinting", "none"), more) // letters lie as in a browser with a window
	if os.Getuid() == 0 {
		options = append(options, chromedp.NoSandbox) // the sandbox refuses root
	}
	allocator, release := chromedp.NewExecAllocator(context.Background(), options...)
	ctx, cancel := chromedp.NewContext(allocator)
	if err := chromedp.Do(ctx); err != nil { // starts it
		cancel()
		release()
		return nil, nil, err
	}
	return ctx, func() { cancel(); release() }, nil
}
