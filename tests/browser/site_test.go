// Package browser opens the built site in a real browser: what pages show without scripts, what the live plates do, and
// that nothing a strict host or a careful reader would object to happens on the way.
//
// The site is built once, by the command, and served by it as a host would serve it: `centrode serve -built`. A test
// opens a page with open, asks the page with eval, waits with until, and ends with clean, which fails on any console
// error, exception, refused content or request to another host. Pauses are never timed; a test waits for a condition.
package browser

import (
	"bufio"
	"context"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
)

// patience is how long anything may take that a person would call immediate; two slow cores build beside it.
const patience = 60 * time.Second

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
	stop, err := serveSite(dir)
	if err != nil {
		fmt.Fprintln(os.Stderr, err)
		return 1
	}
	defer stop()
	var quit func()
	if browser, quit, err = startBrowser(chromium, filepath.Join(dir, "profile")); err != nil {
		fmt.Fprintln(os.Stderr, "the browser does not start:", err)
		return 1
	}
	defer quit()
	return m.Run()
}

// findChromium returns the browser named by CHROMIUM, which must exist, or one of the usual names, or "".
func findChromium() (string, error) {
	if name := os.Getenv("CHROMIUM"); name != "" {
		file, err := exec.LookPath(name)
		if err != nil {
			return "", fmt.Errorf("CHROMIUM=%s: is no program: %w", name, err)
		}
		return file, nil
	}
	for _, name := range []string{"chromium", "chromium-browser", "google-chrome"} {
		if file, err := exec.LookPath(name); err == nil {
			return file, nil
		}
	}
	return "", nil
}

// serveSite compiles the command, lets it build the site, and serves the result.
func serveSite(dir string) (stop func(), err error) {
	program = filepath.Join(dir, "centrode")
	public = filepath.Join(dir, "public")
	for _, args := range [][]string{{"go", "build", "-o", program, "./cmd/centrode"}, {program, "build", "-out", public}} {
		cmd := exec.Command(args[0], args[1:]...)
		cmd.Dir = filepath.Join("..", "..")
		if out, err := cmd.CombinedOutput(); err != nil {
			return nil, fmt.Errorf("%s: %w\n%s", strings.Join(args, " "), err, out)
		}
	}
	server := exec.Command(program, "serve", "-built", public, "-addr", "127.0.0.1:0")
	server.Stderr = os.Stderr
	out, err := server.StdoutPipe()
	if err != nil {
		return nil, err
	}
	if err := server.Start(); err != nil {
		return nil, err
	}
	stop = func() {
		server.Process.Signal(os.Interrupt)
		server.Wait()
	}
	lines := bufio.NewScanner(out)
	for lines.Scan() {
		if address, ok := strings.CutPrefix(lines.Text(), "The site is at "); ok {
			origin = strings.TrimSuffix(address, "/")
			go io.Copy(io.Discard, out)
			return stop, nil
		}
	}
	stop()
	return nil, fmt.Errorf("centrode serve told no address: %v", lines.Err())
}

// startBrowser starts the browser without a window, in a profile of its own.
func startBrowser(chromium, profile string) (context.Context, func(), error) {
	options := append(chromedp.DefaultExecAllocatorOptions[:],
		chromedp.ExecPath(chromium), chromedp.UserDataDir(profile), chromedp.DisableGPU,
		chromedp.Flag("disable-quic", true), chromedp.Flag("disable-component-update", true))
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
