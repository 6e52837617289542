package page

import (
	"strconv"
	"strings"

	"centrode/cmd/centrode/internal/markup"

	"github.com/yuin/goldmark/ast"
	extast "github.com/yuin/goldmark/extension/ast"
	"github.com/yuin/goldmark/renderer"
	"github.com/yuin/goldmark/util"
)

// heading writes a heading with the sign that links to it. The link stands beside the heading and not in it, so that
// it is no part of the heading's name; it has that name, in the heading's language, for a label of ours around it would be spoken in one voice
// with it.
func (p *prose) heading(w util.BufWriter, source []byte, node ast.Node, entering bool) (ast.WalkStatus, error) {
	n := node.(*ast.Heading)
	level := strconv.Itoa(max(n.Level, 2))
	id, _ := n.AttributeString("id")
	anchor, _ := id.([]byte)
	if entering {
		if n.Level == 1 {
			p.problem(p.lines.At(n.Pos()), "has a heading of the first level, which is the page's title; begin sections with ##")
		}
		p.level = max(n.Level, 2)
		w.WriteString(`<div class="heading heading-` + level + `"><h` + level + ` id="` + escape(string(anchor)) + `">`)
		return ast.WalkContinue, nil
	}
	at := escape(string(anchor))
	w.WriteString(`</h` + level + `><a class="heading-anchor" href="#` + at + `" aria-labelledby="` + at + `">#</a></div>` + "\n")
	if p.level == 2 {
		p.sections = append(p.sections, Section{"#" + string(anchor), ready(p.quietly(n, source)), true})
	}
	return ast.WalkContinue, nil
}

// fence writes a fenced block: one of the handbook's own, or code.
func (p *prose) fence(w util.BufWriter, source []byte, node ast.Node, entering bool) (ast.WalkStatus, error) {
	if !entering {
		return ast.WalkContinue, nil
	}
	n := node.(*ast.FencedCodeBlock)
	info, line := "", p.lines.At(n.Pos())
	if n.Info != nil {
		info, line = string(n.Info.Value(source)), p.lines.At(n.Info.Segment.Start)
	}
	word, _, _ := strings.Cut(strings.TrimSpace(info), " ")
	if block, ours := p.block(word, line); ours {
		p.site.fill(w, block)
		return ast.WalkSkipChildren, nil
	}
	code, err := p.shared.listings.highlight(info, string(n.Lines().Value(source)))
	if err != nil {
		p.problem(line, err.Error())
	}
	w.WriteString(code)
	return ast.WalkSkipChildren, nil
}

// rawHTML refuses markup: the pages' structure and classes are this package's, and an author's tag would escape them.
func (p *prose) rawHTML(_ util.BufWriter, _ []byte, n ast.Node, entering bool) (ast.WalkStatus, error) {
	if entering {
		p.problem(p.lines.At(n.Pos()), "has an HTML tag, which is not shown; use markdown, or a backslash before < for the sign itself")
	}
	return ast.WalkSkipChildren, nil
}

// calloutHead is the sign and the word at the head of a kind of callout. An unknown kind is reported by the check of the
// book, and is a note.
func (s *site) calloutHead(kind string) (sign, word string) {
	switch kind {
	case "caution":
		return "!", s.say("caution")
	case "mistake":
		return "×", s.say("commonMistake")
	case "tomorrow":
		return "→", s.say("tomorrow")
	}
	return "i", s.say("note")
}

func (p *prose) callout(w util.BufWriter, _ []byte, node ast.Node, entering bool) (ast.WalkStatus, error) {
	n := node.(*markup.Callout)
	if !entering {
		w.WriteString("</div>\n")
		return ast.WalkContinue, nil
	}
	sign, word := p.site.calloutHead(n.Name)
	w.WriteString(`<div class="callout callout-` + escape(n.Name) + `" role="note"><p class="callout-title"` + string(p.site.ofWords()) + `><span class="callout-sign" aria-hidden="true">` +
		sign + `</span> <span class="callout-word">` + escape(word) + "</span></p>\n")
	return ast.WalkContinue, nil
}

func (p *prose) registerTables(r renderer.NodeRendererFuncRegisterer) {
	r.Register(extast.KindTable, p.table)
	r.Register(extast.KindTableCell, p.cell)
}

// table lets a wide table scroll by itself, also by keyboard.
func (p *prose) table(w util.BufWriter, _ []byte, _ ast.Node, entering bool) (ast.WalkStatus, error) {
	if entering {
		p.tables++
		w.WriteString(`<section class="table-scroll" aria-label="` + escape(p.site.say("tableNumber", "number", p.tables)) + `" tabindex="0"><table>` + "\n")
	} else {
		w.WriteString("</table></section>\n")
	}
	return ast.WalkContinue, nil
}

// cell gives alignment by class, where goldmark would write a style attribute.
func (p *prose) cell(w util.BufWriter, _ []byte, node ast.Node, entering bool) (ast.WalkStatus, error) {
	n := node.(*extast.TableCell)
	tag, scope := "td", ""
	if n.Parent().Kind() == extast.KindTableHeader {
		tag, scope = "th", ` scope="col"`
	}
	if !entering {
		w.WriteString("</" + tag + ">\n")
		return ast.WalkContinue, nil
	}
	class := ""
	if n.Alignment != extast.AlignNone {
		class = ` class="align-` + n.Alignment.String() + `"`
	}
	w.WriteString("<" + tag + scope + class + ">")
	return ast.WalkContinue, nil
}
