package preview

import (
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"net"
	"net/http"
	"runtime"
	"strconv"
	"strings"
	"syscall"
	"time"

	"centrode/cmd/centrode/internal/report"
)

// DefaultAddr is where the preview listens when nothing else is asked for; if it is taken, a free port is found.
const DefaultAddr = "127.0.0.1:4173"

// Options says what to serve and where.
type Options struct {
	Root  string                            // project folder, watched for changes
	Also  string                            // another folder to watch; "" for none
	Build func() (map[string][]byte, error) // makes the whole site in memory
	Addr  string                            // "": DefaultAddr, or a free port if that is taken
	Out   io.Writer                         // what the person at the terminal reads
	Ready func(address string)              // called once when the first page can be asked for; may be nil
}

// Serve builds, serves and watches until ctx ends, and then stops in order. A first build with problems is an error;
// a later one is told of on the terminal and in open pages, and the last good site stays up.
func Serve(ctx context.Context, o Options) error {
	listener, err := listen(ctx, o) // before the build: who gave a wrong address learns it at once
	if err != nil {
		return err
	}
	defer listener.Close() // again where it served, which does nothing
	files, err := firstBuild(ctx, o)
	if ctx.Err() != nil {
		fmt.Fprintln(o.Out, "Stopped.")
		return nil
	}
	if err != nil {
		return err
	}
	shelf := NewShelf(files)
	shelf.live = newLive()
	done := make(chan struct{})
	changes, err := watch(o.Root, o.Also, done)
	if err != nil {
		return fmt.Errorf("watching %s: %w", o.Root, err)
	}
	server := newServer(named(shelf, listener.Addr(), o.Addr))
	failed := make(chan error, 1)
	go func() { failed <- server.Serve(listener) }()
	address := addressOf(listener.Addr())
	fmt.Fprintf(o.Out, ready+"Edit content/ or theme/ and the page reloads by itself. Press Ctrl+C to stop.\n", address)
	if o.Ready != nil {
		o.Ready(address)
	}
	err = rebuildUntil(ctx, o, shelf, changes, failed)
	close(done)
	shelf.live.close()
	stopping, cancel := context.WithTimeout(context.Background(), 5*time.Second)
	defer cancel()
	return errors.Join(err, server.Shutdown(stopping))
}

// firstBuild builds until ctx ends. A build cannot be called back, and the first one on a machine takes minutes: whoever stops the preview
// meanwhile is not kept waiting. What it leaves undone ends with the process.
func firstBuild(ctx context.Context, o Options) (files map[string][]byte, err error) {
	type made struct {
		files map[string][]byte
		err   error
	}
	built := make(chan made, 1)
	go func() {
		files, err := o.Build()
		built <- made{files, err}
	}()
	select {
	case <-ctx.Done():
		return nil, ctx.Err()
	case m := <-built:
		return m.files, m.err
	}
}

// ready is the line that tells where to look.
const ready = "The site is at %s\n"

// addressOf is where a browser on this machine finds the site. One that listens everywhere is asked as localhost: [::] is no place to go to.
func addressOf(at net.Addr) string {
	if tcp, ok := at.(*net.TCPAddr); ok && tcp.IP.IsUnspecified() {
		return "http://localhost:" + strconv.Itoa(tcp.Port) + "/"
	}
	return "http://" + at.String() + "/"
}

func newServer(h http.Handler) *http.Server {
	return &http.Server{Handler: h, ReadHeaderTimeout: 5 * time.Second, ReadTimeout: 10 * time.Second,
		WriteTimeout: time.Minute, IdleTimeout: 2 * time.Minute, MaxHeaderBytes: 1 << 16}
}

// named answers only where a browser asks for this machine: a page of some other site can have its name lead here, and would then read a
// studio's unfinished lessons as if they were its own. Who has it listen to other machines, which know it by names that it does not, is
// left alone.
func named(h http.Handler, at net.Addr, asked string) http.Handler {
	if tcp, ok := at.(*net.TCPAddr); !ok || !tcp.IP.IsLoopback() {
		return h
	}
	own := hostOf(asked)
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		host := hostOf(r.Host)
		if net.ParseIP(host) == nil && host != "localhost" && !strings.HasSuffix(host, ".localhost") && (host == "" || host != own) {
			http.Error(w, "this preview is for the machine it runs on: ask it as localhost, or by the address it printed", http.StatusMisdirectedRequest)
			return
		}
		h.ServeHTTP(w, r)
	})
}

// hostOf is the name in HOST:PORT or HOST, as names are compared.
func hostOf(address string) string {
	if host, _, err := net.SplitHostPort(address); err == nil {
		address = host
	}
	return strings.ToLower(strings.TrimSuffix(strings.Trim(address, "[]"), "."))
}

// ServeBuilt serves files as a host would, neither watching nor adding to pages, until ctx ends. Of the options it uses
// Addr, Out and Ready.
func ServeBuilt(ctx context.Context, files map[string][]byte, o Options) error {
	listener, err := listen(ctx, o)
	if err != nil {
		return err
	}
	server := newServer(named(NewShelf(files), listener.Addr(), o.Addr))
	failed := make(chan error, 1)
	go func() { failed <- server.Serve(listener) }()
	address := addressOf(listener.Addr())
	fmt.Fprintf(o.Out, ready+"It is served as built; a later build does not show until you start again. Press Ctrl+C to stop.\n", address)
	if o.Ready != nil {
		o.Ready(address)
	}
	select {
	case err := <-failed:
		return err
	case <-ctx.Done():
	}
	fmt.Fprintln(o.Out, "Stopped.")
	stopping, cancel := context.WithTimeout(context.Background(), 5*time.Second)
	defer cancel()
	return server.Shutdown(stopping)
}

// rebuildUntil builds after each change until ctx ends (nil) or the server fails.
func rebuildUntil(ctx context.Context, o Options, shelf *Shelf, changes <-chan []string, failed <-chan error) error {
	for {
		runtime.GC() // while the author reads; the next build finds memory free, which takes half the time of asking the system for it
		select {
		case <-ctx.Done():
			fmt.Fprintln(o.Out, "Stopped.")
			return nil
		case err := <-failed:
			return err
		case changed := <-changes:
			rebuild(o, shelf, changed)
		}
	}
}

func rebuild(o Options, shelf *Shelf, changed []string) {
	advice, needed := advise(changed)
	if advice != "" {
		fmt.Fprintln(o.Out, advice)
	}
	if !needed {
		return
	}
	start := time.Now()
	files, err := o.Build()
	if err != nil {
		fmt.Fprintf(o.Out, "%v\nThe last good site is still served.\n", err)
		shelf.live.set(func(s *status) { s.trouble = trouble(err) })
		return
	}
	shelf.Put(files)
	shelf.live.set(func(s *status) { s.edition++; s.trouble = "" })
	fmt.Fprintf(o.Out, "Built again in %.2f s: %s\n", time.Since(start).Seconds(), report.Harmless(strings.Join(changed, ", ")))
}

// advise says what a running preview cannot take up, and whether a build is of use at all.
func advise(changed []string) (advice string, needed bool) {
	var command, calculators bool
	for _, name := range changed {
		top, _, _ := strings.Cut(name, "/")
		switch {
		case top == "cmd":
			command = true
		case top == "calc" && !strings.HasSuffix(name, "_test.go"):
			calculators, needed = true, true
		case !strings.HasSuffix(name, "_test.go"):
			needed = true
		}
	}
	switch {
	case command:
		advice = "Code under cmd/ changed: stop the preview and start it again to see the effect."
	case calculators:
		advice = "Code under calc/ changed: the live calculators are compiled again; the figures and numbers that stand in the pages come from the running program, so start the preview again to see them change."
	}
	return advice, needed
}

// trouble is the one line that an open page shows.
func trouble(err error) string {
	var list report.Problems
	if errors.As(err, &list) && len(list) > 0 {
		first := list[0].String()
		if more := len(list) - 1; more > 0 {
			return fmt.Sprintf("This is the last good site. %s (and %d more; see the terminal)", first, more)
		}
		return "This is the last good site. " + first
	}
	first, _, _ := strings.Cut(err.Error(), "\n")
	return "This is the last good site. " + first
}

// listen opens the asked address; only the default one may be replaced by a free port.
func listen(ctx context.Context, o Options) (net.Listener, error) {
	var config net.ListenConfig
	if o.Addr != "" {
		l, err := config.Listen(ctx, "tcp", o.Addr)
		switch {
		case err == nil:
			return l, nil
		case isTaken(runtime.GOOS, err):
			return nil, fmt.Errorf("-addr %s: a program listens there, perhaps an earlier serve; stop that, give another port, or leave -addr out to get a free one", o.Addr)
		case errors.Is(err, fs.ErrPermission):
			return nil, fmt.Errorf("-addr %s: this system keeps that port from you; give one above 1023 (%w)", o.Addr, err)
		}
		return nil, fmt.Errorf("-addr %s: must be HOST:PORT of this machine, such as %s (%w)", o.Addr, DefaultAddr, err)
	}
	l, err := config.Listen(ctx, "tcp", DefaultAddr)
	if isTaken(runtime.GOOS, err) {
		fmt.Fprintf(o.Out, "%s is taken, perhaps by an earlier serve; a free port is used instead.\n", DefaultAddr)
		return config.Listen(ctx, "tcp", "127.0.0.1:0")
	}
	return l, err
}

// isTaken recognises that a port is in use. Windows has numbers of its own for that, which Go does not take for the other systems': one where
// a program listens, and one where a program wants to be alone or the system keeps the port for its virtual machines.
func isTaken(system string, err error) bool {
	const inUse, kept = syscall.Errno(10048), syscall.Errno(10013) // WSAEADDRINUSE, WSAEACCES
	return errors.Is(err, syscall.EADDRINUSE) || system == "windows" && (errors.Is(err, inUse) || errors.Is(err, kept))
}
