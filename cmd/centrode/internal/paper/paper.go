// Package paper writes a placement sheet, or two side by side, as a file that stands alone: HTML or SVG, with the drawing
// and the style inside, light and dark, and made for one page of paper.
//
// Start at HTML and SVG. What is shown comes from calc/sheet, as on the page of the site.
package paper

import (
	_ "embed"

	"centrode/calc/figure"
	"centrode/calc/sheet"
	"centrode/cmd/centrode/internal/picture"
)

//go:embed paper.css
var rules string

// HTML returns one sheet, or two that sheet.Compare has marked, as the text of an HTML file without any script.
func HTML(views []sheet.View) []byte {
	body := sheet.Page(views[0], "sheet")
	if len(views) > 1 {
		body = sheet.Pair(views[0], views[1], "pair")
	}
	b := []byte("<!doctype html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n" +
		"<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; style-src 'unsafe-inline'\">\n" +
		"<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n")
	b = append(append(b, figure.Markup(figure.Node{Tag: "title", Text: views[0].Title})...), '\n')
	b = append(append(b, "<style>"+picture.Style(rules)+"</style>\n</head>\n<body>\n<main>\n"...), figure.Markup(body)...)
	return append(b, "\n</main>\n</body>\n</html>\n"...)
}
