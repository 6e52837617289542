package browser

import (
	"net/http"
	"strings"
	"testing"
	"time"
)

// A reader who reads on while the next edition is on its way loses nothing of it: the worker of before takes away what was kept before
// it, and never what the next one is filling.
func TestReadingOnWhileTheNextEditionComesLosesNothing(t *testing.T) {
	parallel(t)
	var h host
	h.start(t, public)
	tb := h.page(t, "/offline/")
	tb.until(t, controlled)
	tb.until(t, `/^Kept: /.test(document.querySelector('[data-keep-state]').textContent)`)
	eval[bool](t, tb, `(document.querySelector('[data-keep-save]').click(), true)`)
	tb.until(t, `document.querySelector('[data-keep-state]').textContent.startsWith('The whole handbook is kept')`)
	tb.shut() // the page that this edition began with
	h.stop()

	next := t.TempDir()
	_, is := nextEdition(t, next)
	files := http.FileServer(http.Dir(next))
	h.serve(t, http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if r.Header.Get("Sec-Fetch-Mode") != "navigate" {
			time.Sleep(20 * time.Millisecond) // a network, and time to read on
		}
		files.ServeHTTP(w, r)
	}))
	tb = h.page(t, "/")
	count := `caches.open('centrode-` + is + `').then((cache) => cache.keys()).then((all) => all.length)`
	tb.until(t, `caches.has('centrode-`+is+`')`)
	tb.until(t, count+`.then((n) => n > 20)`)
	tb.visit(t, "http://"+h.address+"/lessons/the-finger/")
	tb.until(t, loaded)
	tb.until(t, `navigator.serviceWorker.getRegistration().then((r) => !r.installing && !r.waiting && r.active.state === 'activated')`)
	h.stop()
	page := h.page(t, "/offline/")
	page.until(t, `document.querySelector('[data-keep-state]').textContent !== ''`)
	if said := eval[string](t, page, `document.querySelector('[data-keep-state]').textContent`); !strings.HasPrefix(said, "The whole handbook is kept") {
		t.Errorf("the reader had the whole handbook and read on; now the page says %q", said)
	}
	for _, address := range []string{"/", "/lessons/the-knee/"} {
		page.visit(t, "http://"+h.address+address)
		if got := eval[string](t, page, heading); got == "Without a network" {
			t.Errorf("%s is not kept any more", address)
		}
	}
}

// A host that is there and answers with a fault of its own, as while it is repaired, takes no page away that is kept.
func TestAKeptPageIsReadWhileTheHostIsDown(t *testing.T) {
	parallel(t)
	var h host
	h.start(t, public)
	tb := h.page(t, "/lessons/the-finger/")
	tb.until(t, controlled)
	tb.until(t, kept("/lessons/the-finger/"))
	h.stop()
	h.serve(t, http.HandlerFunc(func(w http.ResponseWriter, _ *http.Request) {
		http.Error(w, "down for repair", http.StatusServiceUnavailable)
	}))
	tb = h.page(t, "/lessons/the-finger/?again") // what the browser itself may have kept has another address
	if got := eval[string](t, tb, `document.body.textContent.trim().slice(0, 40)`); got == "down for repair" {
		t.Errorf("the page that is kept gives way to %q", got)
	}
	tb.visit(t, "http://"+h.address+"/lessons/the-knee/?again")
	if got := eval[string](t, tb, `document.body.textContent.trim().slice(0, 40)`); got != "down for repair" {
		t.Errorf("a page that is not kept shows %q, want what the host says", got)
	}
}
