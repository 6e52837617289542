package browser

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"net"
	"net/http"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
)

// host serves a folder at one address, and can be stopped and started again there.
type host struct {
	address string
	server  *http.Server
}

func (h *host) start(t testing.TB, dir string) {
	t.Helper()
	h.serve(t, http.FileServer(http.Dir(dir)))
}

// serve answers by a handler where a folder does not say it all.
func (h *host) serve(t testing.TB, handler http.Handler) {
	t.Helper()
	if h.address == "" {
		h.address = "127.0.0.1:0"
	}
	l, err := net.Listen("tcp", h.address)
	must(t, err)
	h.address = l.Addr().String()
	h.server = &http.Server{Handler: handler}
	go h.server.Serve(l)
	t.Cleanup(h.stop)
}

func (h *host) stop() { h.server.Close() }

// page opens a page of the host in a tab of its own.
func (h *host) page(t testing.TB, address string) *tab {
	t.Helper()
	tb := blank(t, view{still: true, keeps: true})
	tb.visit(t, "http://"+h.address+address)
	return tb
}

const (
	controlled = `navigator.serviceWorker.controller !== null`
	plateIsOn  = `(() => { document.querySelector('[data-plate]').scrollIntoView(); return document.querySelector('[data-plate]').dataset.engine === 'on' })()`
	heading    = `document.querySelector('h1').textContent`
)

// kept is a script expression: whether some cache holds the address.
func kept(address string) string { return `caches.match('` + address + `').then(Boolean)` }

func TestAVisitedPageAndItsCalculatorWorkWithoutTheServer(t *testing.T) {
	parallel(t)
	var h host
	h.start(t, public)
	tb := h.page(t, "/lessons/the-finger/")
	tb.until(t, controlled)
	tb.until(t, kept("/lessons/the-finger/"))
	tb.searches(t, "knuckle")
	tb.until(t, kept("/search.json"))
	h.stop()
	tb = h.page(t, "/lessons/the-finger/")
	tb.until(t, plateIsOn)
	tb.searches(t, "knuckle") // what was searched once can be searched on
	if asked := eval[bool](t, tb, `document.fonts.ready.then(() => document.fonts.check('16px "Handbook Serif"'))`); !asked {
		t.Error("the fonts are not kept")
	}
	tb = h.page(t, "/lessons/the-knee/")
	if got := eval[string](t, tb, heading); got != "Without a network" {
		t.Errorf("a page that was never read shows %q", got)
	}
}

// A plate made for other people's frames shares its origin with the handbook that a reader keeps.
func TestAnEmbedLeavesWhatIsKept(t *testing.T) {
	parallel(t)
	var h host
	h.start(t, public)
	tb := h.page(t, "/lessons/the-finger/")
	tb.until(t, controlled)
	tb.until(t, kept("/lessons/the-finger/"))
	tb = h.page(t, "/embed/plates/finger-curl/")
	tb.until(t, plateIsOn)
	eval[bool](t, tb, `new Promise((done) => setTimeout(done, 1000, true))`) // whatever begins with the load has ended
	if got := eval[int](t, tb, `navigator.serviceWorker.getRegistrations().then((all) => all.length)`); got != 1 {
		t.Errorf("after an embed %d workers keep pages", got)
	}
	if !eval[bool](t, tb, kept("/lessons/the-finger/")) {
		t.Error("an embed takes away the lesson that was kept")
	}
}

// The engines of the fitting room and of placement sheets are as large as all else that a first visit brings. What a page alone loads is
// kept before it, on the first visit too, when it came past the worker.
func TestAnEngineOfOnePageIsKeptWithItAndNoSooner(t *testing.T) {
	parallel(t)
	const parts = `(() => { const { script, module, ink } = document.querySelector('[data-room]').dataset; return [script, module, ink, document.querySelector('[data-cast]').dataset.cast, document.querySelector('link[href*="/room."]').href] })()`
	var h host
	h.start(t, public)
	tb := h.page(t, "/")
	tb.until(t, controlled)
	tb.until(t, kept("/"))
	if got := eval[[]string](t, tb, `caches.keys().then((names) => caches.open(names.find((name) => name.startsWith('centrode-'))))
		.then((cache) => cache.keys()).then((all) => all.map(({ url }) => url).filter((url) => /assets\/(room|ink|sheet|specimens)\b/.test(url)))`); len(got) > 0 {
		t.Errorf("a visit of the first page brings %q", got)
	}
	var other host // another origin, where nothing is kept
	other.start(t, public)
	tb = other.page(t, "/fitting-room/")
	tb.until(t, controlled)
	tb.until(t, kept("/fitting-room/"))
	tb.visit(t, "http://"+other.address+"/sheet/")
	tb.until(t, kept("/sheet/"))
	tb.until(t, `caches.match(document.documentElement.dataset.calculators).then(Boolean)`)
	other.stop()
	tb.visit(t, "http://"+other.address+"/sheet/")
	if !eval[bool](t, tb, `fetch(document.documentElement.dataset.calculators).then(({ ok }) => ok, () => false)`) {
		t.Error("without the server the placement sheet lacks its engine")
	}
	tb = other.page(t, "/fitting-room/")
	for _, part := range eval[[]string](t, tb, parts) {
		if !eval[bool](t, tb, `fetch('`+part+`').then(({ ok }) => ok, () => false)`) {
			t.Errorf("without the server the fitting room lacks %s", part)
		}
	}
	tb.clean(t)
}

func TestTheWholeSiteIsKeptOnRequestAndReplacedWhole(t *testing.T) {
	parallel(t)
	var h host
	h.start(t, public)
	tb := h.page(t, "/offline/")
	tb.until(t, controlled)
	tb.until(t, `/^Kept: \d+ of \d+ pages. The rest takes \d+\.\d\sMB/.test(document.querySelector('[data-keep-state]').textContent)`)
	eval[bool](t, tb, `(document.querySelector('[data-keep-save]').click(), true)`)
	tb.until(t, `document.querySelector('[data-keep-bar]').value > 0`)
	eval[bool](t, tb, `(document.querySelector('[data-keep-cancel]').click(), true)`)
	tb.until(t, `document.querySelector('[data-keep-state]').textContent.startsWith('Stopped')`)
	eval[bool](t, tb, `(document.querySelector('[data-keep-save]').click(), true)`)
	tb.until(t, `document.querySelector('[data-keep-state]').textContent.startsWith('The whole handbook is kept')`)
	tb.clean(t)
	h.stop()
	tb = h.page(t, "/lessons/the-knee") // as a person types it; the host would lead to the address with the slash
	tb.until(t, plateIsOn)
	if at := eval[string](t, tb, `location.pathname`); at != "/lessons/the-knee/" {
		t.Errorf("without the server and without its slash the lesson stands at %s", at)
	}

	// A new edition: another sentence on every page, another style sheet, and the one of before gone.
	next := t.TempDir()
	_, is := nextEdition(t, next)
	h.start(t, next)
	tb = h.page(t, "/")
	tb.until(t, `caches.keys().then((names) => names.includes('centrode-`+is+`'))`)
	tb.until(t, `navigator.serviceWorker.getRegistration().then((r) => !r.installing && !r.waiting && r.active.state === 'activated')`)
	h.stop()
	tb = h.page(t, "/lessons/the-knee/") // never read since: the worker brought it
	tb.until(t, alive)
	tb.until(t, plateIsOn)
	if got := eval[string](t, tb, `document.querySelector('.page-licence').textContent`); !strings.Contains(got, "Second edition") {
		t.Errorf("without the server the page is one of before: %q", got)
	}
	if got := eval[string](t, tb, `getComputedStyle(document.documentElement).getPropertyValue('--edition').trim()`); got != "two" {
		t.Errorf("the page of the new edition has a style sheet of edition %q", got)
	}
	h.start(t, next)
	tb = h.page(t, "/") // the tabs of before are still open here, and need not be
	if names := eval[[]string](t, tb, `caches.keys()`); len(names) < 2 || !slices.Contains(names, "centrode-"+is) {
		t.Errorf("kept are %q", names)
	}
	page := h.page(t, "/offline/")
	page.until(t, `document.querySelector('[data-keep-remove]')?.hidden === false`)
	eval[bool](t, page, `(document.querySelector('[data-keep-remove]').click(), true)`)
	tb.until(t, `caches.keys().then((names) => names.length === 0)`)
}

// nextEdition writes the site into dir as another edition, and returns the names of both.
func nextEdition(t testing.TB, dir string) (was, is string) {
	t.Helper()
	must(t, os.CopyFS(dir, os.DirFS(public)))
	styles, err := filepath.Glob(filepath.Join(dir, "assets", "site.*.css"))
	if err != nil || len(styles) != 1 {
		t.Fatalf("style sheets: %q %v", styles, err)
	}
	before := "/assets/" + filepath.Base(styles[0])
	const after = "/assets/site.SECONDED.css"
	css, err := os.ReadFile(styles[0])
	must(t, err)
	css = append(css, ":root{--edition:two}"...)
	must(t, os.WriteFile(filepath.Join(dir, filepath.FromSlash(after)), css, 0o600))
	must(t, os.Remove(styles[0]))
	worker := filepath.Join(dir, "offline-worker.js")
	text, err := os.ReadFile(worker)
	must(t, err)
	parts := regexp.MustCompile(`(?s)^self\.edition=(.*?);\n(.*)$`).FindSubmatch(text)
	var edition struct {
		Version string              `json:"version"`
		Files   map[string][2]any   `json:"files"`
		Core    []string            `json:"core"`
		Own     map[string][]string `json:"own"`
	}
	must(t, json.Unmarshal(parts[1], &edition))
	was, is, edition.Version = edition.Version, "second", "second"
	note := func(address string, data []byte) {
		sum := sha256.Sum256(data)
		edition.Files[address] = [2]any{hex.EncodeToString(sum[:8]), len(data)}
	}
	for address := range edition.Files {
		if !strings.HasSuffix(address, "/") {
			continue
		}
		name := filepath.Join(dir, filepath.FromSlash(address), "index.html")
		page, err := os.ReadFile(name)
		must(t, err)
		page = bytes.ReplaceAll(bytes.ReplaceAll(page, []byte(before), []byte(after)), []byte(`<p class="page-licence">`), []byte(`<p class="page-licence">Second edition. `))
		must(t, os.WriteFile(name, page, 0o600))
		note(address, page)
	}
	delete(edition.Files, before)
	note(after, css)
	for i, address := range edition.Core {
		if address == before {
			edition.Core[i] = after
		}
	}
	told, err := json.Marshal(edition)
	must(t, err)
	must(t, os.WriteFile(worker, []byte("self.edition="+string(told)+";\n"+string(parts[2])), 0o600))
	return was, is
}
