package markup

import (
	"fmt"
	"reflect"
	"strings"
	"testing"
	"time"

	"centrode/tests/hard/bound"
	"github.com/yuin/goldmark/ast"
)

// marks lists the nodes of ours in source as short text with their lines.
func marks(source string) []string {
	lines := NewLines([]byte(source), 1)
	var out []string
	ast.Walk(Parse(New(), []byte(source)), func(n ast.Node, entering bool) (ast.WalkStatus, error) {
		if !entering {
			return ast.WalkContinue, nil
		}
		switch n := n.(type) {
		case *Citation:
			out = append(out, fmt.Sprintf("%d cite %s|%s", lines.At(n.Pos()), n.Key, n.Locator))
		case *TermLink:
			out = append(out, fmt.Sprintf("%d term %s|%s", lines.At(n.Pos()), n.Term, n.Shown))
		case *Value:
			out = append(out, fmt.Sprintf("%d value %s", lines.At(n.Pos()), n.Ref))
		case *Maths:
			out = append(out, fmt.Sprintf("%d maths %s %v", lines.At(n.Pos()), n.TeX, n.Display))
		case *MathsBlock:
			out = append(out, fmt.Sprintf("%d block %s %v", lines.At(n.Pos()), n.TeX, n.Closed))
		case *Callout:
			out = append(out, fmt.Sprintf("%d callout %s", lines.At(n.Pos()), n.Name))
		case *ast.Heading:
			id, _ := n.AttributeString("id")
			out = append(out, fmt.Sprintf("%d heading %s", lines.At(n.Pos()), id))
		}
		return ast.WalkContinue, nil
	})
	return out
}

func TestMarksAreReadWithTheirLines(t *testing.T) {
	for _, c := range []struct {
		name, source string
		want         []string
	}{
		{"a citation", "See [@reuleaux1876].", []string{"1 cite reuleaux1876|"}},
		{"a citation with a place", "a\nb [@reuleaux1876, p. 12]", []string{"2 cite reuleaux1876|p. 12"}},
		{"a citation that wraps", "a [@reuleaux1876,\np. 12] b [@x]", []string{"1 cite reuleaux1876|p. 12", "2 cite x|"}},
		{"a citation without a key is still a citation, so that the check can refuse it", "a [@]", []string{"1 cite |"}},
		{"a term", "the [[owed translation]]", []string{"1 term owed translation|owed translation"}},
		{"a term in other words", "two [[pivot|pivots]]", []string{"1 term pivot|pivots"}},
		{"a term in a table", "| a | b |\n|---|---|\n| [[pivot\\|pivots]] | [@k] |", []string{"3 term pivot|pivots", "3 cite k|"}},
		{"a value", "It is {=grip.pulp_gap:1}.", []string{"1 value grip.pulp_gap:1"}},
		{"a value in a link, emphasis and a heading", "# H {=a.b}\n\n*{=c.d}* [{=e.f}](/x/)",
			[]string{"1 heading h-a-b", "1 value a.b", "3 value c.d", "3 value e.f"}},
		{"maths", "with $x' = R x$ and $$y$$ here", []string{"1 maths x' = R x false", "1 maths y true"}},
		{"maths in one letter", "$r$", []string{"1 maths r false"}},
		{"maths that wraps", "a $x +\ny$ b", []string{"1 maths x + y false"}},
		{"a dollar sign inside maths", `$x = 5\$$`, []string{`1 maths x = 5\$ false`}},
		{"prices are no maths", "from $5 to $6, or $5/$6, US$5 and $", nil},
		{"a closing mark with a space before it is none", "a $x $ b", nil},
		{"escaped marks are text", `\$x$ \[@a] \[[b]] \{=c.d}`, nil},
		{"code is no markup", "`[@a] [[b]] {=c.d} $e$`\n\n```\n[@a] $x$\n$$\n```\n\n    [@a]\n", nil},
		{"a block of maths", "a\n\n$$\nx = 1\n\ny\n$$\nafter [@k]", []string{"3 block x = 1\n\ny true", "8 cite k|"}},
		{"a block of maths on one line", "$$x = 1$$\ntext [@k]", []string{"1 block x = 1 true", "2 cite k|"}},
		{"a block of maths that ends on its last line", "$$x\n= 1$$", []string{"1 block x\n= 1 true"}},
		{"a block of maths in a list", "- a\n\n  $$\n  x\n  $$\n\n  [@k]", []string{"3 block x true", "7 cite k|"}},
		{"a block of maths that never ends", "$$\nx", []string{"1 block x false"}},
		{"a line of text that opens with maths", "$$x$$ holds", []string{"1 maths x true"}},
		{"a callout", "> [!caution]\n> Save first. [@k]\n\nafter", []string{"1 callout caution", "2 cite k|"}},
		{"a callout with text on its first line", "> [!Note] See [@k]\n> and [@m]", []string{"1 callout note", "1 cite k|", "2 cite m|"}},
		{"a quotation is no callout", "> A line [!caution]", nil},
		{"equal headings get numbers", "# Depth\n\n## Depth\n\nDepth\n-----\n\n# What's a “plate”, then?\n\n# ∎",
			[]string{"1 heading depth", "3 heading depth-1", "5 heading depth-2", "8 heading whats-a-plate-then", "10 heading section"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			if got := marks(c.source); !reflect.DeepEqual(got, c.want) {
				t.Errorf("%q:\ngot  %q\nwant %q", c.source, got, c.want)
			}
		})
	}
}

func TestUnclosedMarksCostLittle(t *testing.T) {
	for _, mark := range []string{"[[", "[@", "{=", "$x", "$$", "> [!", "$$\n"} {
		source := strings.Repeat(mark, 50_000)
		began := time.Now()
		Parse(New(), []byte(source))
		if took := time.Since(began); took > 20*time.Second { // a square would be hours; the bound is loose for slow machines
			t.Errorf("%d bytes of %q took %v", len(source), mark, took)
		}
	}
}

func FuzzParseMarksStandInsideTheSource(f *testing.F) {
	for _, s := range []string{"[@a, b] [[c|d]] {=e.f} $g$", "> [!note]\n> $$\n> x\n> $$", "- $$\n\tx\n", "| a |\n|-|\n| $x$ |", "$$\n$$\n$"} {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, source []byte) {
		defer bound.Watch(t, len(source))()
		root := Parse(New(), source)
		ast.Walk(root, func(n ast.Node, entering bool) (ast.WalkStatus, error) {
			switch n.Kind() {
			case KindCitation, KindTermLink, KindValue, KindMaths, KindMathsBlock, KindCallout:
				if n.Pos() < 0 || n.Pos() > len(source) {
					t.Fatalf("%v at %d of %d bytes", n.Kind(), n.Pos(), len(source))
				}
			}
			return ast.WalkContinue, nil
		})
	})
}
