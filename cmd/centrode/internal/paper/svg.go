package paper

import (
	"strconv"
	"strings"
	"unicode/utf8"

	"centrode/calc/figure"
	"centrode/calc/sheet"
	"centrode/cmd/centrode/internal/picture"
)

// The page of the SVG in px at 96 to the inch: as wide as A4 is, and as high as the shorter of A4 and Letter allows for
// that width. A longer sheet is made smaller by the program that prints it.
const (
	pageWidth  = 794.0
	pageHeight = 1027.0
	margin     = 36.0
)

// SVG returns one sheet, or two side by side, as the text of an SVG file.
func SVG(views []sheet.View) []byte {
	root := figure.Node{Tag: "svg"}
	high := pageHeight
	for i, v := range views {
		c := &column{left: margin + float64(i)*pageWidth, width: pageWidth - 2*margin, y: margin}
		c.sheet(v, "s"+strconv.Itoa(i+1))
		high = max(high, c.y+margin)
		root.Children = append(root.Children, c.nodes...)
	}
	wide := pageWidth * float64(len(views))
	root.Attrs = []figure.Attr{{Name: "xmlns", Value: "http://www.w3.org/2000/svg"}, {Name: "width", Value: px(wide)}, {Name: "height", Value: px(high)},
		{Name: "viewBox", Value: "0 0 " + px(wide) + " " + px(high)}, {Name: "class", Value: "page"}}
	title := figure.Node{Tag: "title", Text: views[0].Title}
	style := figure.Node{Tag: "style", Text: picture.Style(svgRules)}
	ground := figure.Node{Tag: "rect", Attrs: []figure.Attr{{Name: "class", Value: "paper"}, {Name: "width", Value: px(wide)}, {Name: "height", Value: px(high)}}}
	root.Children = append([]figure.Node{title, style, ground}, root.Children...)
	return append(figure.Markup(root), '\n')
}

// svgRules are the looks of the words around the drawings, one a line as picture.Style reads them.
const svgRules = `.page > text { stroke: none; fill: var(--ink); font-family: "Source Sans 3", Arial, sans-serif; font-size: 13px; font-variant-numeric: lining-nums tabular-nums; }
.page > .head { font-family: "Source Serif 4", Georgia, serif; font-size: 24px; }
.page > .name { font-weight: 600; font-size: 15px; }
.page > .current { fill: var(--current-text); }
.page > .candidate { fill: var(--candidate-text); font-weight: 600; }
.page > .small { fill: var(--muted); font-size: 11px; }
.page > .doubt { fill: var(--caution); font-weight: 600; }
.page > .rule { stroke: var(--line); stroke-width: 0.75; }
`

// column is a page in the making: words and drawings one under the other.
type column struct {
	left, width, y float64
	nodes          []figure.Node
}

func (c *column) sheet(v sheet.View, id string) {
	c.paragraph("head", v.Title, 24, 30)
	var facts []string
	for _, f := range v.Facts {
		text := f.Label + ": " + f.Text
		if f.Text == "" {
			text = f.Label + ": ______________"
		}
		facts = append(facts, sign(f.Differs)+text)
	}
	c.paragraph("", strings.Join(facts, "      "), 13, 18)
	c.rule()
	share := 300.0 / float64(len(v.Entries))
	for i, e := range v.Entries {
		c.entry(e, id+"-"+strconv.Itoa(i+1), share)
	}
	c.paragraph("name", "Reasons", 15, 20)
	for _, p := range v.Reasons {
		c.paragraph("", p, 13, 17)
	}
	for range v.Blank() {
		c.y += 20
		c.rule()
	}
	c.paragraph("small", sheet.Caution, 11, 15)
}

func (c *column) entry(e sheet.EntryView, id string, high float64) {
	if e.Title != "" {
		c.paragraph("name", e.Title, 15, 20)
	}
	if e.Alone {
		c.paragraph("doubt", "≠ Only this sheet has this placement.", 13, 17)
	}
	if e.Otherwise != "" {
		c.paragraph("doubt", "≠ "+e.Otherwise, 13, 17)
	}
	c.drawing(figure.Layout(e.Figure, figure.Options{Width: 560, ID: id}), high)
	if e.Verdict != "" {
		c.paragraph("", e.Verdict, 13, 17)
	}
	c.row("small", "Quantity", "Current", "Candidate", "Difference")
	for _, r := range e.Rows {
		c.rule()
		c.row("", sign(r.Differs)+r.Label, sheet.OrDash(r.Current), sheet.OrDash(r.Candidate), sheet.OrDash(r.Difference))
	}
	if e.With != "" {
		c.paragraph("small", e.With, 11, 15)
	}
	for _, d := range e.Doubts {
		c.paragraph("doubt", "! "+d, 13, 17)
	}
	for _, w := range e.Warnings {
		c.paragraph("small", w, 11, 15)
	}
	c.paragraph("small", e.Origin(), 11, 15)
	c.y += 8
}

// drawing puts a drawing into the middle, no higher than high.
func (c *column) drawing(n figure.Node, high float64) {
	_, size, _ := strings.Cut(n.Attr("viewBox"), "0 0 ")
	across, down, _ := strings.Cut(size, " ")
	w, _ := strconv.ParseFloat(across, 64)
	h, _ := strconv.ParseFloat(down, 64)
	scale := min(c.width/w, high/h, 1)
	n.Attrs = append(n.Attrs, figure.Attr{Name: "x", Value: px(c.left + (c.width-w*scale)/2)}, figure.Attr{Name: "y", Value: px(c.y)},
		figure.Attr{Name: "width", Value: px(w * scale)}, figure.Attr{Name: "height", Value: px(h * scale)})
	c.nodes = append(c.nodes, n)
	c.y += h*scale + 6
}

// paragraph breaks a text into lines by the mean width of a letter, a little under half of its size.
func (c *column) paragraph(class, text string, size, leading float64) {
	most := int(c.width / (0.5 * size))
	line := ""
	for _, word := range strings.Fields(strings.ReplaceAll(text, "      ", " \u2003 ")) {
		if line != "" && utf8.RuneCountInString(line)+1+utf8.RuneCountInString(word) > most {
			c.line(class, line, leading)
			line = ""
		}
		for utf8.RuneCountInString(word) > most { // one word longer than the page
			runes := []rune(word)
			c.line(class, string(runes[:most]), leading)
			word = string(runes[most:])
		}
		line = strings.TrimSpace(line + " " + word)
	}
	c.line(class, line, leading)
}

func (c *column) line(class, text string, leading float64) {
	c.y += leading
	c.text(class, text, c.left, "")
}

// row is one line of the table: a label, and three numbers at the end of their columns.
func (c *column) row(class, label, current, candidate, difference string) {
	c.y += 15
	if runes := []rune(label); len(runes) > 52 {
		label = string(runes[:51]) + "…"
	}
	c.text(class, label, c.left, "")
	kind := func(own string) string {
		if class != "" {
			return class
		}
		return own
	}
	c.text(kind("current"), current, c.left+0.62*c.width, "end")
	c.text(kind("candidate"), candidate, c.left+0.82*c.width, "end")
	c.text(class, difference, c.left+c.width, "end")
	c.y += 3
}

func (c *column) text(class, text string, x float64, anchor string) {
	n := figure.Node{Tag: "text", Text: text, Attrs: []figure.Attr{{Name: "x", Value: px(x)}, {Name: "y", Value: px(c.y)}}}
	if class != "" {
		n.Attrs = append(n.Attrs, figure.Attr{Name: "class", Value: class})
	}
	if anchor != "" {
		n.Attrs = append(n.Attrs, figure.Attr{Name: "text-anchor", Value: anchor})
	}
	c.nodes = append(c.nodes, n)
}

func (c *column) rule() {
	c.y += 4
	c.nodes = append(c.nodes, figure.Node{Tag: "path", Attrs: []figure.Attr{{Name: "class", Value: "rule"}, {Name: "d", Value: "M" + px(c.left) + " " + px(c.y) + "h" + px(c.width)}}})
}

func px(v float64) string { return strconv.FormatFloat(v, 'f', -1, 32) }

func sign(differs bool) string {
	if differs {
		return "≠ "
	}
	return ""
}
