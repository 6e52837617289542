package lesson

import (
	"bytes"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"github.com/yuin/goldmark/ast"

	"centrode/calc/spell"
)

// fence looks at one fenced code block: ours is read, another passes, and one whose word is nearly ours is a slip.
func (s *scanner) fence(n *ast.FencedCodeBlock) {
	line := s.lines.At(n.Pos())
	word, rest := "", ""
	if n.Info != nil {
		word, rest, _ = strings.Cut(string(n.Info.Segment.Value(s.source)), " ")
	}
	ours := slices.Contains(BlockKinds(), word)
	switch {
	case !s.closed(n):
		s.problem(line, fmt.Sprintf("the fence %q that opens here is not closed; put a line of as many backquotes at its end", "```"+word))
		return
	case !ours:
		s.slip(word, line)
		return
	case !s.blocks:
		s.problem(line, "a block has no place inside a block")
		return
	case strings.TrimSpace(rest) != "":
		s.problem(line, fmt.Sprintf("the fence of a %s block holds that word alone; move %q inside", word, strings.TrimSpace(rest)))
	}
	s.block(word, n.Lines().Value(s.source), line)
}

func (s *scanner) slip(word string, line int) {
	if nearest := spell.Nearest(strings.ToLower(word), BlockKinds()); nearest != "" {
		s.problem(line, `block `+strconv.Quote(word)+` is unknown; nearest: "`+nearest+`"`)
	}
}

// closed reports whether a closing fence stands after the last line of the block. A fence that is never closed runs to
// the end of the text, and markdown takes it so; here it would swallow the rest of the lesson.
func (s *scanner) closed(n *ast.FencedCodeBlock) bool {
	at := n.Pos()
	if lines := n.Lines(); lines.Len() > 0 {
		at = lines.At(lines.Len()-1).Stop - 1
	}
	if at < 0 || at >= len(s.source) {
		return false
	}
	end := bytes.IndexByte(s.source[at:], '\n')
	if end < 0 {
		return false
	}
	next, _, _ := bytes.Cut(s.source[at+end+1:], []byte("\n"))
	next = bytes.TrimLeft(next, " \t>")
	return bytes.HasPrefix(next, []byte("```")) || bytes.HasPrefix(next, []byte("~~~"))
}
