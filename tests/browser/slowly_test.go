package browser

import (
	"bytes"
	"io"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
	"time"
)

// A page that comes slowly is alive to its last exercise: scripts do not begin before it has come to its end, even where a link asks for
// them at once.
func TestAPageThatComesSlowlyIsAliveToItsEnd(t *testing.T) {
	parallel(t)
	slow := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		res, err := http.Get(origin + r.URL.Path)
		if err != nil {
			http.Error(w, err.Error(), http.StatusBadGateway)
			return
		}
		defer res.Body.Close()
		body, _ := io.ReadAll(res.Body)
		w.Header().Set("Content-Type", res.Header.Get("Content-Type"))
		if at := bytes.Index(body, []byte("<main")); strings.HasSuffix(r.URL.Path, "/") && at >= 0 {
			_, _ = w.Write(body[:at+2000])
			w.(http.Flusher).Flush()
			time.Sleep(1500 * time.Millisecond)
			body = body[at+2000:]
		}
		_, _ = w.Write(body)
	}))
	defer slow.Close()
	for _, hash := range []string{"", "#pin-debt?1?2?3"} {
		tb := blank(t, view{still: true})
		tb.visit(t, slow.URL+"/lessons/the-owed-translation/"+hash)
		tb.until(t, alive+` && document.readyState === 'complete'`)
		const bars = `[...document.querySelectorAll('[data-exercise] [data-numbers]')]`
		if dead := eval[int](t, tb, bars+`.filter((bar) => bar.hidden).length`); dead > 0 || eval[int](t, tb, bars+`.length`) == 0 {
			t.Errorf("%q: %d exercises stay as printed", hash, dead)
		}
		if note := eval[string](t, tb, `document.querySelector('#pin-debt [data-numbers-note]').textContent`); (note != "") != (hash != "") {
			t.Errorf("%q: its note says %q", hash, note)
		}
	}
}
