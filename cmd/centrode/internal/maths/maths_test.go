package maths

import (
	"os"
	"slices"
	"strings"
	"sync"
	"testing"
)

const converter = "../../../../theme/node_modules/temml/dist/temml.min.js"

func renderer(t testing.TB) *Renderer {
	t.Helper()
	source, err := os.ReadFile(converter)
	if err != nil {
		t.Skipf("run npm ci in theme first: %v", err)
	}
	r, err := New(string(source))
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func TestFormulasBecomeMathML(t *testing.T) {
	r := renderer(t)
	for _, c := range []struct {
		name, tex string
		display   bool
		want      []string // parts of the markup, in order
	}{
		{"an inline fraction", `\frac{a}{2}`, false, []string{`<math alttext="\frac{a}{2}">`, "<mfrac>", "<mi>a</mi>", "<mn>2</mn>"}},
		{"a block has the display attribute", `x`, true, []string{`display="block"`, `class="tml-display"`}},
		{"a matrix keeps its cell spacing by class", `\begin{pmatrix}1&2\\3&4\end{pmatrix}`, true, []string{"cell-start-0", "cell-end-half", "cell-start-half"}},
		{"cases end in a cell without noise", `\begin{cases}a & x>0\\ b\end{cases}`, true, []string{"cell-start-1"}},
		{"an accent keeps its depth by class", `\hat a`, false, []string{"math-depth-0"}},
		{"a box is a class", `\boxed{y}`, false, []string{`class="boxed"`}},
		{"quotes in the source are escaped", `\text{"a"}`, false, []string{`alttext="\text{&quot;a&quot;}"`}},
	} {
		t.Run(c.name, func(t *testing.T) {
			got, err := r.MathML(c.tex, c.display, nil)
			if err != nil {
				t.Fatal(err)
			}
			rest := got
			for _, part := range c.want {
				_, after, found := strings.Cut(rest, part)
				if !found {
					t.Fatalf("%q is missing (in this order) from\n%s", part, got)
				}
				rest = after
			}
			if strings.Contains(got, " style=") {
				t.Errorf("a style attribute is left in\n%s", got)
			}
		})
	}
}

func TestSlotsAreNumberElementsFilledAsGiven(t *testing.T) {
	r := renderer(t)
	values := map[string]string{"owed_x": "−1.23", "n": "7", "kind": `a<b`}
	got, err := r.MathML(`2\slot{owed_x} + \frac{\slot{n}}{x^{\slot{n}}} = \slot{kind}\ \text{cm}`, true, func(id string) string { return values[id] })
	if err != nil {
		t.Fatal(err)
	}
	for part, count := range map[string]int{
		`<mn class="slot slot-owed_x">−1.23</mn>`: 1, `<mn class="slot slot-n">7</mn>`: 1, `<mn class="slot slot-n tml-sml-pad">7</mn>`: 1,
		`<mn class="slot slot-kind">a&lt;b</mn>`: 1, `<mn>2</mn>`: 1, "alttext": 0, " style=": 0,
	} {
		if n := strings.Count(got, part); n != count {
			t.Errorf("%q stands %d times, want %d, in\n%s", part, n, count, got)
		}
	}
	again, _ := r.MathML(`2\slot{owed_x} + \frac{\slot{n}}{x^{\slot{n}}} = \slot{kind}\ \text{cm}`, true, func(string) string { return "5" })
	if strings.Count(again, ">5</mn>") != 4 {
		t.Errorf("the remembered formula is not filled anew:\n%s", again)
	}
}

func TestBadFormulasAreErrorsThatSayWhy(t *testing.T) {
	r := renderer(t)
	for _, c := range []struct{ name, tex, want string }{
		{"an unknown command", `\foo`, `formula $\foo$: Unsupported function name: \foo at position 1: \foo`},
		{"an open group", `\frac{1}{`, `formula $\frac{1}{$: Unexpected end of input in a macro argument, expected '}' at end of input: \frac{1}{`},
		{"nothing", ` `, `formula $ $: is empty`},
		{"a colour", `\color{red}{x}`, `formula $\color{red}{x}$: sets "color:#ff0000"; colours and other looks are given by the style sheet, not by a formula`},
		{"a slot without a name", `\slot{}`, `formula $\slot{}$: \slot{}: must name a field, output or working by its id`},
	} {
		t.Run(c.name, func(t *testing.T) {
			got, err := r.MathML(c.tex, false, nil)
			if err == nil || err.Error() != c.want {
				t.Errorf("got %q, error %v, want %s", got, err, c.want)
			}
		})
	}
	for name, tex := range map[string]string{
		"a macro that calls itself": `\def\a{\a\a}\a`, "a link": `\href{/x}{y}`, "ten thousand letters": strings.Repeat("x", 10000),
		"deep nesting": strings.Repeat("{", 1900) + strings.Repeat("}", 1900), "an inline style": `\style{color:red}{x}`,
	} {
		if got, err := r.MathML(tex, false, nil); err == nil && strings.Contains(got, "href") {
			t.Errorf("%s passed: %.200s", name, got)
		} else if err == nil && name != "deep nesting" {
			t.Errorf("%s passed: %.200s", name, got)
		}
	}
	if _, err := r.MathML("x", false, nil); err != nil {
		t.Errorf("after refusals an ordinary formula fails: %v", err)
	}
}

// What one renderer remembers is what another makes: a build may be handed formulas that another build converted.
func TestAFormulaHangsOnNothingButItself(t *testing.T) {
	one, other := renderer(t), renderer(t)
	formulas := []string{`x' = R\,x + t`, `\tfrac12\,(d_{\mathrm{knuckle}} + d_{\mathrm{tip}})`, `\begin{pmatrix} R_j & p' \\ 0 & 1 \end{pmatrix}`, `\hat a`, `\sum_i \slot{lever}`}
	convert := func(r *Renderer, tex string) string {
		markup, err := r.MathML(tex, true, func(string) string { return "1" })
		if err != nil {
			t.Fatal(err)
		}
		return markup
	}
	first := map[string]string{}
	for _, tex := range formulas {
		first[tex] = convert(one, tex)
	}
	for _, tex := range slices.Backward(formulas) { // behind others than in the first
		if got := convert(other, tex); got != first[tex] {
			t.Errorf("%s: %s behind other formulas, %s", tex, got, first[tex])
		}
	}
}

func TestManyWorkersShareOneRenderer(t *testing.T) {
	r := renderer(t)
	var wait sync.WaitGroup
	for worker := range 4 {
		wait.Go(func() {
			for i := range 10 {
				tex := strings.Repeat("x", 1+i) + strings.Repeat("+y", worker)
				if _, err := r.MathML(tex, false, nil); err != nil {
					t.Error(err)
				}
			}
		})
	}
	wait.Wait()
	if len(r.cache) < 30 {
		t.Errorf("only %d formulas are remembered", len(r.cache))
	}
}

func BenchmarkMathML(b *testing.B) {
	r := renderer(b)
	if _, err := r.MathML("x", true, nil); err != nil {
		b.Fatal(err)
	}
	b.Run("new", func(b *testing.B) {
		for b.Loop() {
			clear(r.cache)
			if _, err := r.MathML(`|t| = 2\,\ell\,\sin\frac{|\theta|}{2} = 2 \cdot \slot{lever} \cdot \slot{half_sine} = \slot{owed_length}\ \text{cm}`, true, func(string) string { return "1" }); err != nil {
				b.Fatal(err)
			}
		}
	})
	b.Run("remembered", func(b *testing.B) {
		for b.Loop() {
			_, _ = r.MathML(`|t| = 2\,\ell\,\sin\frac{|\theta|}{2} = 2 \cdot \slot{lever} \cdot \slot{half_sine} = \slot{owed_length}\ \text{cm}`, true, func(string) string { return "1" })
		}
	})
}
