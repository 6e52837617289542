// Package outline reads the small YAML that authors write: front matter, blocks, glossary, paths and cast.
//
// Start at Parse for a tree, and at NewForm to read a mapping whose keys are known. Only texts, lists and mappings are
// accepted; a number stays the text that was typed ("1.50"), since its digits matter. Every node knows its line.
// Left out on purpose: anchors, aliases, tags, merge keys and several documents in one text.
package outline

import (
	"bytes"
	"errors"
	"strconv"
	"strings"

	"github.com/goccy/go-yaml"
	"github.com/goccy/go-yaml/ast"
	"github.com/goccy/go-yaml/parser"

	"centrode/cmd/centrode/internal/report"
)

// Kind says what a Node is.
type Kind uint8

// The kinds of node.
const (
	Empty Kind = iota // nothing was written
	Text
	List
	Map
)

// Name returns the kind in words, for messages.
func (k Kind) Name() string { return [...]string{"nothing", "text", "a list", "a mapping"}[k] }

// Node is one value with the line on which it begins.
type Node struct {
	Kind     Kind
	Text     string // of a Text: decoded, for numbers as typed
	TextLine int    // of a Text: the line its first character stands on; for a block text the line after Line
	Block    bool   // of a Text: written as a block, each line kept
	Items    []*Node
	Entries  []Entry
	Line     int
}

// Entry is one key of a Map with its value.
type Entry struct {
	Key   string
	Line  int
	Value *Node
}

// Place says whose text is read and where complaints go: every problem is added to Log for File, and its line is the
// line of the text plus Shift.
type Place struct {
	File  string
	Shift int
	Log   *report.Log
}

// Problem adds a problem at a line that Parse gave.
func (p Place) Problem(line int, text string) { p.Log.Add(p.File, line, text) }

// Far above what any block needs and far below what would cost the YAML reader noticeable time: its time for the keys of one mapping
// and for empty lines together grows with their square.
const (
	maxNesting  = 40
	maxTogether = 4000
)

// Parse reads one YAML text. A text that cannot be read is reported and gives nil; an empty one gives an Empty node.
func Parse(source []byte, limit int, at Place) *Node {
	if len(source) > limit {
		at.Problem(at.Shift+1, "is "+strconv.Itoa((len(source)+1023)/1024)+" KB here; at most "+strconv.Itoa(limit/1024)+" KB are read")
		return nil
	}
	if line := tooDeep(source); line > 0 {
		at.Problem(at.Shift+line, "brackets nest more than "+strconv.Itoa(maxNesting)+" deep; a bracket may be missing its end")
		return nil
	}
	if line := tooMany(source); line > 0 {
		at.Problem(at.Shift+line, "more than "+strconv.Itoa(maxTogether)+" keys, or empty lines, stand together here; write fewer, or a list of mappings")
		return nil
	}
	file, err := parser.ParseBytes(source, 0, parser.AllowDuplicateMapKey())
	if err != nil {
		line, text := explain(err)
		at.Problem(at.Shift+max(line, 1), text)
		return nil
	}
	if len(file.Docs) > 1 && file.Docs[1].Body != nil {
		at.Problem(at.Shift+lineOf(file.Docs[1].Body), `a line "---" is not expected here`)
	}
	if len(file.Docs) == 0 || file.Docs[0].Body == nil {
		return &Node{Line: at.Shift + 1}
	}
	return at.convert(file.Docs[0].Body, 0)
}

// tooDeep returns the line on which brackets and list dashes nest too deep, or 0.
func tooDeep(source []byte) int {
	line, depth, dashes := 1, 0, 0
	for i, c := range source {
		switch c {
		case '\n':
			line++
			dashes = 0
		case '[', '{':
			depth++
		case ']', '}':
			depth = max(0, depth-1)
		case '-', '?':
			if i+1 < len(source) && source[i+1] == ' ' {
				dashes++
			}
		}
		if depth > maxNesting || dashes > maxNesting {
			return line
		}
	}
	return 0
}

// tooMany returns the line on which the colons of one indent, each of which may end a key, or the empty lines in a row are more than
// are read, or 0.
func tooMany(source []byte) int {
	var colons []int // by indent, since the last line of a smaller one
	line, empty := 0, 0
	for text := range bytes.Lines(source) {
		line++
		rest := bytes.TrimLeft(text, " ")
		if empty++; len(bytes.TrimSpace(rest)) > 0 {
			empty = 0
		}
		if empty > maxTogether {
			return line
		}
		if empty > 0 || rest[0] == '#' {
			continue
		}
		indent := len(text) - len(rest)
		colons = colons[:min(indent+1, len(colons))]
		for bytes.HasPrefix(rest, []byte("- ")) { // an item begins a mapping of its own, further in
			colons = colons[:min(indent, len(colons))]
			after := bytes.TrimLeft(rest[1:], " ")
			indent += len(rest) - len(after)
			rest = after
		}
		more := bytes.Count(rest, []byte(":"))
		if more == 0 {
			continue
		}
		for len(colons) <= indent {
			colons = append(colons, 0)
		}
		if colons[indent] += more; colons[indent] > maxTogether {
			return line
		}
	}
	return 0
}

// explain turns the YAML reader's complaint into advice.
func explain(err error) (line int, text string) {
	text = err.Error()
	var syntax *yaml.SyntaxError
	if errors.As(err, &syntax) {
		text = syntax.Message
		if syntax.Token != nil && syntax.Token.Position != nil {
			line = syntax.Token.Position.Line
		}
	}
	for _, known := range []struct{ part, advice string }{
		{"mapping value is not allowed", `is not readable: a text that holds ": " needs quotes around it, and keys of one mapping the same indent`},
		{"is a reserved character", `is not readable: a text that begins with @ or a backquote needs quotes around it`},
		{"tab character", "is not readable: indent with spaces, not with tabs"},
		{"cannot start any token", "is not readable: indent with spaces, not with tabs"},
		{"could not find end character", "is not readable: a quoted text is not closed"},
		{"must be specified", "is not readable: a list or mapping in brackets is not closed, or a comma is missing"},
		{"could not find flow", "is not readable: a list or mapping in brackets is not closed, or a comma is missing"},
		{"value is not allowed in this context", "is not readable: a text that begins with a bracket needs quotes around it"},
		{"non-map value is specified", `is not readable: expected "key: value", with a space after the colon`},
		{"unexpected key name", `is not readable: expected "key: value", with a space after the colon`}, // such a line stands before a good one
	} {
		if strings.Contains(text, known.part) {
			return line, known.advice
		}
	}
	return line, "is not readable as YAML: " + strings.TrimSpace(text)
}

func lineOf(n ast.Node) int {
	if t := n.GetToken(); t != nil && t.Position != nil {
		return t.Position.Line
	}
	return 1
}

func (p Place) convert(n ast.Node, depth int) *Node {
	out := &Node{Line: p.Shift + lineOf(n)}
	if depth > maxNesting {
		p.Problem(out.Line, "nests more than "+strconv.Itoa(maxNesting)+" deep")
		return out
	}
	switch n := n.(type) {
	case *ast.NullNode:
	case *ast.LiteralNode:
		out.Kind, out.Text, out.Block, out.TextLine = Text, n.Value.Value, strings.HasPrefix(n.Start.Value, "|"), out.Line+1
	case *ast.StringNode, *ast.IntegerNode, *ast.FloatNode, *ast.BoolNode, *ast.InfinityNode, *ast.NanNode:
		out.Kind, out.Text, out.TextLine = Text, n.GetToken().Value, out.Line
	case *ast.SequenceNode:
		out.Kind = List
		for _, item := range n.Values {
			out.Items = append(out.Items, p.convert(item, depth+1))
		}
	case *ast.MappingNode:
		out.Kind = Map
		for _, pair := range n.Values {
			p.pair(out, pair, depth)
		}
	case *ast.MappingValueNode:
		out.Kind = Map
		p.pair(out, n, depth)
	case *ast.CommentGroupNode:
	default:
		p.Problem(out.Line, "is not plain text, a list or a mapping; anchors, aliases and tags are not read here")
	}
	return out
}

func (p Place) pair(out *Node, pair *ast.MappingValueNode, depth int) {
	line := p.Shift + lineOf(pair.Key)
	switch pair.Key.(type) {
	case *ast.StringNode, *ast.IntegerNode, *ast.FloatNode, *ast.BoolNode, *ast.NullNode:
	default:
		p.Problem(line, "a key must be plain text")
		return
	}
	key := pair.Key.GetToken().Value
	for _, e := range out.Entries {
		if e.Key == key {
			p.Problem(line, `key "`+key+`" is given twice; the first is on line `+strconv.Itoa(e.Line))
			return
		}
	}
	out.Entries = append(out.Entries, Entry{key, line, p.convert(pair.Value, depth+1)})
}
