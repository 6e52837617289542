package browser

import (
	"net/http"
	"testing"

	"github.com/chromedp/cdproto/storage"
	"github.com/chromedp/chromedp"
)

// Where a browser has no room for what every page needs, the page about keeping says so, and does not wait without end.
func TestWithoutRoomThePageAboutKeepingSaysSo(t *testing.T) {
	parallel(t)
	var h host
	h.start(t, public)
	tb := blank(t, view{still: true, keeps: true})
	_, err := chromedp.Call(tb.ctx, storage.OverrideQuotaForOrigin, storage.OverrideQuotaForOriginParams{Origin: "http://" + h.address, QuotaSize: new(float64(1000))})
	must(t, err)
	tb.visit(t, "http://"+h.address+"/offline/")
	tb.until(t, alive)
	if err := tb.wait(`document.querySelector('[data-keep-state]').textContent.includes('no room')`, patience/6); err != nil {
		t.Errorf("the page says %q", eval[string](t, tb, `document.querySelector('[data-keep-state]').textContent`))
	}
}

// A host that shuts its pages in, as one for files of others does, refuses a page the worker that keeps it, and nothing else.
func TestAPageThatItsHostShutsInHasNoTrouble(t *testing.T) {
	parallel(t)
	var h host
	files := http.FileServer(http.Dir(public))
	h.serve(t, http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		w.Header().Set("Access-Control-Allow-Origin", "*")
		w.Header().Set("Content-Security-Policy", "sandbox allow-scripts")
		files.ServeHTTP(w, r)
	}))
	tb := h.page(t, "/plates/hinge-arc/")
	tb.until(t, plateIsOn)
	eval[bool](t, tb, `new Promise((done) => requestIdleCallback(() => setTimeout(done, 1000, true)))`) // the worker is asked for when all else has come
	if said := eval[string](t, tb, `document.querySelector('.page-failure')?.textContent ?? ''`); said != "" {
		t.Errorf("the page says %q", said)
	}
}
