package preview

import (
	"bytes"
	_ "embed"
	"encoding/json"
	"fmt"
	"net/http"
	"strings"
	"sync"
	"time"
)

// livePrefix is where the preview keeps its own files; no page of the site lies there.
const livePrefix = "/_preview/"

//go:embed reload.js
var reloadScript []byte

//go:embed reload.css
var reloadStyle []byte

// live tells open pages what the last build came to. Its script and style are files of their own, so that the pages'
// content policy needs no exception for them.
type live struct {
	mu      sync.Mutex
	status  status
	waiting map[chan struct{}]bool
	closed  chan struct{}
}

// status is what an open page must know: which edition is served, and what keeps a newer one away.
type status struct {
	edition int
	trouble string // one line; "" when the last build went well
}

func newLive() *live {
	return &live{status: status{edition: 1}, waiting: map[chan struct{}]bool{}, closed: make(chan struct{})}
}

// set changes the status and wakes every page that listens.
func (l *live) set(change func(*status)) {
	l.mu.Lock()
	defer l.mu.Unlock()
	change(&l.status)
	for c := range l.waiting {
		select {
		case c <- struct{}{}:
		default: // it has not yet fetched the one before; it will read the newest
		}
	}
}

func (l *live) now() status {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.status
}

// close ends all streams, so that the server can stop.
func (l *live) close() { close(l.closed) }

// inject adds the reload script and its style to a page.
func (l *live) inject(page []byte) []byte {
	tags := fmt.Appendf(nil, `<link rel="stylesheet" href="%sreload.css"><script type="module" src="%sreload.js" data-edition="%d"></script>`,
		livePrefix, livePrefix, l.now().edition)
	head := bytes.Index(page, []byte("</head>"))
	if head < 0 {
		return page
	}
	return bytes.Join([][]byte{page[:head], tags, page[head:]}, nil)
}

// serve answers addresses under livePrefix and reports whether it did.
func (l *live) serve(w http.ResponseWriter, r *http.Request) bool {
	name, ok := strings.CutPrefix(r.URL.Path, livePrefix)
	if !ok {
		return false
	}
	w.Header().Set("Cache-Control", "no-store")
	switch name {
	case "reload.js":
		w.Header().Set("Content-Type", contentTypes[".js"])
		w.Write(reloadScript)
	case "reload.css":
		w.Header().Set("Content-Type", contentTypes[".css"])
		w.Write(reloadStyle)
	case "events":
		l.stream(w, r)
	default:
		http.NotFound(w, r)
	}
	return true
}

// stream sends the status now and at every change, as server-sent events, until the page or the server goes away.
func (l *live) stream(w http.ResponseWriter, r *http.Request) {
	wake := make(chan struct{}, 1)
	l.mu.Lock()
	l.waiting[wake] = true
	l.mu.Unlock()
	defer func() {
		l.mu.Lock()
		delete(l.waiting, wake)
		l.mu.Unlock()
	}()
	out := http.NewResponseController(w)
	w.Header().Set("Content-Type", "text/event-stream")
	alive := time.NewTicker(20 * time.Second)
	defer alive.Stop()
	for {
		now := l.now()
		trouble, _ := json.Marshal(now.trouble)                    // a string always has a JSON form
		_ = out.SetWriteDeadline(time.Now().Add(10 * time.Second)) // the answer lasts as long as the page is open and takes it
		fmt.Fprintf(w, "data: %d %s\n\n", now.edition, trouble)
		if out.Flush() != nil {
			return
		}
		select {
		case <-wake:
		case <-alive.C: // a stream that fails to write belongs to a page that is gone
		case <-r.Context().Done():
			return
		case <-l.closed:
			return
		}
	}
}
