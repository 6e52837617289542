package site

import (
	"bytes"
	"compress/gzip"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/andybalholm/brotli"
)

// compressAll returns the copies of all files by their names.
func compressAll(files map[string][]byte, c cache, atHand bool) (map[string][]byte, error) {
	out := map[string][]byte{}
	for name, data := range files {
		short, err := copies(name, data, codecsFor(0), c, atHand)
		if err != nil {
			return nil, err
		}
		for ext, copied := range short {
			out[name+ext] = copied
		}
	}
	return out, nil
}

func TestCompressedCopiesGiveTheFileBack(t *testing.T) {
	text := []byte(strings.Repeat("The arc of a joint is fixed by its placement. ", 200))
	files := map[string][]byte{"a/index.html": text, "font.woff2": text, "short.css": []byte("a{}"), "site.js": text}
	out, err := compressAll(files, cache{t.TempDir()}, false)
	if err != nil {
		t.Fatal(err)
	}
	if len(out) != 4 {
		t.Errorf("%d compressed copies, want 4: two each of the page and the script", len(out))
	}
	got, err := io.ReadAll(brotli.NewReader(bytes.NewReader(out["a/index.html.br"])))
	if err != nil || !bytes.Equal(got, text) {
		t.Errorf("brotli gives back %d bytes (%v), want the %d that went in", len(got), err, len(text))
	}
	z, err := gzip.NewReader(bytes.NewReader(out["site.js.gz"]))
	if err != nil {
		t.Fatal(err)
	}
	if got, err = io.ReadAll(z); err != nil || !bytes.Equal(got, text) {
		t.Errorf("gzip gives back %d bytes (%v), want the %d that went in", len(got), err, len(text))
	}
	if !z.ModTime.IsZero() || z.Name != "" {
		t.Errorf("the gzip header tells a time or a name: %v %q", z.ModTime, z.Name)
	}
}

func TestALongBookIsCompressedOnceAndFast(t *testing.T) {
	text := []byte(strings.Repeat("The arc of a joint is fixed by its placement. ", 200))
	c := cache{t.TempDir()}
	for range 2 { // the second time with a writer that has been used
		out, err := copies("lessons/a/index.html", text, codecsFor(largeBook+1), c, false)
		if err != nil || len(out) != 1 {
			t.Fatalf("%d copies (%v), want one, with gzip", len(out), err)
		}
		z, err := gzip.NewReader(bytes.NewReader(out[".gz"]))
		if err != nil {
			t.Fatal(err)
		}
		if got, err := io.ReadAll(z); err != nil || !bytes.Equal(got, text) {
			t.Errorf("gzip gives back %d bytes (%v), want the %d that went in", len(got), err, len(text))
		}
		if !z.ModTime.IsZero() || z.Name != "" {
			t.Errorf("the gzip header tells a time or a name: %v %q", z.ModTime, z.Name)
		}
	}
	if entries, err := os.ReadDir(c.dir); err != nil || len(entries) != 0 {
		t.Errorf("the cache took %d results (%v), want none: they are made again sooner than read", len(entries), err)
	}
}

func TestTheCacheSparesAndNeverChangesWork(t *testing.T) {
	c := cache{t.TempDir()}
	files := map[string][]byte{"index.html": []byte(strings.Repeat("pivot ", 500))}
	none, err := compressAll(files, c, true)
	if err != nil || len(none) != 0 {
		t.Errorf("from an empty cache, at hand: %d copies (%v), want none", len(none), err)
	}
	first, err := compressAll(files, c, false)
	if err != nil {
		t.Fatal(err)
	}
	atHand, err := compressAll(files, c, true)
	if err != nil || !bytes.Equal(atHand["index.html.br"], first["index.html.br"]) || len(atHand["index.html.br"]) == 0 {
		t.Errorf("the cache does not give back what was put in it (%v)", err)
	}
	damage(t, c.dir)
	again, err := compressAll(files, c, false)
	if err != nil || !bytes.Equal(again["index.html.br"], first["index.html.br"]) {
		t.Errorf("a damaged cache entry reached the site (%v)", err)
	}
}

// A test finds what a build has compressed, and a build what a test has: both know the encoder by the same name.
func TestTheEncoderIsKnownByItsVersion(t *testing.T) {
	modules, err := os.ReadFile(filepath.Join(repository, "go.mod"))
	if err != nil {
		t.Fatal(err)
	}
	if _, err := os.Stat(filepath.Join(repository, "vendor")); err == nil {
		t.Skip("the files of a vendored module tell no version")
	}
	if line := "\tgithub.com/andybalholm/brotli " + brotliVersion() + "\n"; !strings.Contains(string(modules), line) {
		t.Errorf("go.mod does not ask for %q", strings.TrimSpace(line))
	}
}

// damage turns one bit of every cache entry.
func damage(t *testing.T, dir string) {
	t.Helper()
	entries, err := filepath.Glob(filepath.Join(dir, "*", "*"))
	if err != nil || len(entries) == 0 {
		t.Fatalf("no cache entries to damage (%v)", err)
	}
	for _, name := range entries {
		data, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		data[len(data)-1] ^= 1
		if err := os.WriteFile(name, data, 0o644); err != nil {
			t.Fatal(err)
		}
	}
}

func TestTheCacheStaysBounded(t *testing.T) {
	c := cache{t.TempDir()}
	for _, key := range []string{"a", "b", "c", "d"} {
		c.put(key, make([]byte, 1000))
	}
	c.get("a") // used last
	c.prune(2 * (1000 + 32))
	if _, ok := c.get("a"); !ok {
		t.Error("prune removed the entry that was used last")
	}
	kept := 0
	for _, key := range []string{"a", "b", "c", "d"} {
		if _, ok := c.get(key); ok {
			kept++
		}
	}
	if kept != 2 {
		t.Errorf("prune kept %d entries, want the 2 that fit", kept)
	}
}

func TestAnUnwritableCacheIsOnlySlow(t *testing.T) {
	file := filepath.Join(t.TempDir(), "file")
	if err := os.WriteFile(file, nil, 0o644); err != nil {
		t.Fatal(err)
	}
	files := map[string][]byte{"index.html": []byte(strings.Repeat("pivot ", 500))}
	out, err := compressAll(files, cache{filepath.Join(file, "cache")}, false)
	if err != nil || len(out) != 2 {
		t.Errorf("compressAll without a cache = %d copies, %v; want 2", len(out), err)
	}
}
