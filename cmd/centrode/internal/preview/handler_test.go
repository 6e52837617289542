package preview

import (
	"context"
	"io"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
)

var sample = map[string][]byte{
	"index.html":                []byte("<!doctype html><html><head><title>home</title></head><body>home</body></html>"),
	"index.html.br":             []byte("home in brotli"),
	"index.html.gz":             []byte("home in gzip"),
	"404.html":                  []byte("<!doctype html><html><head></head><body>no such page</body></html>"),
	"lessons/a/index.html":      []byte("<!doctype html><html><head></head><body>a</body></html>"),
	"assets/site.ABCD.js":       []byte("let a"),
	"assets/engine.ABCD.wasm":   []byte("\x00asm"),
	"assets/serif.ABCD.woff2":   []byte("font"),
	"assets/empty/.keep-nobody": []byte("x"),
}

func TestEveryAddressGetsItsAnswer(t *testing.T) {
	shelf := NewShelf(sample)
	for _, c := range []struct {
		name, method, address, accept string
		status                        int
		body                          string            // what the body must hold
		header                        map[string]string // "" means absent
	}{
		{"the home page as it is", "GET", "/", "", 200, "<body>home", map[string]string{"Content-Type": "text/html; charset=utf-8", "Content-Encoding": "", "Vary": "Accept-Encoding"}},
		{"brotli before gzip", "GET", "/", "gzip, deflate, br", 200, "home in brotli", map[string]string{"Content-Encoding": "br", "Content-Type": "text/html; charset=utf-8"}},
		{"gzip when brotli is refused", "GET", "/", "br;q=0, gzip", 200, "home in gzip", map[string]string{"Content-Encoding": "gzip"}},
		{"anything", "GET", "/", "*", 200, "home in brotli", map[string]string{"Content-Encoding": "br"}},
		{"nothing known", "GET", "/", "zstd, *;q=0", 200, "<body>home", map[string]string{"Content-Encoding": ""}},
		{"a folder without its slash", "GET", "/lessons/a?x=1", "", 301, "", map[string]string{"Location": "/lessons/a/?x=1"}},
		{"a folder", "GET", "/lessons/a/", "", 200, "<body>a<", nil},
		{"a folder without a page", "GET", "/lessons/", "", 404, "no such page", nil},
		{"no listing of the assets", "GET", "/assets/", "", 404, "no such page", nil},
		{"an unknown address", "GET", "/nowhere", "br", 404, "no such page", map[string]string{"Cache-Control": "no-store", "Content-Encoding": ""}},
		{"a climb out", "GET", "/../../etc/passwd", "", 404, "no such page", nil},
		{"a climb inside an escape", "GET", "/assets/%2e%2e/%2e%2e/etc/passwd", "", 404, "no such page", nil},
		{"a double slash is no other host", "GET", "//lessons/a", "", 301, "", map[string]string{"Location": "/lessons/a/"}},
		{"a script", "GET", "/assets/site.ABCD.js", "", 200, "let a", map[string]string{"Content-Type": "text/javascript; charset=utf-8", "Cache-Control": "public, max-age=31536000, immutable"}},
		{"the calculators", "GET", "/assets/engine.ABCD.wasm", "", 200, "asm", map[string]string{"Content-Type": "application/wasm"}},
		{"a font", "GET", "/assets/serif.ABCD.woff2", "", 200, "font", map[string]string{"Content-Type": "font/woff2"}},
		{"only the head", "HEAD", "/", "", 200, "", map[string]string{"Content-Type": "text/html; charset=utf-8"}},
		{"no writing", "POST", "/", "", 405, "GET or HEAD", map[string]string{"Allow": "GET, HEAD"}},
		{"no reload script outside of the preview", "GET", "/_preview/reload.js", "", 404, "no such page", nil},
	} {
		t.Run(c.name, func(t *testing.T) {
			r := httptest.NewRequest(c.method, "http://site"+"/", nil)
			r.URL.Path, r.URL.RawQuery, _ = strings.Cut(unescape(t, c.address), "?")
			if c.accept != "" {
				r.Header.Set("Accept-Encoding", c.accept)
			}
			w := httptest.NewRecorder()
			shelf.ServeHTTP(w, r)
			if w.Code != c.status || !strings.Contains(w.Body.String(), c.body) {
				t.Errorf("%s %s = %d %q, want %d with %q", c.method, c.address, w.Code, w.Body, c.status, c.body)
			}
			for name, want := range c.header {
				if got := w.Header().Get(name); got != want {
					t.Errorf("%s %s: %s: %q, want %q", c.method, c.address, name, got, want)
				}
			}
			for _, v := range Headers[0].Values {
				if got := w.Header().Get(v.Name); got != v.Value {
					t.Errorf("%s %s: %s: %q, want %q on every answer", c.method, c.address, v.Name, got, v.Value)
				}
			}
		})
	}
}

func unescape(t *testing.T, address string) string {
	t.Helper()
	return strings.ReplaceAll(address, "%2e", ".")
}

func TestAnUnchangedFileIsNotSentAgain(t *testing.T) {
	shelf := NewShelf(sample)
	first := get(t, shelf, "/", "Accept-Encoding", "br")
	tag := first.Header.Get("ETag")
	again := get(t, shelf, "/", "Accept-Encoding", "br", "If-None-Match", tag)
	if tag == "" || again.StatusCode != http.StatusNotModified {
		t.Errorf("with the tag %q: status %d, want 304", tag, again.StatusCode)
	}
	if plain := get(t, shelf, "/", "If-None-Match", tag); plain.StatusCode != 200 {
		t.Errorf("the tag of the brotli copy answers for the plain one: status %d", plain.StatusCode)
	}
	shelf.Put(map[string][]byte{"index.html": []byte("new")})
	if changed := get(t, shelf, "/", "If-None-Match", tag); changed.StatusCode != 200 {
		t.Errorf("after the site changed: status %d, want 200", changed.StatusCode)
	}
}

// get asks the handler for an address, with headers given as name and value in turn.
func get(t *testing.T, h http.Handler, address string, headers ...string) *http.Response {
	t.Helper()
	r := httptest.NewRequest("GET", address, nil)
	for i := 0; i+1 < len(headers); i += 2 {
		r.Header.Set(headers[i], headers[i+1])
	}
	w := httptest.NewRecorder()
	h.ServeHTTP(w, r)
	return w.Result()
}

func body(t *testing.T, r *http.Response) string {
	t.Helper()
	data, err := io.ReadAll(r.Body)
	if err != nil {
		t.Fatal(err)
	}
	return string(data)
}

func TestAMissingPageIsToldInTheLanguageOfItsAddress(t *testing.T) {
	shelf := NewShelf(map[string][]byte{"404.html": []byte("no such page"), "de/404.html": []byte("gibt es nicht")})
	for address, want := range map[string]string{"/x/": "no such page", "/de/x/": "gibt es nicht", "/lessons/de/": "no such page"} {
		w := httptest.NewRecorder()
		shelf.ServeHTTP(w, httptest.NewRequest(http.MethodGet, address, nil))
		if w.Code != http.StatusNotFound || w.Body.String() != want {
			t.Errorf("%s: %d %q, want %q", address, w.Code, w.Body, want)
		}
	}
}

func TestAPartOfAFileIsNotCompressed(t *testing.T) {
	s := NewShelf(map[string][]byte{"a.js": []byte(strings.Repeat("0123456789", 20)), "a.js.br": []byte("short"), "a.js.gz": []byte("short")})
	r := get(t, s, "/a.js", "Accept-Encoding", "br, gzip", "Range", "bytes=2-4")
	if got := body(t, r); r.StatusCode != 206 || r.Header.Get("Content-Encoding") != "" || got != "234" {
		t.Errorf("%d %q %q, want 206, no coding, 234", r.StatusCode, r.Header.Get("Content-Encoding"), got)
	}
}

func TestAStreamThatEndsIsForgotten(t *testing.T) {
	s := NewShelf(map[string][]byte{})
	s.live = newLive()
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	s.ServeHTTP(httptest.NewRecorder(), httptest.NewRequest("GET", livePrefix+"events", nil).WithContext(ctx))
	if n := len(s.live.waiting); n != 0 {
		t.Errorf("%d streams are kept", n)
	}
}
