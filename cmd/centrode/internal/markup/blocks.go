package markup

import (
	"bytes"
	"regexp"
	"strings"

	"github.com/yuin/goldmark/ast"
	"github.com/yuin/goldmark/parser"
	"github.com/yuin/goldmark/text"
)

var mathsMark = []byte("$$")

// mathsBlockParser reads $$…$$ on lines of its own. Text after a closing $$ on the opening line makes it a line of
// prose instead, which mathsParser reads.
type mathsBlockParser struct{}

// Trigger implements parser.BlockParser.
func (mathsBlockParser) Trigger() []byte { return []byte{'$'} }

// Open implements parser.BlockParser.
func (mathsBlockParser) Open(_ ast.Node, reader text.Reader, pc parser.Context) (ast.Node, parser.State) {
	line, segment := reader.PeekLine()
	at := pc.BlockOffset()
	if at < 0 || !bytes.HasPrefix(line[at:], mathsMark) {
		return nil, parser.NoChildren
	}
	n := &MathsBlock{}
	rest := line[at+2:]
	if end := bytes.Index(rest, mathsMark); end >= 0 {
		if len(bytes.TrimSpace(rest[:end])) == 0 || len(bytes.TrimSpace(rest[end+2:])) > 0 {
			return nil, parser.NoChildren
		}
		rest, n.Closed = rest[:end], true
	}
	start := segment.Start - segment.Padding + at + 2
	n.Lines().Append(text.NewSegment(start, start+len(rest)))
	reader.AdvanceToEOL()
	return n, parser.NoChildren
}

// Continue implements parser.BlockParser.
func (mathsBlockParser) Continue(node ast.Node, reader text.Reader, _ parser.Context) parser.State {
	n := node.(*MathsBlock)
	if n.Closed {
		return parser.Close
	}
	line, segment := reader.PeekLine()
	if trimmed := bytes.TrimRight(line, " \t\r\n"); bytes.HasSuffix(trimmed, mathsMark) {
		n.Closed = true
		segment.Stop = segment.Start - segment.Padding + len(trimmed) - 2
		if segment.Stop > segment.Start {
			n.Lines().Append(segment)
		}
		reader.AdvanceToEOL()
		return parser.Continue | parser.NoChildren
	}
	n.Lines().Append(segment)
	reader.AdvanceToEOL()
	return parser.Continue | parser.NoChildren
}

// Close implements parser.BlockParser.
func (mathsBlockParser) Close(node ast.Node, reader text.Reader, _ parser.Context) {
	n := node.(*MathsBlock)
	n.TeX = strings.TrimSpace(string(n.Lines().Value(reader.Source())))
}

// CanInterruptParagraph implements parser.BlockParser.
func (mathsBlockParser) CanInterruptParagraph() bool { return true }

// CanAcceptIndentedLine implements parser.BlockParser.
func (mathsBlockParser) CanAcceptIndentedLine() bool { return false }

var calloutLine = regexp.MustCompile(`^ {0,3}> ?\[!([A-Za-z-]{1,40})\][ \t]*`)

// calloutParser reads a quotation that opens with [!kind]; all but the first line is left to the quotation parser.
type calloutParser struct{ quote parser.BlockParser }

// Trigger implements parser.BlockParser.
func (calloutParser) Trigger() []byte { return []byte{'>'} }

// Open implements parser.BlockParser.
func (p calloutParser) Open(_ ast.Node, reader text.Reader, _ parser.Context) (ast.Node, parser.State) {
	line, _ := reader.PeekLine()
	mark := calloutLine.FindSubmatch(line)
	if mark == nil {
		return nil, parser.NoChildren
	}
	reader.Advance(len(mark[0]))
	return &Callout{Name: strings.ToLower(string(mark[1]))}, parser.HasChildren
}

// Continue implements parser.BlockParser.
func (p calloutParser) Continue(node ast.Node, reader text.Reader, pc parser.Context) parser.State {
	return p.quote.Continue(node, reader, pc)
}

// Close implements parser.BlockParser.
func (calloutParser) Close(ast.Node, text.Reader, parser.Context) {}

// CanInterruptParagraph implements parser.BlockParser.
func (calloutParser) CanInterruptParagraph() bool { return true }

// CanAcceptIndentedLine implements parser.BlockParser.
func (calloutParser) CanAcceptIndentedLine() bool { return false }
