package page

import (
	"strconv"

	"github.com/yuin/goldmark/ast"
	extast "github.com/yuin/goldmark/extension/ast"
	"github.com/yuin/goldmark/renderer"
	"github.com/yuin/goldmark/util"
)

func (p *prose) registerFootnotes(r renderer.NodeRendererFuncRegisterer) {
	r.Register(extast.KindFootnoteLink, p.footnoteLink)
	r.Register(extast.KindFootnote, p.footnote)
	r.Register(extast.KindFootnoteBacklink, p.footnoteBack)
}

// mention is the id of a place that names a footnote, which may be named often. Ids have no colon, which goldmark's own have.
func mention(note, again int) string {
	id := "note-" + strconv.Itoa(note) + "-mention"
	if again > 0 {
		id += "-" + strconv.Itoa(again+1)
	}
	return id
}

func (p *prose) footnoteLink(w util.BufWriter, _ []byte, node ast.Node, entering bool) (ast.WalkStatus, error) {
	if n := node.(*extast.FootnoteLink); entering {
		index := strconv.Itoa(n.Index)
		w.WriteString(`<sup class="footnote-ref" id="` + mention(n.Index, n.RefIndex) + `"><a class="footnote-link" href="#note-` + index + `" role="doc-noteref">` + index + `</a></sup>`)
	}
	return ast.WalkContinue, nil
}

func (p *prose) footnote(w util.BufWriter, _ []byte, node ast.Node, entering bool) (ast.WalkStatus, error) {
	if entering {
		w.WriteString(`<li id="note-` + strconv.Itoa(node.(*extast.Footnote).Index) + `">` + "\n")
	} else {
		w.WriteString("</li>\n")
	}
	return ast.WalkContinue, nil
}

func (p *prose) footnoteBack(w util.BufWriter, _ []byte, node ast.Node, entering bool) (ast.WalkStatus, error) {
	if n := node.(*extast.FootnoteBacklink); entering {
		w.WriteString(` <a class="footnote-back" href="#` + mention(n.Index, n.RefIndex) + `" role="doc-backlink" aria-label="` + escape(p.site.say("backToText")) + `">↩&#xFE0E;</a>`)
	}
	return ast.WalkContinue, nil
}
