package figure

import (
	"unicode/utf8"

	"centrode/calc/jsontree"
	"centrode/calc/plane"
)

// Node is an element of the drawing: its text comes before its children. The page builds its DOM from the same tree
// that Markup writes.
type Node struct {
	Tag      string
	Attrs    []Attr
	Text     string
	Children []Node
}

// Attr is one attribute; names are unique within a Node.
type Attr struct{ Name, Value string }

// Attr returns the value of the named attribute, "" when the node has none.
func (n Node) Attr(name string) string {
	for _, a := range n.Attrs {
		if a.Name == name {
			return a.Value
		}
	}
	return ""
}

// el builds a node from alternating names and values; attributes with an empty value are left out. It and others here are called from
// so many places that copies would make the calculators 1 % larger, and take so long that a call is nothing beside it: go:noinline.
//
//go:noinline
func el(tag string, pairs ...string) Node {
	n := Node{Tag: tag, Attrs: make([]Attr, 0, len(pairs)/2)}
	for i := 0; i+1 < len(pairs); i += 2 {
		if pairs[i+1] != "" {
			n.Attrs = append(n.Attrs, Attr{pairs[i], pairs[i+1]})
		}
	}
	return n
}

func circle(class string, centre plane.Vec, radius float64) Node {
	return el("circle", "class", class, "cx", number(centre.X), "cy", number(centre.Y), "r", number(radius))
}

// with returns n with more children.
//
//go:noinline
func (n Node) with(children ...Node) Node {
	n.Children = append(n.Children, children...)
	return n
}

// named makes a mark known to assistive technology. A mark without a name stays a mere line: it has no title, and
// accessibility trees leave out untitled shapes.
//
//go:noinline
func (n Node) named(name string, words Words) Node {
	if name == "" {
		return n
	}
	n.Attrs = append(n.Attrs, Attr{"role", "img"})
	n.Children = append([]Node{{Tag: "title", Text: words.Of(name)}}, n.Children...)
	return n
}

// Markup writes the tree as SVG text that both HTML and XML parsers read: text is escaped, and characters that XML
// cannot hold become U+FFFD.
func Markup(n Node) []byte { return appendMarkup(make([]byte, 0, 4096), n) }

func appendMarkup(b []byte, n Node) []byte {
	b = append(append(b, '<'), n.Tag...)
	for _, a := range n.Attrs {
		b = append(append(append(b, ' '), a.Name...), `="`...)
		b = append(appendEscaped(b, a.Value), '"')
	}
	if n.Text == "" && len(n.Children) == 0 {
		return append(b, "/>"...)
	}
	b = appendEscaped(append(b, '>'), n.Text)
	for _, child := range n.Children {
		b = appendMarkup(b, child)
	}
	return append(append(append(b, "</"...), n.Tag...), '>')
}

func appendEscaped(b []byte, text string) []byte {
	for _, r := range text {
		switch {
		case r == '&':
			b = append(b, "&amp;"...)
		case r == '<':
			b = append(b, "&lt;"...)
		case r == '>':
			b = append(b, "&gt;"...)
		case r == '"':
			b = append(b, "&#34;"...)
		default:
			b = utf8.AppendRune(b, writable(r))
		}
	}
	return b
}

// writable replaces what XML 1.0 cannot hold. A carriage return would be read back as a line feed.
func writable(r rune) rune {
	switch {
	case r == '\r':
		return '\n'
	case r < ' ' && r != '\t' && r != '\n', r == 0xFFFE, r == 0xFFFF, !utf8.ValidRune(r):
		return utf8.RuneError
	}
	return r
}

// AppendJSON writes the tree as nested arrays: ["svg",{"class":"figure"},[child,…]], where text is a plain string among the
// children. It holds the same characters as Markup, and none that would end a script element.
func AppendJSON(b []byte, n Node) []byte {
	b = append(appendQuoted(append(b, '['), n.Tag), ",{"...)
	for i, a := range n.Attrs {
		if i > 0 {
			b = append(b, ',')
		}
		b = appendQuoted(append(appendQuoted(b, a.Name), ':'), a.Value)
	}
	b = append(b, "},["...)
	if n.Text != "" {
		b = appendQuoted(b, n.Text)
	}
	for i, child := range n.Children {
		if i > 0 || n.Text != "" {
			b = append(b, ',')
		}
		b = AppendJSON(b, child)
	}
	return append(b, "]]"...)
}

// appendQuoted writes text as JSON, without what XML cannot hold.
func appendQuoted(b []byte, text string) []byte {
	return jsontree.AppendMapped(b, text, writable)
}

// Each visits a node and all below it, parents first. As a method it would stand in the type, and so in every module, called or not.
func Each(n Node, visit func(Node)) {
	visit(n)
	for _, child := range n.Children {
		Each(child, visit)
	}
}
