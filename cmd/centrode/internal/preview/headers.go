package preview

import (
	"net/http"
	"path"
	"strings"
)

// Header is one response header.
type Header struct{ Name, Value string }

// Rule gives headers to the addresses that match For: an exact path, or a prefix that ends in "*".
type Rule struct {
	For    string
	Values []Header
}

// ownPolicy lets a page load its own styles, scripts, fonts and pictures, talk to its own origin, and start WebAssembly
// and workers of its own; nothing inline, nothing from elsewhere, no frames inside.
var ownPolicy = strings.Join([]string{
	"default-src 'none'",
	"script-src 'self' 'wasm-unsafe-eval'",
	"style-src 'self'",
	"img-src 'self'",
	"font-src 'self'",
	"connect-src 'self'",
	"worker-src 'self'",
	"manifest-src 'self'",
	"base-uri 'none'",
	"form-action 'none'",
}, "; ")

// No page may stand in a frame, so that nobody can lay something over it; pages under /embed/ are made for frames: one
// plate, and nothing that a hidden click could set off.
var (
	contentPolicy = ownPolicy + "; frame-ancestors 'none'"
	embedPolicy   = ownPolicy + "; frame-ancestors *"
)

// unframed are the addresses of all that is no embed. They are listed one by one because hosts differ in what two rules
// for one header come to; a test holds the list to the built site.
var unframed = []string{"/", "/404.html", "/changes.atom", "/index.html", "/index.json", "/manifest.webmanifest", "/search.json", keeper, "/assets/*", "/cast/*", "/changes/*",
	"/checks/*", "/de/*", "/fitting-room/*", "/glossary/*", "/lessons/*", "/offline/*", "/parts/*", "/paths/*", "/plates/*", "/progress/*", "/sheet/*", "/sources/*", "/specimens/*"}

// keeper is the service worker. A browser must ask for it anew, or pages that are kept would never change.
const keeper = "/offline-worker.js"

// unused are the abilities that no page of the site asks a browser for.
var unused = strings.Join([]string{
	"accelerometer=()", "camera=()", "display-capture=()", "geolocation=()", "gyroscope=()", "magnetometer=()",
	"microphone=()", "midi=()", "payment=()", "usb=()",
}, ", ")

// Headers is the one table of the site's response headers. The preview sends them, and a test holds netlify.toml to
// them, so that what works here works there. No two rules that match one address name the same header: hosts differ in
// which of them would count.
var Headers = append([]Rule{
	{"/*", []Header{
		{"Cross-Origin-Opener-Policy", "same-origin"},
		{"Permissions-Policy", unused},
		{"Referrer-Policy", "no-referrer"},
		{"X-Content-Type-Options", "nosniff"},
		// An address that leads nowhere is in no list, and its answer is a page too. Where a policy speaks of frames, as those below do,
		// browsers pass this over: so says the standard of HTML, and a test of tests/browser sees it.
		{"X-Frame-Options", "DENY"},
	}},
	{"/assets/*", []Header{ // the names carry a hash of the content
		{"Access-Control-Allow-Origin", "*"}, // a plate in a sandboxed frame has no origin that is ours
		{"Cache-Control", "public, max-age=31536000, immutable"},
	}},
	{keeper, []Header{{"Cache-Control", "no-cache"}}},
	{"/embed/*", []Header{{policyHeader, embedPolicy}}},
}, closed(unframed)...)

const policyHeader = "Content-Security-Policy"

func closed(addresses []string) []Rule {
	var rules []Rule
	for _, address := range addresses {
		rules = append(rules, Rule{address, []Header{{policyHeader, contentPolicy}}})
	}
	return rules
}

func (r Rule) matches(address string) bool {
	if prefix, ok := strings.CutSuffix(r.For, "*"); ok {
		return strings.HasPrefix(address, prefix)
	}
	return address == r.For
}

// revalidate is what the host says of files that no rule speaks of: keep a copy, and ask each time whether it is good.
const revalidate = "public, max-age=0, must-revalidate"

// setHeaders writes the headers that the table gives to the address.
func setHeaders(h http.Header, address string) {
	h.Set("Cache-Control", revalidate)
	for _, r := range Headers {
		if r.matches(address) {
			for _, v := range r.Values {
				h.Set(v.Name, v.Value)
			}
		}
	}
}

// contentTypes name every kind of file that a site holds; the system's own table is not asked, since it differs from
// one machine to the next.
var contentTypes = map[string]string{
	".html":  "text/html; charset=utf-8",
	".css":   "text/css; charset=utf-8",
	".js":    "text/javascript; charset=utf-8",
	".json":  "application/json",
	".xml":   "application/xml; charset=utf-8",
	".atom":  "application/atom+xml; charset=utf-8",
	".txt":   "text/plain; charset=utf-8",
	".svg":   "image/svg+xml",
	".png":   "image/png",
	".wasm":  "application/wasm",
	".woff2": "font/woff2",
	".glb":   "model/gltf-binary",
	".csv":   "text/csv; charset=utf-8",

	".webmanifest": "application/manifest+json",
}

func contentType(file string) string {
	if kind, ok := contentTypes[path.Ext(file)]; ok {
		return kind
	}
	return "application/octet-stream"
}
