package search

import (
	"strings"

	"centrode/cmd/centrode/internal/lesson"
	"centrode/cmd/centrode/internal/markup"

	"github.com/yuin/goldmark/ast"
)

// page is one page with prose: its id as the proof knows it, its address and its title.
type page struct {
	Input
	id, href, title string
}

// sections divides a text at its headings. What stands before the first of them is the page's opening.
func (p page) sections(body string) (opening string, list []Document) {
	source := []byte(body)
	tree := markup.Tree(source)
	text := &opening
	for n := tree.FirstChild(); n != nil; n = n.NextSibling() {
		heading, ok := n.(*ast.Heading)
		if !ok {
			*text = join(" ", *text, p.words(n, source))
			continue
		}
		id, _ := heading.AttributeString("id")
		anchor, _ := id.([]byte)
		list = append(list, Document{Href: p.href + "#" + string(anchor), Kind: Section, Title: p.words(heading, source), Page: p.title})
		text = &list[len(list)-1].Text
	}
	return opening, list
}

// blocks are the worked examples, exercises and plates of a page, each with an address of its own.
func (p page) blocks(l lesson.Lesson) []Document {
	var list []Document
	for _, b := range l.Blocks() {
		d := Document{Href: p.href + "#" + b.Anchor(), Kind: Plate, Title: p.plain(b.Title), Page: p.title}
		switch b.Kind {
		case lesson.WorkedBlock:
			w := l.Worked[b.Index]
			d.Href, d.Kind, d.Text = p.href+"#"+b.ID, Example, sentences(p.plain(w.Note), p.plain(w.Check))
		case lesson.ExerciseBlock:
			d.Href, d.Kind, d.Text = p.href+"#"+b.ID, Exercise, p.plain(l.Exercises[b.Index].Question)
		}
		list = append(list, d)
	}
	return list
}

// plain returns the words of a short text.
func (p page) plain(text string) string {
	source := []byte(text)
	return p.words(markup.Tree(source), source)
}

// words returns what a reader reads in a node, on one line: no markup, no citation, a formula only when it is a single
// letter or number. Fenced blocks are places of their own and left out; so are comments.
func (p page) words(n ast.Node, source []byte) string {
	var b strings.Builder
	_ = ast.Walk(n, func(n ast.Node, entering bool) (ast.WalkStatus, error) { // the visitor never errs
		if n.Type() == ast.TypeBlock || n.Type() == ast.TypeDocument {
			b.WriteByte(' ') // cells, list items and paragraphs do not run together
		}
		if !entering {
			return ast.WalkContinue, nil
		}
		return p.word(&b, n, source), nil
	})
	text := strings.Join(strings.Fields(b.String()), " ")
	return closeUp.Replace(text)
}

// closeUp sets apostrophes as the pages do, and takes away the blank that a citation leaves before a stop.
var closeUp = strings.NewReplacer("'", "’", " .", ".", " ,", ",", " ;", ";", " :", ":")

func (p page) word(b *strings.Builder, n ast.Node, source []byte) ast.WalkStatus {
	switch n := n.(type) {
	case *ast.Text:
		b.Write(n.Segment.Value(source))
		if n.SoftLineBreak() || n.HardLineBreak() {
			b.WriteByte(' ')
		}
	case *ast.String:
		b.Write(n.Value)
	case *ast.CodeBlock:
		b.Write(n.Lines().Value(source))
	case *ast.FencedCodeBlock, *ast.RawHTML, *ast.HTMLBlock:
		return ast.WalkSkipChildren
	case *markup.TermLink:
		b.WriteString(n.Shown)
	case *markup.Maths:
		if len([]rune(n.TeX)) == 1 {
			b.WriteString(n.TeX)
		} else {
			b.WriteString("…")
		}
	case *markup.Value:
		if text, err := p.Print(p.id, n.Ref); err == nil {
			b.WriteString(text)
		}
	}
	return ast.WalkContinue
}
