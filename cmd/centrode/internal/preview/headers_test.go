package preview

import (
	"fmt"
	"net/http"
	"os"
	"strings"
	"testing"
)

// netlify writes the table as the host reads it.
func netlify() string {
	var b strings.Builder
	for i, r := range Headers {
		if i > 0 {
			b.WriteByte('\n')
		}
		fmt.Fprintf(&b, "[[headers]]\n  for = %q\n  [headers.values]\n", r.For)
		for _, v := range r.Values {
			fmt.Fprintf(&b, "    %s = %q\n", v.Name, v.Value)
		}
	}
	return b.String()
}

func TestTheHostSendsTheHeadersOfThePreview(t *testing.T) {
	data, err := os.ReadFile("../../../../netlify.toml")
	if err != nil {
		t.Fatal(err)
	}
	text := string(data)
	at := strings.Index(text, "[[headers]]")
	if at < 0 || text[at:] != netlify() {
		t.Errorf("netlify.toml must end with exactly this:\n\n%s", netlify())
	}
	if !strings.Contains(text, `publish = "public"`) {
		t.Error("netlify.toml does not publish the folder that build writes")
	}
}

func TestThePolicyAllowsNothingInlineAndNothingFromElsewhere(t *testing.T) {
	allowed := map[string]string{}
	for directive := range strings.SplitSeq(contentPolicy, "; ") {
		name, sources, _ := strings.Cut(directive, " ")
		allowed[name] = sources
	}
	for name, want := range map[string]string{
		"default-src": "'none'", "script-src": "'self' 'wasm-unsafe-eval'", "style-src": "'self'", "base-uri": "'none'", "frame-ancestors": "'none'",
	} {
		if allowed[name] != want {
			t.Errorf("%s allows %q, want %q", name, allowed[name], want)
		}
	}
	for _, loose := range []string{"'unsafe-inline'", "'unsafe-eval'", "*", "http:", "https:", "data:", "blob:"} {
		for name, sources := range allowed {
			if strings.Contains(" "+sources+" ", " "+loose+" ") {
				t.Errorf("%s allows %s", name, loose)
			}
		}
	}
}

func TestOnlyEmbedsMayStandInAFrame(t *testing.T) {
	for address, want := range map[string]string{"/": "'none'", "/lessons/a/": "'none'", "/plates/a/": "'none'", "/embed/plates/a/": "*"} {
		h := http.Header{}
		setHeaders(h, address)
		if got := h.Get(policyHeader); !strings.HasSuffix(got, "; frame-ancestors "+want) || !strings.HasPrefix(got, ownPolicy) {
			t.Errorf("%s: %s", address, got)
		}
	}
}

// A host answers more than one address with the same page; none of them may leave out what keeps the page from standing in a frame.
func TestAPageHasItsHeadersUnderEachOfItsAddresses(t *testing.T) {
	shelf := NewShelf(map[string][]byte{"index.html": []byte("home"), "lessons/a/index.html": []byte("a"), "embed/plates/a/index.html": []byte("e"), "assets/site.ABCD.js": []byte("s")})
	for address, want := range map[string]string{
		"/": "'none'", "/index.html": "'none'", "//": "'none'", "/lessons/a/": "'none'", "/lessons/a/index.html": "'none'", "//lessons/a/": "'none'", "/lessons//a/": "'none'",
		"/embed/../lessons/a/": "'none'", "//assets/site.ABCD.js": "'none'", "//embed/plates/a/": "*",
	} {
		r := get(t, shelf, address)
		if got := r.Header.Get(policyHeader); r.StatusCode != http.StatusOK || !strings.HasSuffix(got, "; frame-ancestors "+want) {
			t.Errorf("%s: %d, %q; want frame-ancestors %s", address, r.StatusCode, got, want)
		}
	}
}

// No list can name the addresses that lead nowhere, and each is answered with a page that has the site's head.
func TestAnAddressThatLeadsNowhereMayStandInNoFrame(t *testing.T) {
	shelf := NewShelf(sample)
	for _, address := range []string{"/nowhere", "/nowhere/", "/embed", "/favicon.ico", "/lessons/none/"} {
		r := get(t, shelf, address)
		if r.StatusCode != http.StatusNotFound || r.Header.Get("X-Frame-Options") != "DENY" && !strings.Contains(r.Header.Get(policyHeader), "frame-ancestors 'none'") {
			t.Errorf("%s: %d, may stand in a frame: %v", address, r.StatusCode, r.Header)
		}
	}
}

func TestNoTwoRulesNameTheSameHeaderForOneAddress(t *testing.T) {
	for _, address := range []string{"/", "/lessons/a/", "/assets/site.ABCD.js", "/embed/plates/a/", "/offline-worker.js", "/nowhere"} {
		seen := map[string]string{}
		for _, r := range Headers {
			for _, v := range r.Values {
				if r.matches(address) && seen[v.Name] != "" {
					t.Errorf("%s: both %s and %s set %s", address, seen[v.Name], r.For, v.Name)
				}
				if r.matches(address) {
					seen[v.Name] = r.For
				}
			}
		}
	}
}
