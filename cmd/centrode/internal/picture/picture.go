// Package picture writes a drawing as an SVG file that stands alone: with its own style, light and dark, for a document
// or a message where the theme does not reach.
//
// Start at SVG. What can be dragged in a page is a plain marker here. The style holds no variables, since many programs
// that read SVG know none.
package picture

import (
	_ "embed"
	"regexp"
	"slices"
	"strings"

	"centrode/calc/figure"
)

//go:embed picture.css
var styles string

// width is the sheet's width in pixels: wide enough for labels at their natural size, narrow enough for a column of text.
const width = 640

// SVG returns the drawing as the text of an SVG file.
func SVG(f figure.Figure) []byte {
	root := figure.Layout(figure.Still(f), figure.Options{Width: width})
	_, size, _ := strings.Cut(root.Attr("viewBox"), "0 0 ")
	across, down, _ := strings.Cut(size, " ")
	root.Attrs = append([]figure.Attr{{Name: "xmlns", Value: "http://www.w3.org/2000/svg"},
		{Name: "width", Value: across}, {Name: "height", Value: down}}, root.Attrs...)
	// Title and description come first, as readers of SVG expect.
	at := slices.IndexFunc(root.Children, func(n figure.Node) bool { return n.Tag == "defs" })
	root.Children = slices.Insert(root.Children, at, figure.Node{Tag: "style", Text: style(styles)}, figure.Node{Tag: "rect",
		Attrs: []figure.Attr{{Name: "class", Value: "paper"}, {Name: "width", Value: across}, {Name: "height", Value: down}}})
	return append(figure.Markup(root), '\n')
}

// Style is the style of a drawing followed by more rules, one a line, that may read the same tokens.
func Style(more string) string { return style(styles + more) }

// token is a colour for light and for dark paper.
type token struct{ light, dark string }

var (
	comment  = regexp.MustCompile(`(?s)/\*.*?\*/\s*`)
	tokens   = regexp.MustCompile(`(?m)^--([\w-]+): light-dark\((.*)\);$`)
	variable = regexp.MustCompile(`var\(--([\w-]+)\)`)
)

// style writes the rules with the light colours, then those that hold a colour again with the dark ones.
func style(source string) string {
	colours := map[string]token{}
	for _, m := range tokens.FindAllStringSubmatch(source, -1) {
		light, dark, _ := cutComma(m[2])
		colours[m[1]] = token{light, dark}
	}
	source = strings.TrimSpace(tokens.ReplaceAllString(comment.ReplaceAllString(source, ""), ""))
	light := resolve(source, func(name string) string { return colours[name].light })
	var dark []string
	for line := range strings.SplitSeq(source, "\n") {
		if variable.MatchString(line) {
			dark = append(dark, resolve(line, func(name string) string { return colours[name].dark }))
		}
	}
	return "\n" + light + "\n@media (prefers-color-scheme: dark) {\n" + strings.Join(dark, "\n") + "\n}\n"
}

func resolve(rules string, colour func(name string) string) string {
	return variable.ReplaceAllStringFunc(rules, func(use string) string {
		return colour(variable.FindStringSubmatch(use)[1])
	})
}

// cutComma cuts at the first comma that stands in no parenthesis.
func cutComma(text string) (before, after string, found bool) {
	depth := 0
	for i, c := range text {
		switch c {
		case '(':
			depth++
		case ')':
			depth--
		case ',':
			if depth == 0 {
				return text[:i], strings.TrimSpace(text[i+1:]), true
			}
		}
	}
	return text, "", false
}
