package site

import (
	"bytes"
	"path"

	"github.com/tdewolff/minify/v2"
	"github.com/tdewolff/minify/v2/html"
	"github.com/tdewolff/minify/v2/json"
	"github.com/tdewolff/minify/v2/svg"
	"github.com/tdewolff/minify/v2/xml"
)

// mediaTypes tells the minifier what a page file is; files of other kinds pass unchanged. Styles and scripts arrive
// already minified from asset.
var mediaTypes = map[string]string{".html": "text/html", ".json": "application/json", ".xml": "text/xml", ".svg": "image/svg+xml"}

// minifiers make pages and data shorter. They are safe for many goroutines.
type minifiers struct {
	pages    *minify.M
	pictures *minify.M // apart, or the figures inside pages would be touched
}

// newMinifiers keeps what validity, style and script rely on: end tags, quotes, document tags and default attributes
// (a style may select input[type=text]). SVG and MathML inside a page pass unchanged: both are generated short, and
// the live figure must not differ from the static one.
func newMinifiers() minifiers {
	m, pictures := minify.New(), minify.New()
	page := &html.Minifier{KeepDefaultAttrVals: true, KeepDocumentTags: true, KeepEndTags: true, KeepQuotes: true}
	m.Add("text/html", page)
	m.Add("application/json", &json.Minifier{KeepNumbers: true})
	m.Add("application/ld+json", &json.Minifier{KeepNumbers: true})
	m.Add("text/xml", &xml.Minifier{})
	pictures.Add("image/svg+xml", &svg.Minifier{})
	return minifiers{m, pictures}
}

// shorter returns a file made shorter, which shares no memory with what was given.
func (m minifiers) shorter(name string, data []byte) ([]byte, error) {
	switch kind := mediaTypes[path.Ext(name)]; kind {
	case "":
		return bytes.Clone(data), nil
	case "image/svg+xml":
		return m.pictures.Bytes(kind, data)
	default:
		return m.pages.Bytes(kind, data)
	}
}
