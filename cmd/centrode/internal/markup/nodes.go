package markup

import (
	"strconv"

	"github.com/yuin/goldmark/ast"
)

// The kinds of the nodes that this package adds.
var (
	KindCitation   = ast.NewNodeKind("Citation")
	KindTermLink   = ast.NewNodeKind("TermLink")
	KindValue      = ast.NewNodeKind("Value")
	KindMaths      = ast.NewNodeKind("Maths")
	KindMathsBlock = ast.NewNodeKind("MathsBlock")
	KindCallout    = ast.NewNodeKind("Callout")
)

// Citation is [@key] or [@key, p. 12].
type Citation struct {
	ast.BaseInline
	Key     string // as written, without the @
	Locator string // what follows the first comma: "p. 12"
}

// Kind implements ast.Node.
func (*Citation) Kind() ast.NodeKind { return KindCitation }

// Dump implements ast.Node.
func (n *Citation) Dump(source []byte, level int) {
	ast.DumpHelper(n, source, level, map[string]string{"Key": n.Key, "Locator": n.Locator}, nil)
}

// TermLink is [[term]] or [[term|shown words]].
type TermLink struct {
	ast.BaseInline
	Term  string // a term, one of its other names, or its id
	Shown string // the words to print; the term as written when none are given
}

// Kind implements ast.Node.
func (*TermLink) Kind() ast.NodeKind { return KindTermLink }

// Dump implements ast.Node.
func (n *TermLink) Dump(source []byte, level int) {
	ast.DumpHelper(n, source, level, map[string]string{"Term": n.Term, "Shown": n.Shown}, nil)
}

// Value is {=ref}: a computed or a published number.
type Value struct {
	ast.BaseInline
	Ref string // "rail-grip-index.pulp_gap", "rail-grip-index.pulp_gap:mm" or "fact:hand-length-001"
}

// Kind implements ast.Node.
func (*Value) Kind() ast.NodeKind { return KindValue }

// Dump implements ast.Node.
func (n *Value) Dump(source []byte, level int) {
	ast.DumpHelper(n, source, level, map[string]string{"Ref": n.Ref}, nil)
}

// Maths is $…$, or $$…$$ within a line of text.
type Maths struct {
	ast.BaseInline
	TeX     string
	Display bool
}

// Kind implements ast.Node.
func (*Maths) Kind() ast.NodeKind { return KindMaths }

// Dump implements ast.Node.
func (n *Maths) Dump(source []byte, level int) {
	ast.DumpHelper(n, source, level, map[string]string{"TeX": n.TeX, "Display": strconv.FormatBool(n.Display)}, nil)
}

// MathsBlock is $$…$$ on lines of its own.
type MathsBlock struct {
	ast.BaseBlock
	TeX    string
	Closed bool // false when the text ended before the closing $$
}

// Kind implements ast.Node.
func (*MathsBlock) Kind() ast.NodeKind { return KindMathsBlock }

// IsRaw implements ast.Node: nothing inside is markdown.
func (*MathsBlock) IsRaw() bool { return true }

// Dump implements ast.Node.
func (n *MathsBlock) Dump(source []byte, level int) {
	ast.DumpHelper(n, source, level, map[string]string{"TeX": n.TeX}, nil)
}

// Callout is a quotation whose first line is [!kind]; its children are the blocks after that mark.
type Callout struct {
	ast.BaseBlock
	Name string // in lower case: "caution"; see Callouts for those that exist
}

// Callouts returns the kinds of callout that the pages can show.
func Callouts() []string { return []string{"caution", "mistake", "note", "tomorrow"} }

// Kind implements ast.Node.
func (*Callout) Kind() ast.NodeKind { return KindCallout }

// Dump implements ast.Node.
func (n *Callout) Dump(source []byte, level int) {
	ast.DumpHelper(n, source, level, map[string]string{"Name": n.Name}, nil)
}
