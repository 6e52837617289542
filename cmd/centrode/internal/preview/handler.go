// Package preview shows the site on this machine while somebody writes it: it serves a build from memory with the
// headers of the real host, watches the sources, builds again and reloads the open pages.
//
// Start at Serve; tests that need a served site take NewShelf and its ServeHTTP. A page that ServeBuilt serves is byte for
// byte the built one; Serve adds a script that reloads it.
package preview

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"net/http"
	"path"
	"strconv"
	"strings"
	"sync"
	"sync/atomic"
	"time"
)

// Shelf serves one edition of the site at a time, all of it from memory; Put replaces it between two requests.
type Shelf struct {
	live    *live // nil: pages are served as built
	edition atomic.Pointer[edition]
}

type edition struct {
	files map[string][]byte // by path: "lessons/the-finger/index.html", with "….br" and "….gz" beside
	tags  sync.Map          // quoted entity tags, by path, as they are first asked for
}

// NewShelf returns a handler for the files of a built site.
func NewShelf(files map[string][]byte) *Shelf {
	s := &Shelf{}
	s.Put(files)
	return s
}

// Put replaces the site that is served.
func (s *Shelf) Put(files map[string][]byte) {
	s.edition.Store(&edition{files: files})
}

func (e *edition) tag(name string) string {
	if tag, ok := e.tags.Load(name); ok {
		return tag.(string)
	}
	sum := sha256.Sum256(e.files[name])
	tag := `"` + hex.EncodeToString(sum[:12]) + `"`
	e.tags.Store(name, tag)
	return tag
}

// ServeHTTP implements http.Handler. Only names that the edition holds can be reached, so no path leads elsewhere. The headers are those of
// the address that is answered: "/embed/..%2flessons/a/" is a lesson, and may stand in no frame.
func (s *Shelf) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	address := plainAddress(r.URL.Path)
	setHeaders(w.Header(), address)
	if r.Method != http.MethodGet && r.Method != http.MethodHead {
		w.Header().Set("Allow", "GET, HEAD")
		http.Error(w, "this site is only for reading: use GET or HEAD", http.StatusMethodNotAllowed)
		return
	}
	if s.live != nil && s.live.serve(w, r) {
		return
	}
	e := s.edition.Load()
	name, found := e.find(address)
	switch {
	case !found:
		s.serveMissing(w, r, e)
	case name == "": // a folder without its slash: relative links would point beside it
		target := address + "/" // and not "//host", which would lead elsewhere
		if r.URL.RawQuery != "" {
			target += "?" + r.URL.RawQuery
		}
		http.Redirect(w, r, target, http.StatusMovedPermanently)
	default:
		s.serveFile(w, r, e, name)
	}
}

// plainAddress is an address from the root, without ".." and double slashes, and with its last slash.
func plainAddress(address string) string {
	plain := path.Clean("/" + address)
	if strings.HasSuffix(address, "/") && plain != "/" {
		plain += "/"
	}
	return plain
}

// find returns the file for a plain address; an empty name with found set asks for a redirect to the folder.
func (e *edition) find(address string) (name string, found bool) {
	clean := strings.TrimPrefix(address, "/")
	if strings.HasSuffix(address, "/") {
		name = clean + "index.html"
		_, found = e.files[name]
		return name, found
	}
	if _, found = e.files[clean]; found {
		return clean, true
	}
	_, found = e.files[clean+"/index.html"]
	return "", found
}

// missingName is the page for an address that leads nowhere; every language of the site has its own.
const missingName = "404.html"

// languageOf returns the first folder of an address, "de/", which is that of a language if it holds such a page.
func languageOf(address string) string {
	first, _, _ := strings.Cut(strings.TrimPrefix(address, "/"), "/")
	return first + "/"
}

func (s *Shelf) serveMissing(w http.ResponseWriter, r *http.Request, e *edition) {
	body, ok := e.files[languageOf(r.URL.Path)+missingName]
	if !ok {
		body, ok = e.files[missingName]
	}
	if !ok {
		http.Error(w, "there is no such page", http.StatusNotFound)
		return
	}
	if s.live != nil {
		body = s.live.inject(body)
	}
	w.Header().Set("Content-Type", contentTypes[".html"])
	w.Header().Set("Cache-Control", "no-store")
	w.Header().Set("Content-Length", strconv.Itoa(len(body)))
	w.WriteHeader(http.StatusNotFound)
	if r.Method == http.MethodGet {
		w.Write(body)
	}
}

func (s *Shelf) serveFile(w http.ResponseWriter, r *http.Request, e *edition, name string) {
	h := w.Header()
	h.Set("Content-Type", contentType(name))
	h.Add("Vary", "Accept-Encoding")
	if s.live != nil && path.Ext(name) == ".html" {
		h.Set("Cache-Control", "no-store")
		http.ServeContent(w, r, name, time.Time{}, bytes.NewReader(s.live.inject(e.files[name])))
		return
	}
	stored := name
	if coding, ext := chooseCoding(e, name, r.Header.Get("Accept-Encoding")); coding != "" && r.Header.Get("Range") == "" {
		h.Set("Content-Encoding", coding)
		stored += ext
	}
	h.Set("ETag", e.tag(stored))
	http.ServeContent(w, r, name, time.Time{}, bytes.NewReader(e.files[stored]))
}

// codings in the order in which the site prefers them, with the extension of the compressed copy.
var codings = []struct{ name, ext string }{{"br", ".br"}, {"gzip", ".gz"}}

// chooseCoding picks the first coding that the request accepts and for which a compressed copy exists.
func chooseCoding(e *edition, name, accept string) (coding, ext string) {
	for _, c := range codings {
		if _, ok := e.files[name+c.ext]; ok && accepts(accept, c.name) {
			return c.name, c.ext
		}
	}
	return "", ""
}

// accepts reads an Accept-Encoding header; a coding with q=0 is refused, and "*" stands for those not named.
func accepts(header, coding string) bool {
	rest := false
	for item := range strings.SplitSeq(header, ",") {
		name, params, _ := strings.Cut(item, ";")
		name = strings.ToLower(strings.TrimSpace(name))
		weight := 1.0
		if q, ok := strings.CutPrefix(strings.ReplaceAll(params, " ", ""), "q="); ok {
			weight, _ = strconv.ParseFloat(q, 64)
		}
		switch name {
		case coding:
			return weight > 0
		case "*":
			rest = weight > 0
		}
	}
	return rest
}
