package markup

import (
	"bytes"
	"strings"

	"github.com/yuin/goldmark/ast"
	"github.com/yuin/goldmark/parser"
	"github.com/yuin/goldmark/text"
	"github.com/yuin/goldmark/util"
)

// longestMark and longestMaths bound how far a closing mark is looked for, so that a file of nothing but opening marks
// costs no more than its length times the bound.
const (
	longestMark  = 300
	longestMaths = 3000
)

// enclosed reads what stands between an opening mark of the given length and the closing mark, across the lines of the
// paragraph. A backslash keeps the character after it from closing. The reader then stands after the closing mark.
func enclosed(block text.Reader, opening int, closing string, limit int) (string, bool) {
	block.Advance(opening)
	var inner []byte
	for {
		line, _ := block.PeekLine()
		if line == nil {
			return "", false
		}
		if at := closingAt(line[:min(len(line), limit+len(closing))], closing); at >= 0 {
			block.Advance(at + len(closing))
			return string(append(inner, line[:at]...)), true
		}
		if len(inner)+len(line) > limit {
			return "", false
		}
		inner = append(inner, line...)
		block.AdvanceLine()
	}
}

func closingAt(line []byte, closing string) int {
	for i := 0; i < len(line); i++ {
		if line[i] == '\\' {
			i++
		} else if bytes.HasPrefix(line[i:], []byte(closing)) {
			return i
		}
	}
	return -1
}

// words joins wrapped lines and takes the backslash from an escaped pipe, which a term needs inside a table.
func words(s string) string {
	return strings.Join(strings.Fields(strings.ReplaceAll(s, `\|`, "|")), " ")
}

// bracketParser reads [@key] and [[term]].
type bracketParser struct{}

// Trigger implements parser.InlineParser.
func (bracketParser) Trigger() []byte { return []byte{'['} }

// Parse implements parser.InlineParser.
func (bracketParser) Parse(_ ast.Node, block text.Reader, _ parser.Context) ast.Node {
	line, segment := block.PeekLine()
	switch {
	case bytes.HasPrefix(line, []byte("[@")):
		if inner, ok := enclosed(block, 2, "]", longestMark); ok {
			key, locator, _ := strings.Cut(words(inner), ",")
			n := &Citation{Key: strings.TrimSpace(key), Locator: strings.TrimSpace(locator)}
			n.SetPos(segment.Start)
			return n
		}
	case bytes.HasPrefix(line, []byte("[[")):
		if inner, ok := enclosed(block, 2, "]]", longestMark); ok {
			term, shown, given := strings.Cut(words(inner), "|")
			term, shown = strings.TrimSpace(term), strings.TrimSpace(shown)
			if !given || shown == "" {
				shown = term
			}
			n := &TermLink{Term: term, Shown: shown}
			n.SetPos(segment.Start)
			return n
		}
	}
	return nil
}

// valueParser reads {=ref}.
type valueParser struct{}

// Trigger implements parser.InlineParser.
func (valueParser) Trigger() []byte { return []byte{'{'} }

// Parse implements parser.InlineParser.
func (valueParser) Parse(_ ast.Node, block text.Reader, _ parser.Context) ast.Node {
	line, segment := block.PeekLine()
	if !bytes.HasPrefix(line, []byte("{=")) {
		return nil
	}
	inner, ok := enclosed(block, 2, "}", longestMark)
	if !ok {
		return nil
	}
	n := &Value{Ref: words(inner)}
	n.SetPos(segment.Start)
	return n
}

// mathsParser reads $…$ and, within a line, $$…$$. So that prices stay prices, a single opening $ has no space after
// it and does not follow a letter or digit; its closing $ has no space before it and no letter or digit after it.
type mathsParser struct{}

// Trigger implements parser.InlineParser.
func (mathsParser) Trigger() []byte { return []byte{'$'} }

// Parse implements parser.InlineParser.
func (mathsParser) Parse(_ ast.Node, block text.Reader, _ parser.Context) ast.Node {
	before := block.PrecendingCharacter()
	line, segment := block.PeekLine()
	if bytes.HasPrefix(line, []byte("$$")) {
		if tex, ok := enclosed(block, 2, "$$", longestMaths); ok && strings.TrimSpace(tex) != "" {
			n := &Maths{TeX: strings.TrimSpace(tex), Display: true}
			n.SetPos(segment.Start)
			return n
		}
		return nil
	}
	if len(line) < 2 || util.IsSpace(line[1]) || isWordRune(before) {
		return nil
	}
	tex, ok := enclosed(block, 1, "$", longestMaths)
	if !ok || tex == "" || util.IsSpace(tex[len(tex)-1]) {
		return nil
	}
	if after, _ := block.PeekLine(); len(after) > 0 && isWordRune(rune(after[0])) {
		return nil
	}
	n := &Maths{TeX: strings.ReplaceAll(tex, "\n", " ")}
	n.SetPos(segment.Start)
	return n
}

func isWordRune(r rune) bool {
	return r >= '0' && r <= '9' || r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z'
}
