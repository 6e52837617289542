package page

import (
	"slices"
	"strconv"
	"strings"

	"centrode/calc/quantity"
	"centrode/cmd/centrode/internal/markup"

	"github.com/yuin/goldmark/ast"
	"github.com/yuin/goldmark/util"
)

// joinCitations removes the blank between two citations, so that they can share their brackets.
func joinCitations(tree ast.Node, source []byte) {
	var blanks []ast.Node
	_ = ast.Walk(tree, func(n ast.Node, entering bool) (ast.WalkStatus, error) {
		t, ok := n.(*ast.Text)
		if ok && entering && isCitation(t.PreviousSibling()) && isCitation(t.NextSibling()) &&
			strings.TrimSpace(string(t.Segment.Value(source))) == "" {
			blanks = append(blanks, t)
		}
		return ast.WalkContinue, nil
	})
	for _, n := range blanks {
		n.Parent().RemoveChild(n.Parent(), n)
	}
}

func isCitation(n ast.Node) bool { return n != nil && n.Kind() == markup.KindCitation }

// citation writes "(Buryanov and Kotiuk 2010, p. 756)" with a link into the page's references.
func (p *prose) citation(w util.BufWriter, _ []byte, node ast.Node, entering bool) (ast.WalkStatus, error) {
	if !entering {
		return ast.WalkContinue, nil
	}
	n := node.(*markup.Citation)
	before, after := "; ", ""
	if !isCitation(n.PreviousSibling()) {
		before = "("
	}
	if !isCitation(n.NextSibling()) {
		after = ")"
	}
	place := ""
	if n.Locator != "" {
		place = `<span class="citation-place">, ` + escape(n.Locator) + `</span>`
	}
	w.WriteString(`<span class="citation">` + before + p.cite(n.Key, p.unlinked(n)) + place + after + `</span>`)
	return ast.WalkContinue, nil
}

// cite returns the short form of a source, as a link unless told otherwise, and takes it into the references.
func (d *document) cite(key string, unlinked bool) string {
	label, known := d.site.labels[key]
	if !known { // reported by the check of the book
		return escape(key)
	}
	if unlinked {
		return escape(label)
	}
	if !slices.Contains(d.cited, key) {
		d.cited = append(d.cited, key)
	}
	return `<a class="citation-link" href="#ref-` + escape(key) + `">` + escape(label) + `</a>`
}

// termLink writes a word of the glossary: a link, with the definition beside it, which the style shows while the link
// is pointed at or focused, or in the margin.
func (p *prose) termLink(w util.BufWriter, _ []byte, node ast.Node, entering bool) (ast.WalkStatus, error) {
	if !entering {
		return ast.WalkContinue, nil
	}
	n := node.(*markup.TermLink)
	term, known := p.site.terms[strings.ToLower(n.Term)]
	if !known || p.unlinked(n) {
		w.WriteString(escape(n.Shown))
		return ast.WalkContinue, nil
	}
	class := "term"
	if !p.terms[term.ID] {
		class, p.terms[term.ID] = "term term-first", true
	}
	p.notes++
	note := "define-" + term.ID + "-" + strconv.Itoa(p.notes)
	definition := p.inline(term.Definition, term.Line, true)
	w.WriteString(`<span class="` + class + `"><a class="term-link" href="/glossary/#` + escape(term.ID) + `" aria-describedby="` + note + `">` +
		escape(n.Shown) + `</a><span class="term-definition" role="tooltip" id="` + note + `"><span class="term-name">` +
		escape(term.Term) + `</span> ` + string(definition) + `</span></span>`)
	return ast.WalkContinue, nil
}

// fromMemory is what the proof adds to a published value that nobody has looked up.
const fromMemory = " (from memory)"

// value writes a computed or published number.
func (p *prose) value(w util.BufWriter, _ []byte, node ast.Node, entering bool) (ast.WalkStatus, error) {
	if !entering {
		return ast.WalkContinue, nil
	}
	n := node.(*markup.Value)
	text, err := p.site.Proof.Print(p.page, n.Ref)
	if err != nil {
		p.problem(p.lines.At(n.Pos()), err.Error())
		return ast.WalkContinue, nil
	}
	text, memory := strings.CutSuffix(text, fromMemory)
	class := "value"
	if strings.HasPrefix(n.Ref, "fact:") {
		class += " value-fact"
	}
	told := ""
	if id := p.asking; id != "" && (strings.HasPrefix(n.Ref, id+".") || strings.HasPrefix(n.Ref, id+"*")) {
		told = " data-told" // drawn anew with fresh numbers, in the order of plate.Recipe.Told
	}
	w.WriteString(`<data class="` + class + `" value="` + escape(p.exact(n.Ref, text)) + `"` + told + `>` + escape(text) + `</data>`)
	if memory {
		w.WriteString(` <span class="memory-note">` + strings.TrimSpace(fromMemory) + `</span>`)
	}
	return ast.WalkContinue, nil
}

// exact is the machine's form of a value: the unrounded number in its base unit, or the printed text for a word.
func (p *prose) exact(ref, printed string) string {
	block, rest, _ := strings.Cut(ref, ".")
	id, _, _ := strings.Cut(rest, ":")
	if a, ok := p.site.Proof.Answer(p.page, block); ok {
		for _, numbers := range []map[string]float64{a.Result.Numbers, a.Values.Numbers} {
			if v, has := numbers[id]; has {
				return quantity.Shortest(v)
			}
		}
	}
	return strings.ReplaceAll(strings.ReplaceAll(printed, "−", "-"), "\u00a0", " ")
}

func (p *prose) maths(w util.BufWriter, _ []byte, node ast.Node, entering bool) (ast.WalkStatus, error) {
	if !entering {
		return ast.WalkContinue, nil
	}
	n := node.(*markup.Maths)
	// A formula that stands in a line is set in the line even when it was written with $$: a block would break the
	// paragraph in two.
	w.WriteString(p.formula(n.TeX, false, p.lines.At(n.Pos()), noSlot))
	return ast.WalkContinue, nil
}

func (p *prose) mathsBlock(w util.BufWriter, _ []byte, node ast.Node, entering bool) (ast.WalkStatus, error) {
	if !entering {
		return ast.WalkContinue, nil
	}
	n := node.(*markup.MathsBlock)
	line := p.lines.At(n.Pos())
	if n.Lines().Len() > 0 {
		line = p.lines.At(n.Lines().At(0).Start)
	}
	w.WriteString(`<div class="formula" role="group" aria-label="` + escape(p.site.say("formula")) + `" tabindex="0">` + p.formula(n.TeX, true, line, noSlot) + "</div>\n")
	return ast.WalkSkipChildren, nil
}

func noSlot(string) string { return "" }

// formula returns MathML; one that cannot be read is reported and shown as it was typed.
func (d *document) formula(tex string, display bool, line int, fill func(string) string) string {
	markup, err := d.site.Maths.MathML(tex, display, fill)
	if err != nil {
		d.problem(line, err.Error())
		return `<code class="formula-unread">` + escape(tex) + `</code>`
	}
	return markup
}
