package browser

import (
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"net/http"
	"net/http/httptest"
	"net/url"
	"os"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"
	"golang.org/x/net/html"

	"centrode/calc/plate"
)

// foreign opens a page of another origin with the body, which may ask this site for more.
func foreign(t testing.TB, body string, v view) *tab {
	t.Helper()
	other := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		w.Header().Set("Content-Type", "text/html; charset=utf-8")
		fmt.Fprintf(w, `<!doctype html><html lang="en"><head><title>A page of others</title><link rel="icon" href="data:,"></head><body>%s</body></html>`, body)
	}))
	t.Cleanup(other.Close)
	tb := blank(t, v)
	tb.friend = origin
	tb.visit(t, other.URL)
	return tb
}

// inFrame evaluates in the page's first frame, which its own page may not look into. A frame that is still being loaded
// loses what was asked of it, and is asked again.
func inFrame[T any](t testing.TB, tb *tab, expression string) (value T) {
	t.Helper()
	var last error
	for deadline := time.Now().Add(patience / 2); time.Now().Before(deadline); time.Sleep(20 * time.Millisecond) {
		var got json.RawMessage
		if got, last = askFrame(tb, expression); last == nil {
			must(t, json.Unmarshal(got, &value))
			return value
		}
	}
	t.Fatalf("%s: %v", expression, last)
	return value
}

// untilInFrame waits for the script expression to become true in the page's first frame.
func untilInFrame(t testing.TB, tb *tab, condition string) {
	t.Helper()
	for deadline := time.Now().Add(patience / 2); !inFrame[bool](t, tb, `new Promise((done) => requestAnimationFrame(() => done(Boolean(`+condition+`))))`); {
		if time.Now().After(deadline) {
			t.Fatalf("waited for %s in the frame", condition)
		}
	}
}

func askFrame(tb *tab, expression string) (json.RawMessage, error) {
	tree, err := chromedp.Call(tb.ctx, page.GetFrameTree, cdp.Empty{})
	if err != nil {
		return nil, err
	}
	if len(tree.FrameTree.ChildFrames) == 0 {
		return nil, errors.New("the page has no frame")
	}
	world, err := chromedp.Call(tb.ctx, page.CreateIsolatedWorld, page.CreateIsolatedWorldParams{FrameID: tree.FrameTree.ChildFrames[0].Frame.ID})
	if err != nil {
		return nil, err
	}
	yes := true
	got, err := chromedp.Call(tb.ctx, runtime.Evaluate, runtime.EvaluateParams{Expression: expression, ContextID: world.ExecutionContextID, ReturnByValue: &yes, AwaitPromise: &yes})
	if err != nil {
		return nil, err
	}
	if got.ExceptionDetails != nil {
		return nil, errors.New(describe(got.ExceptionDetails.Exception))
	}
	return json.RawMessage(got.Result.Value), nil
}

// The code that a plate gives shows it, with its state, on a page of another origin, where it can be dragged.
func TestAnEmbeddedPlateIsDraggedOnAForeignPage(t *testing.T) {
	parallel(t)
	p := openPlate(t, "finger-curl", "#plate-finger-curl?mcp_flex=81")
	p.until(t, `true`)
	code := p.press(t, "copy-embed")
	p.clean(t)
	tokens := html.NewTokenizer(strings.NewReader(code))
	tokens.Next()
	frame := tokens.Token()
	if frame.Data != "iframe" || len(frame.Attr) == 0 || frame.Attr[0].Key != "src" || tokens.Err() != nil {
		t.Fatalf("the code to embed is %s", code)
	}
	for _, v := range []view{{width: 900, height: 800, still: true}, {width: 340, height: 800, still: true}} {
		tb := foreign(t, code, v)
		untilInFrame(t, tb, `document.querySelector('[data-plate]')?.dataset.link?.includes('mcp_flex=81')`) // before its address is read, the plate is as printed
		link, err := url.Parse(inFrame[string](t, tb, `document.querySelector('[data-plate]').dataset.link`))
		must(t, err)
		if link.Scheme+"://"+link.Host+link.Path != origin+"/plates/finger-curl/" {
			t.Errorf("the plate in the frame is %s", link)
		}
		at := inFrame[point](t, tb, `(() => { const box = document.querySelector('.handle-hit').getBoundingClientRect(); return { X: box.x + box.width / 2, Y: box.y + box.height / 2 } })()`)
		corner := eval[point](t, tb, `(() => { const box = document.querySelector('iframe').getBoundingClientRect(); return { X: box.x, Y: box.y } })()`)
		at.X, at.Y = at.X+corner.X, at.Y+corner.Y
		hand := livePlate{tab: tb}
		before := inFrame[string](t, tb, `document.querySelector('[data-say]').textContent`)
		hand.mouse(t, "press", at)
		for i := range 5 {
			hand.mouse(t, "move", point{at.X + 6*float64(i+1), at.Y + 4*float64(i+1)})
		}
		hand.mouse(t, "release", point{at.X + 30, at.Y + 20})
		untilInFrame(t, tb, `!document.querySelector('[data-waiting]')`)
		after := inFrame[string](t, tb, `document.querySelector('[data-say]').textContent`)
		if after == before {
			t.Errorf("dragged in a frame %d px wide, the plate still says %q", v.width, before)
		}
		link, err = url.Parse(inFrame[string](t, tb, `(document.querySelector('[data-embed-home]').dispatchEvent(new Event('pointerdown')), document.querySelector('[data-embed-home]').href)`))
		must(t, err)
		_, state, _ := strings.Cut(link.EscapedFragment(), "?")
		state, _, _ = strings.Cut(state, "?")
		if a, err := plate.Run(find(t, "finger-curl"), state); err != nil || a.Say() != after {
			t.Errorf("the link back %s says otherwise than the plate: %q (%v)", link, after, err)
		}
		if wide := inFrame[int](t, tb, `document.documentElement.scrollWidth - document.documentElement.clientWidth`); wide > 0 {
			t.Errorf("in a frame of a window %d px wide the plate is %d px too wide", v.width, wide)
		}
		if menus := inFrame[int](t, tb, `document.querySelectorAll('nav, .page-header, [data-search]').length`); menus > 0 {
			t.Errorf("the embed has %d pieces of the site's navigation", menus)
		}
		tb.clean(t)
	}
}

func TestAnOrdinaryPageRefusesAForeignFrame(t *testing.T) {
	parallel(t)
	for _, address := range []string{"/", "/lessons/the-finger/", "/plates/finger-curl/", "/nowhere", "/embed"} {
		tb := foreign(t, `<iframe src="`+origin+address+`" width="600" height="400"></iframe>`, view{})
		tb.until(t, loaded)
		if at := inFrame[string](t, tb, `location.protocol + (document.querySelector('main') ? ' with a page' : '')`); at != "chrome-error:" {
			t.Errorf("%s stands in a foreign frame (%s): %s", address, at, strings.Join(tb.troubles(), "\n"))
		}
	}
}

// Where a plate is gone, its frame shows the page that says so. A page of the book would be refused in the frame.
func TestWhereAPlateIsGoneTheFramesLinksLeadOutOfIt(t *testing.T) {
	parallel(t)
	tb := foreign(t, `<iframe src="`+origin+`/embed/plates/finger-crul/" width="600" height="400"></iframe>`, view{})
	untilInFrame(t, tb, `document.querySelector('[data-nearest]:not([hidden]) a') !== null`)
	if stuck := inFrame[[]string](t, tb, `[...document.links].filter((link) => link.target !== '_blank' || !link.relList.contains('noopener')).map((link) => link.href)`); len(stuck) > 0 {
		t.Errorf("these links lead to a page that the frame refuses: %q", stuck)
	}
}

// The rules name the site's folders one by one, so a new folder needs a rule.
func TestEveryFileIsSentWithItsContentPolicy(t *testing.T) {
	parallel(t)
	count := 0
	must(t, fs.WalkDir(os.DirFS(public), ".", func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || strings.HasSuffix(name, ".br") || strings.HasSuffix(name, ".gz") || strings.HasPrefix(name, ".") {
			return err
		}
		count++
		address := "/" + strings.TrimSuffix(name, "index.html")
		answer, err := http.Head(origin + address)
		must(t, err)
		answer.Body.Close()
		want := "frame-ancestors 'none'"
		if strings.HasPrefix(name, "embed/") {
			want = "frame-ancestors *"
		}
		if got := answer.Header.Get("Content-Security-Policy"); !strings.HasSuffix(got, want) {
			t.Errorf("%s is sent with the content policy %q, want one that ends in %q; its folder belongs into the table of cmd/centrode/internal/preview/headers.go", address, got, want)
		}
		return nil
	}))
	if count < 100 {
		t.Errorf("only %d files", count)
	}
}
