package browser

import (
	"net/http"
	"net/http/httptest"
	"net/http/httputil"
	"net/url"
	"slices"
	"strings"
	"sync"
	"testing"
)

// wire stands before the site and notes what is asked of it, in order. A tab hears nothing of what its workers ask.
type wire struct {
	origin string
	lost   string // addresses that hold this are not found; "" loses none

	mu    sync.Mutex
	asked []string
}

func newWire(t testing.TB) *wire {
	t.Helper()
	site, err := url.Parse(origin)
	must(t, err)
	w := &wire{}
	proxy := httputil.NewSingleHostReverseProxy(site)
	server := httptest.NewServer(http.HandlerFunc(func(to http.ResponseWriter, r *http.Request) {
		w.mu.Lock()
		w.asked = append(w.asked, r.URL.Path)
		w.mu.Unlock()
		if w.lost != "" && strings.Contains(r.URL.Path, w.lost) {
			http.NotFound(to, r)
			return
		}
		proxy.ServeHTTP(to, r)
	}))
	t.Cleanup(server.Close)
	w.origin = server.URL
	return w
}

// clean fails the test for what went wrong on the page, but for what was lost.
func (w *wire) clean(t testing.TB, tb *tab) {
	t.Helper()
	for _, line := range tb.troubles() {
		if !strings.Contains(line, w.lost) {
			t.Error(line)
		}
	}
}

// modules counts how often the calculators were asked for, and forgets all that was asked.
func (w *wire) modules() int {
	w.mu.Lock()
	defer w.mu.Unlock()
	count := len(slices.DeleteFunc(w.asked, func(address string) bool { return !strings.Contains(address, ".wasm") }))
	w.asked = nil
	return count
}
