package browser

import (
	"flag"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

var everyPage = flag.Bool("every", false, "open every page of the site for the report of the content policy, and not one of each kind in each language")

// htmlPages lists the addresses of all built pages: /404.html, and else as readers know them.
func htmlPages(t *testing.T) []string {
	t.Helper()
	var out []string
	err := filepath.WalkDir(public, func(name string, d fs.DirEntry, err error) error {
		if err == nil && strings.HasSuffix(name, ".html") {
			rel, _ := filepath.Rel(public, name)
			out = append(out, "/"+strings.TrimSuffix(filepath.ToSlash(rel), "index.html"))
		}
		return err
	})
	must(t, err)
	slices.Sort(out)
	return out
}

// oneOfEach keeps the first page of each folder.
func oneOfEach(pages []string) (out []string) {
	seen := map[string]bool{}
	for _, page := range pages {
		folder := page
		if rest, framed := strings.CutPrefix(page, "/embed/"); framed {
			folder = "/embed/" + rest[:strings.Index(rest, "/")]
		} else if strings.Count(strings.TrimPrefix(page, "/de"), "/") > 2 {
			folder = page[:strings.LastIndex(strings.TrimSuffix(page, "/"), "/")]
		}
		if !seen[folder] {
			out = append(out, page)
		}
		seen[folder] = true
	}
	return out
}

// listenForReports notes what the policy refuses from the page's first moment on; the page cannot be seen to do so.
const listenForReports = `{
	globalThis.refusals = [];
	document.addEventListener('securitypolicyviolation', (e) => refusals.push(e.violatedDirective + ' refused ' + (e.blockedURI || 'something inline') + ' at ' + e.sourceFile + ':' + e.lineNumber));
}`

// The whole site gives the content policy nothing to refuse, and the console no error. go test ./tests/browser -run ContentPolicy -args -every
// opens every page; otherwise one of each kind in each language is opened.
func TestNothingOfTheSiteIsRefusedByItsContentPolicy(t *testing.T) {
	parallel(t)
	pages := htmlPages(t)
	if !*everyPage {
		pages = oneOfEach(pages)
	}
	if len(pages) < 25 {
		t.Errorf("only %d pages: %v", len(pages), pages)
	}
	opened := 0
	for dozen := range slices.Chunk(pages, 12) {
		tb := blank(t, view{still: true})
		tb.early(t, listenForReports)
		for _, address := range dozen {
			tb.visit(t, origin+address)
			tb.settle(t)
			if got := eval[string](t, tb, `new Promise((done) => requestAnimationFrame(() => setTimeout(() => done(refusals.join('; ')))))`); got != "" {
				t.Errorf("%s: %s", address, got)
			}
			for _, line := range tb.forget() {
				if address != "/404.html" || !strings.Contains(line, "404") {
					t.Errorf("%s: %s", address, line)
				}
			}
			opened++
		}
		if dozen[0] == pages[0] { // what is refused is seen, or the rest says nothing
			got := eval[string](t, tb, `new Promise((done) => { const s = document.createElement('script'); s.textContent = 'ran=1'; document.body.append(s); setTimeout(() => done(refusals.join('; '))); })`)
			if !strings.Contains(got, "script-src") {
				t.Errorf("an inline script is refused, and %q is reported", got)
			}
		}
		tb.shut()
	}
	t.Logf("%d pages of %d", opened, len(htmlPages(t)))
}

// Whatever a page, a style or a script loads by itself is of the site. Links that a reader follows are not meant.
func TestNoFileOfTheSiteLoadsFromAnotherHost(t *testing.T) {
	parallel(t)
	files := 0
	err := filepath.WalkDir(public, func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		data, err := os.ReadFile(name)
		rel, _ := filepath.Rel(public, name)
		files++
		for _, found := range loadsFromElsewhere(filepath.Ext(name), string(data)) {
			t.Errorf("%s: %s", filepath.ToSlash(rel), found)
		}
		return err
	})
	must(t, err)
	if files < 300 {
		t.Errorf("only %d files were read", files)
	}
}

func TestALoadFromElsewhereIsSeen(t *testing.T) {
	parallel(t)
	for text, want := range map[string]bool{
		`<img src="https://a.example/x.png">`: true, `<img src=//a.example/x.png>`: true, `<img srcset="/a.png 1x, https://a.example/b.png 2x">`: true,
		`<link rel=stylesheet href=https://a.example/x.css>`: true, `<form action="https://a.example/">`: true, `<a href=https://a.example/ ping=https://b.example/>x</a>`: true,
		`<svg><use href="https://a.example/x.svg#a"/></svg>`: true, `<div style="background:url(https://a.example/x)">`: true, `<meta http-equiv=refresh content="0;url=https://a.example/">`: true,
		`<a href=https://a.example/>x</a>`: false, `<link rel=license href=https://a.example/>`: false, `<img src=/x.png>`: false, `<svg xmlns="http://www.w3.org/2000/svg"></svg>`: false,
	} {
		if got := loadsFromElsewhere(".html", text); len(got) > 0 != want {
			t.Errorf("%s: %v", text, got)
		}
	}
	for ext, texts := range map[string][2]string{
		".css": {`a{background:url(//a.example/x)}`, `a{background:url(/x)}`}, ".js": {`fetch("https://a.example/x")`, `n("http://www.w3.org/2000/svg")`},
		".webmanifest": {`{"icons":[{"src":"https://a.example/x.png"}]}`, `{"icons":[{"src":"/x.png"}]}`},
	} {
		if len(loadsFromElsewhere(ext, texts[0])) == 0 || len(loadsFromElsewhere(ext, texts[1])) > 0 {
			t.Errorf("%s: %v, %v", ext, loadsFromElsewhere(ext, texts[0]), loadsFromElsewhere(ext, texts[1]))
		}
	}
}
