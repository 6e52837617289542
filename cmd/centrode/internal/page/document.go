package page

import (
	"bytes"
	"html/template"
	"slices"
	"strings"

	"centrode/cmd/centrode/internal/lesson"
	"centrode/cmd/centrode/internal/markup"

	"github.com/yuin/goldmark"
	"github.com/yuin/goldmark/ast"
	"github.com/yuin/goldmark/extension"
	"github.com/yuin/goldmark/renderer"
	"github.com/yuin/goldmark/util"
)

// document is one page's prose while it is being rendered. It belongs to one goroutine.
type document struct {
	site     *site
	page     string // as the proof knows it: slug, "plates/ID", "home"
	file     string
	lesson   *lesson.Lesson
	sections []Section
	cited    []string        // source keys in the order of first citation
	terms    map[string]bool // ids linked so far
	notes    int             // definitions written so far, for their ids
	plates   int             // numbered so far
	tables   int             // in prose so far, for their names
	level    int             // of the last heading
	large    bool            // the first plate is set large (home)
	uses     []use
	asking   string // id of the exercise whose question is being rendered
	shared   *shared
	prose    *prose // of the text that is being rendered; made once
}

// shared is what all pages of a text have alike, in any language and of a plate alone. It belongs to one goroutine.
type shared struct {
	drawings drawings
	listings listings
	trees    map[string]ast.Node // of texts
}

func newShared() *shared { return &shared{drawings{}, listings{}, map[string]ast.Node{}} }

// tree is a text as markdown has it; nobody may change it.
func (s *shared) tree(markdown goldmark.Markdown, text string, source []byte) ast.Node {
	tree, known := s.trees[text]
	if !known {
		tree = markup.Parse(markdown, source)
		joinCitations(tree, source)
		s.trees[text] = tree
	}
	return tree
}

// Section is one heading of the second level, for the list of a lesson's sections.
type Section struct {
	Href    string
	Text    template.HTML
	English bool // the text is the lesson's and not the interface's
}

func (s *site) document(page string, l *lesson.Lesson) *document {
	return &document{site: s, page: page, file: l.File, lesson: l, terms: map[string]bool{}, level: 1, shared: newShared()}
}

// problem reports something at a line of the document's file.
func (d *document) problem(line int, text string) { d.site.Log.Add(d.file, line, text) }

// body renders the whole text of the lesson.
func (d *document) body() template.HTML {
	return ready(d.convert(d.lesson.Body, d.lesson.BodyLine, false))
}

// inline renders a short text that stands inside a line: a question, a definition. quiet leaves out all links, for
// text that already stands in one.
func (d *document) inline(text string, line int, quiet bool) template.HTML {
	out := strings.TrimSpace(d.convert(text, line, quiet))
	inner, opens := strings.CutPrefix(out, "<p>")
	inner, closes := strings.CutSuffix(inner, "</p>")
	switch {
	case opens && closes && !strings.Contains(inner, "<p>"):
		return ready(inner)
	case quiet: // more than a line of text, where only a line may stand
		return ready(escape(plainText(out)))
	}
	return ready(out)
}

// prose renders the nodes of one text after the other; a definition is a text within a text.
type prose struct {
	*document
	markdown goldmark.Markdown
	lines    markup.Lines
	quiet    bool
}

func (d *document) convert(text string, line int, quiet bool) string {
	source := []byte(text)
	if d.prose == nil {
		p := &prose{document: d}
		p.markdown = markup.New(goldmark.WithExtensions(typographer()),
			goldmark.WithRendererOptions(renderer.WithNodeRenderers(util.Prioritized(p, 100)))) // before goldmark's own at 500 and 1000
		d.prose = p
	}
	p := d.prose
	defer func(lines markup.Lines, quiet bool) { p.lines, p.quiet = lines, quiet }(p.lines, p.quiet)
	p.lines, p.quiet = markup.NewLines(source, line), quiet
	tree := d.shared.tree(p.markdown, text, source)
	b := scratch()
	defer used(b)
	if err := p.markdown.Renderer().Render(sink{b}, source, tree); err != nil {
		d.problem(line, "cannot be rendered: "+err.Error())
	}
	return b.String()
}

// sink is what a renderer writes to, without a buffer between.
type sink struct{ *bytes.Buffer }

// Buffered and Flush implement util.BufWriter.
func (sink) Buffered() int { return 0 }
func (sink) Flush() error  { return nil }

// typographer sets curly quotes, dashes and the ellipsis, as characters and not as entities.
func typographer() goldmark.Extender {
	return extension.NewTypographer(extension.WithTypographicSubstitutions(map[extension.TypographicPunctuation]string{
		extension.LeftSingleQuote: "‘", extension.RightSingleQuote: "’", extension.LeftDoubleQuote: "“", extension.RightDoubleQuote: "”",
		extension.EnDash: "–", extension.EmDash: "—", extension.Ellipsis: "…", extension.LeftAngleQuote: "«", extension.RightAngleQuote: "»",
		extension.Apostrophe: "’",
	}))
}

// RegisterFuncs implements renderer.NodeRenderer.
func (p *prose) RegisterFuncs(r renderer.NodeRendererFuncRegisterer) {
	r.Register(ast.KindHeading, p.heading)
	r.Register(ast.KindFencedCodeBlock, p.fence)
	r.Register(ast.KindRawHTML, p.rawHTML)
	r.Register(ast.KindHTMLBlock, p.rawHTML)
	r.Register(markup.KindCitation, p.citation)
	r.Register(markup.KindTermLink, p.termLink)
	r.Register(markup.KindValue, p.value)
	r.Register(markup.KindMaths, p.maths)
	r.Register(markup.KindMathsBlock, p.mathsBlock)
	r.Register(markup.KindCallout, p.callout)
	p.registerTables(r)
	p.registerFootnotes(r)
}

// within reports whether the node stands in a node of one of the kinds.
func within(n ast.Node, kinds ...ast.NodeKind) bool {
	for up := n.Parent(); up != nil; up = up.Parent() {
		if slices.Contains(kinds, up.Kind()) {
			return true
		}
	}
	return false
}

// unlinked reports whether the node may hold no link: in a link already, in a heading, or in quiet text.
func (p *prose) unlinked(n ast.Node) bool {
	return p.quiet || within(n, ast.KindLink, ast.KindHeading)
}

// quietly renders the children of a node without links.
func (p *prose) quietly(n ast.Node, source []byte) string {
	before := p.quiet
	p.quiet = true
	defer func() { p.quiet = before }()
	b := scratch()
	defer used(b)
	for c := n.FirstChild(); c != nil; c = c.NextSibling() {
		if err := p.markdown.Renderer().Render(sink{b}, source, c); err != nil {
			p.problem(p.lines.At(n.Pos()), err.Error())
		}
	}
	return b.String()
}
