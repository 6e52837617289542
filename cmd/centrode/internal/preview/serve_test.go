package preview

import (
	"bufio"
	"bytes"
	"context"
	"errors"
	"net"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"sync/atomic"
	"syscall"
	"testing"
	"time"

	"centrode/cmd/centrode/internal/report"
)

// patience is how long a test waits for what should happen at once.
const patience = 20 * time.Second

func TestAChangeIsBuiltServedAndTold(t *testing.T) {
	p := start(t, func(n int64) (map[string][]byte, error) {
		switch n {
		case 2:
			return nil, report.Problems{{File: "content/lessons/a.md", Line: 7, Text: "title is missing"}, {File: "content/lessons/b.md", Line: 1, Text: "x"}}
		case 3:
			return page("third"), nil
		}
		return page("first"), nil
	})
	events := p.listen(t)
	wantEvent(t, events, `1 ""`)
	if html := p.read(t, "/"); !strings.Contains(html, "first") || !strings.Contains(html, `<script type="module" src="/_preview/reload.js" data-edition="1"></script></head>`) {
		t.Errorf("the page lacks its text or the reload script: %s", html)
	}
	p.change(t, "content/lessons/a.md")
	wantEvent(t, events, `1 "This is the last good site. content/lessons/a.md:7: title is missing (and 1 more; see the terminal)"`)
	if html := p.read(t, "/"); !strings.Contains(html, "first") {
		t.Errorf("after a broken change the last good site is gone: %s", html)
	}
	if said := p.out.String(); !strings.Contains(said, "content/lessons/a.md:7: title is missing\ncontent/lessons/b.md:1: x\n") {
		t.Errorf("the terminal does not tell both problems: %s", said)
	}
	p.change(t, "content/new folder/a.md")
	wantEvent(t, events, `2 ""`)
	if html := p.read(t, "/"); !strings.Contains(html, "third") || !strings.Contains(html, `data-edition="2"`) {
		t.Errorf("the mended site is not served: %s", html)
	}
	if script := p.read(t, "/_preview/reload.js"); !strings.Contains(script, "EventSource") {
		t.Error("the reload script is not served")
	}
	p.stop()
	if err := <-p.ended; err != nil {
		t.Errorf("Serve ended with %v, want nil after a stop", err)
	}
	if said := p.out.String(); !strings.HasSuffix(said, "Stopped.\n") || !strings.Contains(said, "The site is at http://127.0.0.1:") {
		t.Errorf("the terminal was told: %s", said)
	}
}

func TestAChangeOfTheProgramItselfIsOnlyTold(t *testing.T) {
	var builds atomic.Int64
	p := start(t, func(n int64) (map[string][]byte, error) { builds.Store(n); return page("x"), nil })
	p.change(t, "cmd/centrode/main.go")
	waitFor(t, "the advice", func() bool { return strings.Contains(p.out.String(), "stop the preview and start it again") })
	if builds.Load() != 1 {
		t.Errorf("%d builds; a change under cmd alone asks for none", builds.Load())
	}
}

func TestAdviceOnWhatARunningPreviewCannotTakeUp(t *testing.T) {
	for _, c := range []struct {
		changed string
		says    string
		needed  bool
	}{
		{"content/home.md", "", true},
		{"theme/styles/site.css", "", true},
		{"calc/hingearc/solve.go", "the live calculators are compiled again", true},
		{"calc/hingearc/solve_test.go", "", false},
		{"wasm/main.go", "", true},
		{"cmd/centrode/main.go", "start it again", false},
	} {
		advice, needed := advise([]string{c.changed})
		if needed != c.needed || !strings.Contains(advice, c.says) || (c.says == "") != (advice == "") {
			t.Errorf("advise(%s) = %q, %v; want %q, %v", c.changed, advice, needed, c.says, c.needed)
		}
	}
}

func TestAPortInUse(t *testing.T) {
	taken, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	defer taken.Close()
	address := taken.Addr().String()
	_, err = listen(t.Context(), Options{Addr: address})
	if want := "-addr " + address + ": a program listens there, perhaps an earlier serve; stop that, give another port, or leave -addr out to get a free one"; err == nil || err.Error() != want {
		t.Errorf("listen = %v, want %q", err, want)
	}
	built := false
	if err := Serve(t.Context(), Options{Addr: address, Build: func() (map[string][]byte, error) { built = true; return nil, nil }}); err == nil || built {
		t.Errorf("Serve = %v, and built: %v; want the address refused before a build, which may take minutes", err, built)
	}
	if _, err = listen(t.Context(), Options{Addr: "nonsense"}); err == nil || !strings.Contains(err.Error(), "must be HOST:PORT") {
		t.Errorf("listen on nonsense = %v, want it to say what an address is", err)
	}
	for _, err := range []error{syscall.EACCES, &net.OpError{Op: "listen", Err: os.NewSyscallError("bind", syscall.EADDRNOTAVAIL)}} {
		if isTaken("linux", err) {
			t.Errorf("%v is taken for a port in use", err)
		}
	}
	for _, number := range []syscall.Errno{10048, 10013} {
		if err := error(&net.OpError{Op: "listen", Err: os.NewSyscallError("bind", number)}); !isTaken("windows", err) || isTaken("linux", err) {
			t.Errorf("number %d is a port in use on Windows, and nowhere else", number)
		}
	}
	if _, err = listen(t.Context(), Options{Addr: "192.0.2.1:8000"}); err == nil || !strings.Contains(err.Error(), "must be HOST:PORT of this machine") {
		t.Errorf("listen at another machine's address = %v, want it to say whose it must be", err)
	}
	var said bytes.Buffer
	first, err := net.Listen("tcp", DefaultAddr) // taken by this test or by another program: either way it is in use
	if err == nil {
		defer first.Close()
	}
	l, err := listen(t.Context(), Options{Out: &said})
	if err != nil {
		t.Fatal(err)
	}
	defer l.Close()
	if l.Addr().String() == DefaultAddr || !strings.Contains(said.String(), "a free port is used instead") {
		t.Errorf("listens on %v and says %q; want another port and a word about it", l.Addr(), said.String())
	}
}

func TestAFirstBuildWithProblemsEndsThePreview(t *testing.T) {
	broken := errors.New("content/home.md:1: is empty")
	err := Serve(t.Context(), Options{Root: t.TempDir(), Build: func() (map[string][]byte, error) { return nil, broken }, Out: &bytes.Buffer{}})
	if !errors.Is(err, broken) {
		t.Errorf("Serve = %v, want the problems of the build", err)
	}
}

// The first build on a machine takes minutes. A preview that is stopped meanwhile tells no address and does not wait for it.
func TestAPreviewIsStoppedDuringItsFirstBuild(t *testing.T) {
	ctx, stop := context.WithCancel(t.Context())
	begun, held, ended := make(chan struct{}), make(chan struct{}), make(chan error, 1)
	defer close(held)
	out := &safeBuffer{}
	go func() {
		ended <- Serve(ctx, Options{Root: t.TempDir(), Addr: "127.0.0.1:0", Out: out, Build: func() (map[string][]byte, error) {
			close(begun)
			<-held
			return page("x"), nil
		}})
	}()
	<-begun
	stop()
	select {
	case err := <-ended:
		if err != nil || out.String() != "Stopped.\n" {
			t.Errorf("Serve = %v and tells %q, want nil and that it stopped", err, out.String())
		}
	case <-time.After(patience):
		t.Fatal("the preview waits for its first build after it was stopped")
	}
}

// running is a preview of a made-up project.
type running struct {
	root, address string
	out           *safeBuffer
	stop          func()
	ended         chan error
}

func page(text string) map[string][]byte {
	return map[string][]byte{"index.html": []byte("<!doctype html><html><head></head><body>" + text + "</body></html>")}
}

func start(t *testing.T, build func(n int64) (map[string][]byte, error)) *running {
	t.Helper()
	p := &running{root: t.TempDir(), out: &safeBuffer{}, ended: make(chan error, 1)}
	for _, dir := range []string{"content/lessons", "cmd/centrode", "theme"} {
		if err := os.MkdirAll(filepath.Join(p.root, dir), 0o755); err != nil {
			t.Fatal(err)
		}
	}
	ctx, cancel := context.WithCancel(t.Context())
	t.Cleanup(cancel)
	p.stop = cancel
	ready := make(chan string, 1)
	var n atomic.Int64
	go func() {
		p.ended <- Serve(ctx, Options{Root: p.root, Addr: "127.0.0.1:0", Out: p.out, Ready: func(a string) { ready <- a },
			Build: func() (map[string][]byte, error) { return build(n.Add(1)) }})
	}()
	select {
	case p.address = <-ready:
	case err := <-p.ended:
		t.Fatal(err)
	case <-time.After(patience):
		t.Fatal("the preview does not start")
	}
	return p
}

func (p *running) read(t *testing.T, address string) string {
	t.Helper()
	r, err := http.Get(strings.TrimSuffix(p.address, "/") + address)
	if err != nil {
		t.Fatal(err)
	}
	defer r.Body.Close()
	return body(t, r)
}

func (p *running) change(t *testing.T, name string) {
	t.Helper()
	file := filepath.Join(p.root, filepath.FromSlash(name))
	if err := errors.Join(os.MkdirAll(filepath.Dir(file), 0o755), os.WriteFile(file, []byte(time.Now().String()), 0o644)); err != nil {
		t.Fatal(err)
	}
}

// listen opens the stream of events and returns their data as they come.
func (p *running) listen(t *testing.T) <-chan string {
	t.Helper()
	r, err := http.Get(p.address + "_preview/events")
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { r.Body.Close() })
	events := make(chan string, 10)
	go func() {
		for lines := bufio.NewScanner(r.Body); lines.Scan(); {
			if data, ok := strings.CutPrefix(lines.Text(), "data: "); ok {
				events <- data
			}
		}
	}()
	return events
}

func wantEvent(t *testing.T, events <-chan string, want string) {
	t.Helper()
	deadline := time.After(patience)
	last := "nothing"
	for {
		select {
		case last = <-events:
			if last == want {
				return
			}
		case <-deadline:
			t.Fatalf("the page was told %s, want %s", last, want)
		}
	}
}

func waitFor(t *testing.T, what string, is func() bool) {
	t.Helper()
	for deadline := time.Now().Add(patience); !is(); time.Sleep(5 * time.Millisecond) {
		if time.Now().After(deadline) {
			t.Fatalf("%s did not come", what)
		}
	}
}

// safeBuffer is a bytes.Buffer that the preview writes while the test reads.
type safeBuffer struct {
	mu sync.Mutex
	b  bytes.Buffer
}

func (s *safeBuffer) Write(p []byte) (int, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.b.Write(p)
}

func (s *safeBuffer) String() string {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.b.String()
}

func TestTheAddressIsOneThatABrowserGoesTo(t *testing.T) {
	for at, want := range map[string]string{"127.0.0.1:4173": "http://127.0.0.1:4173/", "[::1]:80": "http://[::1]:80/", "[::]:8000": "http://localhost:8000/", "0.0.0.0:8000": "http://localhost:8000/"} {
		addr, err := net.ResolveTCPAddr("tcp", at)
		if err != nil {
			t.Fatal(err)
		}
		if got := addressOf(addr); got != want {
			t.Errorf("%s is told as %s, want %s", at, got, want)
		}
	}
}
