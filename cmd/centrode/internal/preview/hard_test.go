package preview

import (
	"context"
	"fmt"
	"io"
	"net"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strings"
	"sync/atomic"
	"testing"
	"time"
)

// No address leads out of the site: what is asked for is looked up by name among the built files.
func TestNoAddressLeadsOutOfTheSite(t *testing.T) {
	p := start(t, func(int64) (map[string][]byte, error) { return page("here"), nil })
	if err := os.WriteFile(filepath.Join(p.root, "secret.txt"), []byte("kept from readers"), 0o644); err != nil {
		t.Fatal(err)
	}
	host := strings.Trim(strings.TrimPrefix(p.address, "http://"), "/")
	for _, target := range []string{
		"/../secret.txt", "/%2e%2e/secret.txt", "/..%2fsecret.txt", "/%2e%2e%2fsecret.txt", "/..\\secret.txt", "/%5c..%5csecret.txt", "//secret.txt", "/./secret.txt",
		"/content/../../secret.txt", "/_preview/../secret.txt", "/_preview/%2e%2e/secret.txt", "/secret.txt%00.html", "/" + filepath.ToSlash(p.root) + "/secret.txt",
		"http://" + host + "/../secret.txt", "/%c0%ae%c0%ae/secret.txt", "/etc/passwd", "/../../../../etc/passwd",
	} {
		c, err := net.Dial("tcp", host)
		if err != nil {
			t.Fatal(err)
		}
		_ = c.SetDeadline(time.Now().Add(patience))
		fmt.Fprintf(c, "GET %s HTTP/1.1\r\nHost: localhost\r\nConnection: close\r\n\r\n", target)
		answer, err := io.ReadAll(c)
		c.Close()
		if text := string(answer); err != nil || strings.Contains(text, " 200 ") || strings.Contains(text, "kept from readers") || strings.Contains(text, "root:") {
			t.Errorf("%s: %.120q, %v", target, text, err)
		}
	}
}

// One who sends a byte now and then is cut off and keeps nobody waiting; so is one who asks for too much.
func TestASlowOrGreedyClientIsCutOff(t *testing.T) {
	listener, err := listen(t.Context(), Options{Addr: "127.0.0.1:0"})
	if err != nil {
		t.Fatal(err)
	}
	server := newServer(NewShelf(page("here")))
	if server.ReadHeaderTimeout > 10*time.Second || server.ReadTimeout > 30*time.Second || server.WriteTimeout > 2*time.Minute || server.ReadHeaderTimeout == 0 || server.ReadTimeout == 0 || server.WriteTimeout == 0 {
		t.Errorf("the bounds are %v, %v, %v", server.ReadHeaderTimeout, server.ReadTimeout, server.WriteTimeout)
	}
	server.ReadHeaderTimeout, server.ReadTimeout = 100*time.Millisecond, 100*time.Millisecond // the same, told sooner
	go func() { _ = server.Serve(listener) }()
	defer server.Close()
	slow, err := net.Dial("tcp", listener.Addr().String())
	if err != nil {
		t.Fatal(err)
	}
	defer slow.Close()
	fmt.Fprint(slow, "GET / HTTP/1.1\r\nHo")
	ctx, cancel := context.WithTimeout(t.Context(), patience)
	defer cancel()
	quick, err := http.NewRequestWithContext(ctx, http.MethodGet, "http://"+listener.Addr().String()+"/", http.NoBody)
	if err != nil {
		t.Fatal(err)
	}
	r, err := http.DefaultClient.Do(quick)
	if err != nil || r.StatusCode != http.StatusOK {
		t.Fatalf("a quick client beside a slow one: %v", err)
	}
	r.Body.Close()
	_ = slow.SetReadDeadline(time.Now().Add(patience))
	if rest, err := io.ReadAll(slow); err != nil {
		t.Errorf("the slow client is still connected: %q, %v", rest, err)
	}
	quick.Header.Set("X-Long", strings.Repeat("x", 1<<17))
	r, err = http.DefaultClient.Do(quick)
	if err == nil {
		r.Body.Close()
	}
	if err != nil || r.StatusCode != http.StatusRequestHeaderFieldsTooLarge {
		t.Errorf("a header of 128 kB: %v, %v", r, err)
	}
}

// Files that change without a pause lead to builds one after another, never two at once, and the last word is the newest.
func TestAStormOfChangesIsSurvived(t *testing.T) {
	var running, most, last atomic.Int64
	var root atomic.Pointer[string]
	p := start(t, func(n int64) (map[string][]byte, error) {
		most.Store(max(most.Load(), running.Add(1)))
		defer running.Add(-1)
		text := ""
		if dir := root.Load(); dir != nil {
			data, _ := os.ReadFile(filepath.Join(*dir, "content", "lessons", "a.md"))
			text = string(data)
		}
		last.Store(n)
		return page("<p>" + text + "</p>"), nil
	})
	root.Store(&p.root)
	for range 8 {
		open := p.listen(t)
		go func() {
			for range open { // a page that listens the while
			}
		}()
	}
	file := filepath.Join(p.root, "content", "lessons", "a.md")
	for i := range 300 {
		text := []byte("draft")
		if i == 299 {
			text = []byte("final")
		}
		if err := os.WriteFile(file, text, 0o644); err != nil {
			t.Fatal(err)
		}
		if i%60 == 0 {
			p.read(t, "/")
		}
	}
	waitFor(t, "the last change", func() bool { return strings.Contains(p.read(t, "/"), "<p>final</p>") })
	if most.Load() != 1 || last.Load() > 150 {
		t.Errorf("%d builds at once, %d in all for 300 changes", most.Load(), last.Load())
	}
}

func TestThePreviewIsForThisMachineUnlessTold(t *testing.T) {
	l, err := listen(t.Context(), Options{Out: io.Discard})
	if err != nil {
		t.Fatal(err)
	}
	defer l.Close()
	if ip := l.Addr().(*net.TCPAddr).IP; !ip.IsLoopback() {
		t.Errorf("listens on %v", ip)
	}
}

// derived: a page of another site whose name is made to lead to this machine asks with that name.
func TestNobodyReadsThePreviewByAnotherName(t *testing.T) {
	local, wide := &net.TCPAddr{IP: net.IPv4(127, 0, 0, 1)}, &net.TCPAddr{IP: net.IPv6unspecified}
	for _, c := range []struct {
		at          net.Addr
		asked, host string
		want        int
	}{
		{local, "", "127.0.0.1:4173", 200}, {local, "", "localhost:4173", 200}, {local, "", "LocalHost.", 200}, {local, "", "[::1]:4173", 200}, {local, "", "a.localhost:1", 200},
		{local, "studio:8000", "studio:8000", 200}, {local, "", "elsewhere.example:4173", 421}, {local, "", "elsewhere.example", 421}, {local, "", "", 421},
		{local, "", "127.0.0.1.elsewhere.example", 421}, {local, "", "notlocalhost", 421}, {wide, ":8000", "studio.example:8000", 200},
	} {
		s := NewShelf(page("a lesson that nobody has seen"))
		s.live = newLive()
		r := httptest.NewRequest(http.MethodGet, "/", nil)
		r.Host = c.host
		w := httptest.NewRecorder()
		named(s, c.at, c.asked).ServeHTTP(w, r)
		if w.Code != c.want || c.want != 200 && strings.Contains(w.Body.String(), "lesson") {
			t.Errorf("asked as %q at %v: %d %q, want %d", c.host, c.at, w.Code, w.Body, c.want)
		}
	}
	p := start(t, func(int64) (map[string][]byte, error) { return page("here"), nil })
	for _, address := range []string{"", "_preview/events"} {
		r, err := http.NewRequestWithContext(t.Context(), http.MethodGet, p.address+address, nil)
		if err != nil {
			t.Fatal(err)
		}
		r.Host = "elsewhere.example"
		answer, err := http.DefaultClient.Do(r)
		if err != nil {
			t.Fatal(err)
		}
		answer.Body.Close()
		if answer.StatusCode != http.StatusMisdirectedRequest {
			t.Errorf("/%s asked as elsewhere.example: %d, want 421", address, answer.StatusCode)
		}
	}
}

// What stands in the path is answered with the headers of the page that it leads to: none but an embed may be framed, and what is no asset is
// not kept for a year.
func TestAWayAroundAnAddressHasTheHeadersOfItsEnd(t *testing.T) {
	s := NewShelf(map[string][]byte{"index.html": []byte("home"), "lessons/a/index.html": []byte("a"), "embed/a/index.html": []byte("a plate"), "assets/a.js": []byte("1"), "404.html": []byte("no such page")})
	for address, want := range map[string]string{
		"/": "none", "/lessons/a/": "none", "/embed/a/": "*", "/embed/..%2flessons/a/": "none", "/embed/..%2f": "none", "/embed/%2e%2e/": "none", "/embed/x/..%2f..%2flessons%2fa/": "none",
		"/x%2f..%2flessons/a/": "none", "//lessons/a/": "none", "/lessons/..%2fembed/a/": "*", "/lessons/none/": "none",
	} {
		r := get(t, s, "http://localhost"+address)
		if policy := r.Header.Get(policyHeader); !strings.HasPrefix(policy, ownPolicy) || !strings.HasSuffix(policy, "; frame-ancestors "+strings.Replace(want, "none", "'none'", 1)) {
			t.Errorf("%s: %d with the policy %q, want frames from %s", address, r.StatusCode, policy, want)
		}
	}
	for address, want := range map[string]bool{"/assets/a.js": true, "/assets/..%2flessons/a/": false, "/assets/..%2f": false} {
		if got := get(t, s, "http://localhost"+address).Header.Get("Cache-Control"); strings.Contains(got, "immutable") != want {
			t.Errorf("%s: %q", address, got)
		}
	}
}
