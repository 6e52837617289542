// Package markup reads the handbook's markdown: CommonMark with tables and footnotes, and five marks of our own. It
// says what stands where and renders nothing, so that the checks and the pages share one reading of the syntax.
//
//	[@key]  [@key, p. 12]        Citation
//	[[term]]  [[term|words]]     TermLink
//	{=block.output}  {=fact:ID}  Value
//	$…$  $$…$$                   Maths; alone on its lines $$…$$ is a MathsBlock
//	> [!caution]                 Callout
//
// Start at New for a converter and at Tree for what stands in a text. Every node of ours has a Pos, an offset into the source, which
// Lines turns into a line number. Marks inside code are code. A backslash before a mark makes it plain text.
package markup

import (
	"slices"
	"sync"

	"github.com/yuin/goldmark"
	"github.com/yuin/goldmark/ast"
	"github.com/yuin/goldmark/extension"
	"github.com/yuin/goldmark/parser"
	"github.com/yuin/goldmark/text"
	"github.com/yuin/goldmark/util"
)

// New returns a converter that knows the whole syntax. Renderers for the nodes of this package come in through the
// options; everything that changes what is parsed belongs here and nowhere else.
func New(options ...goldmark.Option) goldmark.Markdown {
	base := []goldmark.Option{
		goldmark.WithExtensions(extension.Table, extension.Footnote),
		goldmark.WithParserOptions(
			parser.WithAutoHeadingID(),
			parser.WithBlockParsers(
				util.Prioritized(mathsBlockParser{}, 690),
				util.Prioritized(calloutParser{parser.NewBlockquoteParser()}, 790), // before plain quotations at 800
			),
			parser.WithInlineParsers(
				util.Prioritized(bracketParser{}, 150), // before links at 200
				util.Prioritized(valueParser{}, 150),
				util.Prioritized(mathsParser{}, 150),
			),
		),
	}
	return goldmark.New(append(base, options...)...)
}

// bare serves all who render nothing: a converter costs as much to make as a short text to read.
var bare = sync.OnceValue(func() goldmark.Markdown { return New() })

// Tree reads source as it is, without quotes and dashes set.
func Tree(source []byte) ast.Node { return Parse(bare(), source) }

// Parse reads source with a converter made by New. Headings get the ids that Slug gives.
func Parse(md goldmark.Markdown, source []byte) ast.Node {
	return md.Parser().Parse(text.NewReader(source), parser.WithContext(Context()))
}

// Context returns a fresh parsing context, in which heading ids follow Slug. One serves one document; pass it with
// parser.WithContext when calling Convert.
func Context() parser.Context { return parser.NewContext(parser.WithIDs(newIDs())) }

// Lines turns offsets into line numbers.
type Lines struct {
	first  int
	starts []int // offset at which each line begins
}

// NewLines prepares for source, whose first line has the number first.
func NewLines(source []byte, first int) Lines {
	starts := []int{0}
	for i, c := range source {
		if c == '\n' {
			starts = append(starts, i+1)
		}
	}
	return Lines{first, starts}
}

// At returns the line on which the offset stands; an offset before the source counts as its first line.
func (l Lines) At(offset int) int {
	i, found := slices.BinarySearch(l.starts, offset)
	if !found {
		i--
	}
	return l.first + max(i, 0)
}
