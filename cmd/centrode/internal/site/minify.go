package site

import (
	"maps"
	"path"
	"slices"

	"github.com/tdewolff/minify/v2"
	"github.com/tdewolff/minify/v2/html"
	"github.com/tdewolff/minify/v2/json"
	"github.com/tdewolff/minify/v2/svg"
	"github.com/tdewolff/minify/v2/xml"
)

// mediaTypes tells the minifier what a page file is; files of other kinds pass unchanged. Styles and scripts arrive
// already minified from asset.
var mediaTypes = map[string]string{".html": "text/html", ".json": "application/json", ".xml": "text/xml", ".svg": "image/svg+xml"}

// newMinifier keeps what validity, style and script rely on: end tags, quotes, document tags and default attributes
// (a style may select input[type=text]). SVG and MathML inside a page pass unchanged: both are generated short, and
// the live figure must not differ from the static one.
func newMinifier() *minify.M {
	m := minify.New()
	page := &html.Minifier{KeepDefaultAttrVals: true, KeepDocumentTags: true, KeepEndTags: true, KeepQuotes: true}
	m.Add("text/html", page)
	m.Add("application/json", &json.Minifier{KeepNumbers: true})
	m.Add("application/ld+json", &json.Minifier{KeepNumbers: true})
	m.Add("text/xml", &xml.Minifier{})
	return m
}

// minifyAll returns files with pages and data made shorter.
func minifyAll(files map[string][]byte) (map[string][]byte, error) {
	m := newMinifier()
	pictures := minify.New() // not part of m, which would then touch the figures inside pages
	pictures.Add("image/svg+xml", &svg.Minifier{})
	names := slices.Sorted(maps.Keys(files))
	short, err := parallel(names, func(name string) ([]byte, error) {
		switch kind := mediaTypes[path.Ext(name)]; kind {
		case "":
			return files[name], nil
		case "image/svg+xml":
			return pictures.Bytes(kind, files[name])
		default:
			return m.Bytes(kind, files[name])
		}
	})
	if err != nil {
		return nil, err
	}
	out := make(map[string][]byte, len(files))
	for i, name := range names {
		out[name] = short[i]
	}
	return out, nil
}
