package generated

import (
	"fmt"
	"math/rand/v2"
	"strconv"
	"strings"

	"centrode/calc/catalog"
	"centrode/calc/catalog/list"
	"centrode/calc/quantity"
)

func slug(i int) string { return fmt.Sprintf("lesson-%05d", i) }

// File is the path of the lesson at a place in the book, from the project's folder.
func File(i int) string { return "content/lessons/" + slug(i) + ".md" }

// Address is where a server shows that lesson.
func Address(i int) string { return "/lessons/" + slug(i) + "/" }

// Block is a run of a calculator that a lesson asks for, with the one output that it states, if any.
type Block struct {
	Calculator catalog.Calculator
	Values     catalog.Values
	Given      string // as written in the lesson
	Output     string
}

// Blocks returns the runs of the lesson at a place in the book: two worked examples, then a plate.
func Blocks(i int) ([]Block, error) {
	at := func(low float64, step int) string {
		return strconv.FormatFloat(low+float64(i*step%20011)/10_000, 'f', 4, 64)
	}
	var out []Block
	for _, one := range []struct {
		id, output string
		given      [][2]string
	}{
		{"pivot-offset", "lever", [][2]string{{"offset_x", at(0.5, 1)}, {"offset_y", at(0.2, 7)}}},
		{"hinge-arc", "candidate_chord", [][2]string{{"candidate_x", at(0.1, 3)}, {"candidate_y", at(-1.9, 11)}}},
		{"finger-curl", "", [][2]string{{"pip_flex", at(60, 5)}, {"mcp_flex", at(70, 13)}}},
	} {
		c, err := list.Find(one.id)
		if err != nil {
			return nil, err
		}
		b := Block{Calculator: c, Values: catalog.NewValues(), Output: one.output}
		for _, g := range one.given {
			if err := catalog.Set(c.Spec(), &b.Values, g[0], g[1]); err != nil {
				return nil, err
			}
			b.Given += ", " + g[0] + ": " + g[1]
		}
		b.Given = "{" + strings.TrimPrefix(b.Given, ", ") + "}"
		out = append(out, b)
	}
	return out, nil
}

// Lesson returns the text of the lesson at a place in the book: four sections with two tables, two listings, four
// formulas, terms, a citation, two worked examples and a plate; some 7 kB.
func Lesson(i int) (string, error) {
	chance := rand.New(rand.NewPCG(7, uint64(i)))
	blocks, err := Blocks(i)
	if err != nil {
		return "", err
	}
	var b strings.Builder
	fmt.Fprintf(&b, "---\ntitle: %s\nsummary: %s\npart: %d\norder: %d\nminutes: 10\n", strings.TrimSuffix(sentence(chance, 3), "."), sentence(chance, 12), i%3+1, i/3+1)
	if i > 0 {
		fmt.Fprintf(&b, "needs: [%s]\n", slug((i-1)/4))
	}
	b.WriteString("terms: [pivot]\naudience: [reader]\nsources: [rodrigues1840]\n---\n\n")
	paragraphs(&b, chance, 2)
	for section := range 4 {
		fmt.Fprintf(&b, "## %s\n\n", strings.TrimSuffix(sentence(chance, 4), "."))
		paragraphs(&b, chance, 2)
		switch section {
		case 0, 2:
			table(&b, chance)
			formulas(&b, i, section)
		default:
			listing(&b, chance, section)
			b.WriteString("A [[pivot]] and its [[reach]], as told before [@rodrigues1840]; see [the first](" + Address(0) + ").\n\n")
		}
		if section < len(blocks) {
			if err := block(&b, blocks[section], section); err != nil {
				return "", err
			}
		}
	}
	return b.String(), nil
}

const vocabulary = "arm bone fold hinge knuckle limb palm pivot reach rest rig shoulder skin spine strap tip turn weight wrist sweep arc chord joint crane heron oar ferry marsh post"

func sentence(chance *rand.Rand, words int) string {
	list := strings.Fields(vocabulary)
	out := make([]string, words)
	for i := range out {
		out[i] = list[chance.IntN(len(list))]
	}
	text := strings.Join(out, " ")
	return strings.ToUpper(text[:1]) + text[1:] + "."
}

func paragraphs(b *strings.Builder, chance *rand.Rand, n int) {
	for range n {
		for range 4 {
			b.WriteString(sentence(chance, 8+chance.IntN(8)) + " *" + sentence(chance, 3) + "*\n")
		}
		b.WriteString("\n")
	}
}

func table(b *strings.Builder, chance *rand.Rand) {
	b.WriteString("| part | first | second | third |\n|---|---|---|---|\n")
	for range 8 {
		fmt.Fprintf(b, "| %s |", strings.TrimSuffix(sentence(chance, 2), "."))
		for range 3 {
			fmt.Fprintf(b, " `%x` |", chance.IntN(1<<20))
		}
		b.WriteString("\n")
	}
	b.WriteString("\n")
}

// formulas writes one that every lesson has and one that only this lesson has.
func formulas(b *strings.Builder, i, section int) {
	fmt.Fprintf(b, "Where $\\ell = |d|$ holds:\n\n$$ t_{%d} = 2\\,\\ell \\sin\\frac{\\theta}{%d} $$\n\n", i, section+2)
}

func listing(b *strings.Builder, chance *rand.Rand, section int) {
	language := []string{"", "go", "", "json"}[section]
	b.WriteString("```" + language + "\n")
	if language == "json" {
		b.WriteString("{\n")
	}
	for line := range 10 {
		if language == "json" {
			fmt.Fprintf(b, "  \"%s-%d\": [%d, %d, true],\n", strings.Fields(vocabulary)[chance.IntN(20)], line, chance.IntN(1000), chance.IntN(1000))
		} else {
			fmt.Fprintf(b, "func turn%d(x float64) float64 { return x*%d + %d } // by hand\n", line, chance.IntN(1000), chance.IntN(1000))
		}
	}
	if language == "json" {
		b.WriteString("  \"end\": null\n}\n")
	}
	b.WriteString("```\n\n")
}

func block(b *strings.Builder, one Block, n int) error {
	spec := one.Calculator.Spec()
	if one.Output == "" {
		fmt.Fprintf(b, "```plate\nid: block-%d\ntitle: To be moved\ncalculator: %s\ngiven: %s\n```\n\n", n, spec.ID, one.Given)
		return nil
	}
	answer, err := catalog.Run(one.Calculator, one.Values)
	if err != nil {
		return err
	}
	output, _ := spec.Output(one.Output)
	fmt.Fprintf(b, "```worked\nid: block-%d\ntitle: An example\ncalculator: %s\ngiven: %s\nexpect: {%s: %s cm}\ncheck: computed by the calculator itself\nsource: invented\n```\n\n",
		n, spec.ID, one.Given, one.Output, quantity.Fixed(answer.Result.Numbers[one.Output], output.Digits))
	fmt.Fprintf(b, "It comes to {=block-%d.%s}.\n\n", n, one.Output)
	return nil
}
