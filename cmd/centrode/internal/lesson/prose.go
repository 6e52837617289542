package lesson

import (
	"bytes"
	"fmt"
	"regexp"
	"strings"
	"unicode"

	"github.com/yuin/goldmark/ast"

	"centrode/calc/spell"
	"centrode/cmd/centrode/internal/markup"
	"centrode/cmd/centrode/internal/report"
)

// body walks the markdown once: blocks are read, and what the prose refers to is noted.
func (p *parser) body(source []byte) {
	s := newScanner(p, source, p.out.BodyLine)
	s.blocks = true
	s.walk()
	p.repeatedAnchors()
}

// scan notes what a sentence outside the body refers to.
func (p *parser) scan(source []byte, line int) { newScanner(p, source, line).walk() }

// Scan reads inline markdown that stands outside any lesson, such as a definition, and returns what it refers to.
func Scan(file string, source string, line int, log *report.Log) Prose {
	p := &parser{file, log, &Lesson{}}
	p.scan([]byte(source), line)
	return p.out.Prose
}

// repeatedAnchors reports ids that two blocks share, and headings that take the place of a block.
func (p *parser) repeatedAnchors() {
	lines, anchors := map[string]int{}, map[string]int{}
	for _, b := range p.out.Blocks() {
		if b.ID == "" {
			continue
		}
		if first, ok := lines[b.ID]; ok {
			p.problem(b.Line, fmt.Sprintf("%s: the id is used twice; the first is on line %d", b.Name(), first))
			continue
		}
		lines[b.ID], anchors[b.Anchor()] = b.Line, b.Line
	}
	for _, h := range p.out.Prose.Headings {
		if at, ok := anchors[h.Anchor]; ok {
			p.problem(h.Line, fmt.Sprintf("heading %q gets the anchor %q, which the block on line %d has; word it differently", h.Text, h.Anchor, at))
		}
	}
}

// scanner walks one markdown text.
type scanner struct {
	*parser
	source []byte
	lines  markup.Lines
	blocks bool // whether fenced blocks and headings are expected
	level  int  // of the last heading
}

func newScanner(p *parser, source []byte, line int) *scanner {
	return &scanner{parser: p, source: source, lines: markup.NewLines(source, line), level: 1}
}

func (s *scanner) walk() {
	root := markup.Tree(s.source)
	_ = ast.Walk(root, func(n ast.Node, entering bool) (ast.WalkStatus, error) { // the visitor never errs
		if entering {
			s.node(n)
		}
		return ast.WalkContinue, nil
	})
}

func (s *scanner) ref(text string, n ast.Node) Ref { return Ref{text, s.lines.At(n.Pos())} }

func (s *scanner) node(n ast.Node) {
	out := &s.out.Prose
	switch n := n.(type) {
	case *markup.Citation:
		out.Citations = append(out.Citations, s.ref(n.Key, n))
	case *markup.TermLink:
		out.Terms = append(out.Terms, s.ref(n.Term, n))
		out.Words += words([]byte(n.Shown))
	case *markup.Value:
		out.Values = append(out.Values, s.ref(n.Ref, n))
		out.Words++
	case *ast.Link:
		s.link(string(n.Destination), n)
	case *ast.Image:
		s.link(string(n.Destination), n)
	case *ast.AutoLink:
		out.Links = append(out.Links, s.ref(string(n.URL(s.source)), n))
	case *ast.Text:
		s.text(n)
	case *ast.Heading:
		s.heading(n)
	case *ast.FencedCodeBlock:
		s.fence(n)
	case *ast.HTMLBlock, *ast.RawHTML:
		s.html(n)
	case *markup.MathsBlock:
		if !n.Closed {
			s.problem(s.lines.At(n.Pos()), "the formula that opens here with $$ is not closed")
		}
	case *markup.Callout:
		out.Callouts = append(out.Callouts, s.ref(n.Name, n))
		s.callout(n)
	}
}

// words counts what has a letter or a digit in it.
func words(text []byte) int {
	count := 0
	for word := range bytes.FieldsSeq(text) {
		if bytes.ContainsFunc(word, func(r rune) bool { return unicode.IsLetter(r) || unicode.IsDigit(r) }) {
			count++
		}
	}
	return count
}

func (s *scanner) link(target string, n ast.Node) {
	s.out.Prose.Links = append(s.out.Prose.Links, s.ref(target, n))
	if n.FirstChild() == nil {
		s.problem(s.lines.At(n.Pos()), fmt.Sprintf("the link to %q shows no words", target))
	}
}

func (s *scanner) callout(n *markup.Callout) {
	for _, known := range markup.Callouts() {
		if n.Name == known {
			return
		}
	}
	s.problem(s.lines.At(n.Pos()), fmt.Sprintf("callout %q is unknown%s; known: %s",
		n.Name, spell.Offer(n.Name, markup.Callouts()), strings.Join(markup.Callouts(), ", ")))
}

// leftover finds marks that stayed text because something is missing.
var leftover = regexp.MustCompile(`(?:^|[^\\])(\[@|\[\[|\{=|\[\^[^\]\s]+\]|\]\[[^\]]*\])`)

// text looks at a run of neighbouring text nodes once, when its first is met.
func (s *scanner) text(n *ast.Text) {
	s.out.Prose.Words += words(n.Segment.Value(s.source))
	if n.Parent().Kind() == ast.KindCodeSpan {
		return
	}
	if before, ok := n.PreviousSibling().(*ast.Text); ok && !before.SoftLineBreak() {
		return
	}
	end := n.Segment.Stop
	for last := n; !last.SoftLineBreak(); {
		next, ok := last.NextSibling().(*ast.Text)
		if !ok {
			break
		}
		last, end = next, next.Segment.Stop
	}
	if end < n.Segment.Start {
		return
	}
	if !bytes.ContainsAny(s.source[n.Segment.Start:end], "[{") { // a pattern is slow, and most text has none of its marks
		return
	}
	line := s.lines.At(n.Segment.Start)
	for _, m := range leftover.FindAllSubmatch(s.source[n.Segment.Start:end], -1) {
		mark := string(m[1])
		switch {
		case strings.HasPrefix(mark, "[^"):
			s.problem(line, fmt.Sprintf("footnote %q has no text; write a line that begins with %q", mark, mark+":"))
		case strings.HasPrefix(mark, "]["):
			s.problem(line, fmt.Sprintf("the link ending in %q has no target; write [words](/page/)", mark))
		default:
			s.problem(line, fmt.Sprintf("%q opens a mark that is not closed; write a backslash before it when it is meant as text", mark))
		}
	}
}

func (s *scanner) heading(n *ast.Heading) {
	line := s.lines.At(n.Pos())
	if !s.blocks {
		s.problem(line, "a heading has no place inside a block")
		return
	}
	id, _ := n.AttributeString("id")
	anchor, _ := id.([]byte)
	h := Heading{plain(n, s.source), string(anchor), line}
	switch {
	case h.Text == "":
		s.problem(line, "the heading has no words")
	case n.Level == 1:
		s.problem(line, fmt.Sprintf("heading %q: the title is the only heading of the first level; begin with ##", h.Text))
	case n.Level > s.level+1:
		s.problem(line, fmt.Sprintf("heading %q: leaves out a level; after %s comes %s", h.Text, strings.Repeat("#", s.level), strings.Repeat("#", s.level+1)))
	}
	s.level = n.Level
	s.out.Prose.Headings = append(s.out.Prose.Headings, h)
}

// plain returns the words of a node without markup.
func plain(n ast.Node, source []byte) string {
	var b strings.Builder
	_ = ast.Walk(n, func(n ast.Node, entering bool) (ast.WalkStatus, error) { // the visitor never errs
		if !entering {
			return ast.WalkContinue, nil
		}
		switch n := n.(type) {
		case *ast.Text:
			b.Write(n.Segment.Value(source))
			if n.SoftLineBreak() {
				b.WriteByte(' ')
			}
		case *markup.TermLink:
			b.WriteString(n.Shown)
		case *markup.Maths:
			b.WriteString(n.TeX)
		}
		return ast.WalkContinue, nil
	})
	return strings.TrimSpace(b.String())
}

func (s *scanner) html(n ast.Node) {
	start := n.Pos()
	if start < 0 || start >= len(s.source) || bytes.HasPrefix(s.source[start:], []byte("<!--")) {
		return // a comment shows nothing, as meant
	}
	tag, _, _ := strings.Cut(string(s.source[start:min(len(s.source), start+40)]), ">")
	tag, _, _ = strings.Cut(tag, "\n")
	s.problem(s.lines.At(start), fmt.Sprintf("%q: HTML is not shown; write markdown, or a backslash before < when it is meant as text", tag+">"))
}
