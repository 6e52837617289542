package sheet

import (
	"strconv"
	"strings"

	"centrode/calc/figure"
	"centrode/calc/quantity"
)

// Caution stands at the foot of every sheet.
const Caution = "For drawn and animated characters. No medical, engineering or safety advice. Save painted weights and animation before a joint is moved."

// Page is the sheet as a tree of elements: sections, tables and drawings with classes and without any style. No element
// is empty, so that HTML and XML read it alike. id is put before the ids inside, which must be unique on a page.
func Page(v View, id string) figure.Node {
	width := 560.0
	if len(v.Entries) > 1 {
		width = 380
	}
	return page(v, id, width)
}

// Pair is two sheets side by side, as Compare has marked them.
func Pair(a, b View, id string) figure.Node {
	return el("div", "sheet-pair", page(a, id+"-a", 380), page(b, id+"-b", 380))
}

func page(v View, id string, width float64) figure.Node {
	n := el("section", "sheet sheet-of-"+strconv.Itoa(len(v.Entries)), el("header", "sheet-head", words("h2", "sheet-title", v.Title), facts(v.Facts)))
	entries := el("div", "sheet-entries")
	for i, e := range v.Entries {
		entries.Children = append(entries.Children, e.node(id+"-"+strconv.Itoa(i+1), width))
	}
	n.Children = append(n.Children, entries)
	n.Children = append(n.Children, v.reasons(), words("p", "sheet-caution", Caution))
	return n
}

// reasons are the paragraphs or, where nothing is stated, lines to write on.
func (v View) reasons() figure.Node {
	n := el("div", "sheet-reasons", words("h3", "", "Reasons"))
	for _, p := range v.Reasons {
		n.Children = append(n.Children, words("p", "", p))
	}
	for range v.Blank() {
		n.Children = append(n.Children, words("p", "sheet-blank", "\u00a0"))
	}
	return n
}

// Blank is how many lines to write on take the place of reasons that are not stated.
func (v View) Blank() int {
	if len(v.Reasons) > 0 {
		return 0
	}
	return 2
}

// facts is a list of the texts at the head; where nothing is stated there is a line to write on.
func facts(list []Fact) figure.Node {
	n := el("dl", "sheet-facts")
	for _, f := range list {
		text := words("dd", "", f.Text)
		if f.Text == "" {
			text = words("dd", "sheet-blank", "\u00a0")
		}
		n.Children = append(n.Children, el("div", marked("", f.Differs), words("dt", "", f.Label), withMark(text, f.Differs)))
	}
	return n
}

func (e EntryView) node(id string, width float64) figure.Node {
	n := el("article", "sheet-entry")
	if e.Title != "" {
		n.Children = append(n.Children, words("h3", "", e.Title))
	}
	if e.Alone {
		n.Children = append(n.Children, words("p", "sheet-mark", "≠ Only this sheet has this placement."))
	}
	if e.Otherwise != "" {
		n.Children = append(n.Children, words("p", "sheet-mark", "≠ "+e.Otherwise))
	}
	n.Children = append(n.Children, el("div", "sheet-figure", figure.Layout(e.Figure, figure.Options{Width: width, ID: id})))
	if e.Verdict != "" {
		n.Children = append(n.Children, words("p", "sheet-say", e.Verdict))
	}
	n.Children = append(n.Children, e.table())
	if e.With != "" {
		n.Children = append(n.Children, words("p", "sheet-source", e.With))
	}
	for _, d := range e.Doubts {
		n.Children = append(n.Children, words("p", "sheet-doubt", "! "+d))
	}
	for _, w := range e.Warnings {
		n.Children = append(n.Children, words("p", "sheet-warning", w))
	}
	n.Children = append(n.Children, words("p", "sheet-source", e.Origin()))
	return n
}

// Origin says where the numbers come from, and how many inputs and results have no room.
func (e EntryView) Origin() string {
	var rest []string
	for _, one := range []struct {
		count int
		name  string
	}{{e.Unshown, "input"}, {e.Left, "result"}} {
		if one.count > 0 {
			rest = append(rest, quantity.Things(one.count, "more "+one.name, "more "+one.name+"s"))
		}
	}
	if len(rest) == 0 {
		return e.Source
	}
	are, where := " are", " in the plate."
	if e.Unshown+e.Left == 1 {
		are = " is"
	}
	if e.Measured {
		where = " in the sheet's file."
	}
	return e.Source + " " + strings.Join(rest, " and ") + are + where
}

func (e EntryView) table() figure.Node {
	head := el("tr", "")
	for _, name := range []string{"Quantity", "Current", "Candidate", "Difference"} {
		cell := words("th", "", name)
		cell.Attrs = append(cell.Attrs, figure.Attr{Name: "scope", Value: "col"})
		head.Children = append(head.Children, cell)
	}
	body := el("tbody", "")
	for _, r := range e.Rows {
		name := words("th", "", r.Label)
		name.Attrs = append(name.Attrs, figure.Attr{Name: "scope", Value: "row"})
		class := ""
		if r.Placement {
			class = "sheet-placement"
		}
		body.Children = append(body.Children, el("tr", marked(class, r.Differs), withMark(name, r.Differs),
			words("td", "sheet-current", OrDash(r.Current)), words("td", "sheet-candidate", OrDash(r.Candidate)), words("td", "", OrDash(r.Difference))))
	}
	return el("table", "sheet-numbers", words("caption", "", "Placement and results"), el("thead", "", head), body)
}

// withMark puts the sign of a difference before a text.
func withMark(n figure.Node, differs bool) figure.Node {
	if differs {
		n.Text = "≠ " + n.Text
	}
	return n
}

func marked(class string, differs bool) string {
	if !differs {
		return class
	}
	if class == "" {
		return "sheet-differs"
	}
	return class + " sheet-differs"
}

// OrDash keeps a cell from being empty.
func OrDash(text string) string {
	if text == "" {
		return "–"
	}
	return text
}

func el(tag, class string, children ...figure.Node) figure.Node {
	n := figure.Node{Tag: tag, Children: children}
	if class != "" {
		n.Attrs = []figure.Attr{{Name: "class", Value: class}}
	}
	return n
}

func words(tag, class, text string) figure.Node {
	n := el(tag, class)
	n.Text = text
	return n
}
