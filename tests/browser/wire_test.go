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
	late  string // addresses that hold this wait until come is closed; "" holds back none
	come  chan struct{}
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
		lost, late, come := w.lost, w.late, w.come
		w.mu.Unlock()
		if late != "" && strings.Contains(r.URL.Path, late) {
			<-come
		}
		if lost != "" && strings.Contains(r.URL.Path, lost) {
			http.NotFound(to, r)
			return
		}
		proxy.ServeHTTP(to, r)
	}))
	t.Cleanup(server.Close)
	w.origin = server.URL
	return w
}

// loses makes addresses that hold a part unfindable from now on; "" brings all back.
func (w *wire) loses(part string) {
	w.mu.Lock()
	defer w.mu.Unlock()
	w.lost = part
}

// holds keeps back the answers to addresses that hold a part until it is told to let them come; at the end of the test it does.
func (w *wire) holds(t testing.TB, part string) (letCome func()) {
	t.Helper()
	w.mu.Lock()
	defer w.mu.Unlock()
	w.late, w.come = part, make(chan struct{})
	letCome = sync.OnceFunc(func() { close(w.come) })
	t.Cleanup(letCome)
	return letCome
}

// clean fails the test for what went wrong on the page, but for what was lost.
func (w *wire) clean(t testing.TB, tb *tab) {
	t.Helper()
	for _, line := range tb.troubles() {
		if w.lost == "" || !strings.Contains(line, w.lost) {
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
