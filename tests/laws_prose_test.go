package tests

import (
	"encoding/csv"
	"regexp"
	"slices"
	"strings"
)

// The law of prose: a lesson types no quantity that a block could compute.
//
// Running text refers to blocks and facts. A sentence inside a block (question, say, note, summary) may repeat a number
// that the same block holds, since some cannot be referred to, such as the cells of a table; then the two must agree.
// What is left is in typed.csv with its reason: numbers of the story from which the values of the block follow.
func proseLaws() []law {
	lesson := func(lines ...string) files {
		return files{"content/lessons/a.md": strings.Join(append([]string{"---", "title: A", "---"}, lines...), "\n") + "\n"}
	}
	also := func(list files, name, text string) files {
		list[name] = text
		return list
	}
	const advice = " is typed; write {=block.output}, or {=fact:ID} for a published value"
	const head = "file,block,quantity,reason\n"
	return []law{{
		name: "prose takes its quantities from blocks and facts", find: typedQuantities, least: 20,
		broken: []breach{
			{lesson("", "The gap is 1.45 cm wide."), "content/lessons/a.md:5: \"1.45 cm\"" + advice},
			{lesson("It turns", "by 85° or", "by 90 degrees."), "content/lessons/a.md:5: \"85°\"" + advice + "\ncontent/lessons/a.md:6: \"90 degrees\"" + advice},
			{lesson("> [!mistake]", "> About 12 % too far."), "content/lessons/a.md:5: \"12 %\"" + advice},
			{lesson("```exercise", "id: a", "given: {x: 4 mm}", "question: It moves 3 mm. How far?", "```"), "content/lessons/a.md:7: \"3 mm\"" + advice},
			{lesson("```worked", "note: >-", "  It is", "  near 3 mm.", "given: {x: 4 mm}", "```"), "content/lessons/a.md:7: \"3 mm\"" + advice},
			{lesson("```worked", "given: {x: 4 mm}", "```", "It is 4 mm."), "content/lessons/a.md:7: \"4 mm\"" + advice},
			{files{"content/plates/a.md": "---\ntitle: A\nsummary: Within 2 mm.\n---\n"}, "content/plates/a.md:3: \"2 mm\"" + advice},
			{lesson("| a | b |", "|---|---|", "| 5–7 cm | x |"), "content/lessons/a.md:6: \"7 cm\"" + advice},
			{also(lesson("x"), allowed, head+"content/lessons/a.md,a,3 mm,it was there once but is no more\n"), allowed + ":2: allows \"3 mm\", which does not stand in content/lessons/a.md"},
			{also(lesson("```exercise", "id: a", "question: It moves 3 mm.", "```"), allowed, head+"content/lessons/a.md,a,3 mm,because\n"), allowed + ":2: the reason is too short to be one"},
		},
		kept: also(lesson("", "# The 90° case", "A gap of {=a.gap} [@x, p. 12 cm], `4 cm`, $90°$, [three cm](/x/#4-cm) and lesson 3 in part 1.",
			"```worked", "id: a", "title: 90°", "given: {x: 4 cm, y: -0.50 cm}", "check: half of 5 cm", "note: Of 4 cm, −0.5 cm are lost, and 7 cm told.", "```", "$$", "x = 4 cm", "$$"),
			allowed, head+"content/lessons/a.md,a,7 cm,the story tells it and no field holds it\n"),
	}}
}

// allowed lists the typed quantities that no block holds.
const allowed = "tests/typed.csv"

// typed is a number with a unit. Inches are left out: their "in" is a word.
var typed = regexp.MustCompile(`(\d[\d.,]*)[ \t\x{a0}\x{202f}]*(?:°|º|%|(?:cm|mm|km|m|ft|deg|degrees?|percent|per cent|rad|radians?|turns?|centimetres?|millimetres?|metres?|inch|inches|feet)(?:\b|²))`)

func typedQuantities(p *project, b *breaches) {
	list := p.allowances(b)
	used := make([]bool, len(list))
	for name := range p.under("content", ".md") {
		b.seen++
		text, blocks := prose(p.text[name])
		for _, m := range typed.FindAllStringSubmatchIndex(text, -1) {
			line, quantity := lineOf(text, m[0]), text[m[0]:m[1]]
			block := blocks[line-1]
			if block != nil && block.numbers[plainNumber(text[m[2]:m[3]])] {
				continue
			}
			at := slices.IndexFunc(list, func(a allowance) bool {
				return a.file == name && a.quantity == quantity && block != nil && a.block == block.id
			})
			if at >= 0 {
				used[at] = true
				continue
			}
			b.add(name, line, "%q is typed; write {=block.output}, or {=fact:ID} for a published value", quantity)
		}
	}
	for i, a := range list {
		if !used[i] {
			b.add(allowed, a.line, "allows %q, which does not stand in %s", a.quantity, a.file)
		}
	}
}

// allowance is one row of typed.csv.
type allowance struct {
	line                  int
	file, block, quantity string
}

func (p *project) allowances(b *breaches) []allowance {
	records, err := csv.NewReader(strings.NewReader(p.text[allowed])).ReadAll()
	if err != nil {
		b.add(allowed, 0, "is no CSV: %v", err)
	}
	var list []allowance
	for i, r := range records {
		if i == 0 {
			continue
		}
		if len(strings.Fields(r[3])) < 5 {
			b.add(allowed, i+1, "the reason is too short to be one")
		}
		list = append(list, allowance{i + 1, r[0], r[1], r[2]})
	}
	return list
}

// block is what is known of a fenced block.
type block struct {
	id      string
	numbers map[string]bool // without sign, as plainNumber writes them
}

var (
	blockID   = regexp.MustCompile(`^id:\s*(\S+)`)
	anyNumber = regexp.MustCompile(`\d+(?:\.\d+)?`)
)

// plainNumber takes what does not change a number from its digits: "0.50" is "0.5", and a comma after it is prose.
func plainNumber(digits string) string {
	digits = strings.TrimRight(digits, ".,")
	if strings.Contains(digits, ".") {
		digits = strings.TrimRight(strings.TrimRight(digits, "0"), ".")
	}
	return digits
}

// spans are what may hold numbers inside a line of prose: code, formulas, references, targets of links.
var spans = regexp.MustCompile("(?s)`[^`]*`|\\$\\$.*?\\$\\$|\\$[^$\n]*\\$|\\{=[^}]*\\}|\\[@[^\\]]*\\]|\\]\\([^)]*\\)|<!--.*?-->")

// sentence begins an entry of a block or of the front matter that is printed as running text.
var sentence = regexp.MustCompile(`^(\s*(?:- )?)(question|say|note|summary):\s*(.*)$`)

// prose returns the text with all that is no running text blanked out, lines kept, and for each line the fenced block in
// which it stands, nil outside.
func prose(text string) (string, []*block) {
	var out []string
	var blocks []*block
	var in *block
	fence, front, keep := "", false, -1 // keep is the indent of the entry whose lines are running text
	for i, line := range strings.Split(text, "\n") {
		bare := strings.TrimLeft(line, "> \t")
		shown := ""
		switch {
		case i == 0 && line == "---":
			front = true
		case front && line == "---":
			front = false
		case fence != "" && closes(bare, fence):
			fence, in = "", nil
		case fence == "" && !front && opening.MatchString(bare):
			parts := opening.FindStringSubmatch(bare)
			fence, keep, in = parts[1], -1, nil
			if slices.Contains([]string{"worked", "exercise", "plate", "compare"}, parts[2]) { // any other fence is code, and shows no running text
				in = &block{numbers: map[string]bool{}}
			}
		case front || in != nil:
			shown, keep = entry(line, keep)
			in.note(line, shown)
		case fence != "":
		case !strings.HasPrefix(bare, "#"):
			shown = line
		}
		out, blocks = append(out, shown), append(blocks, in)
	}
	return spans.ReplaceAllStringFunc(strings.Join(out, "\n"), func(s string) string {
		return strings.Repeat("\n", strings.Count(s, "\n"))
	}), blocks
}

// opening is a line that opens a fence: its marks, and the first word after them.
var opening = regexp.MustCompile("^(`{3,}|~{3,})\\s*(\\S*)")

// closes reports whether the line closes the fence: as many of its marks or more, and nothing else.
func closes(bare, fence string) bool {
	bare = strings.TrimRight(bare, " \t")
	return len(bare) >= len(fence) && strings.Trim(bare, fence[:1]) == ""
}

// note keeps the id and the numbers of a line that is no sentence. The receiver is nil in front matter.
func (in *block) note(line, shown string) {
	if in == nil || shown != "" {
		return
	}
	if m := blockID.FindStringSubmatch(line); m != nil {
		in.id = m[1]
		return
	}
	for _, digits := range anyNumber.FindAllString(line, -1) {
		in.numbers[plainNumber(digits)] = true
	}
}

// entry returns what of a line of YAML is running text, and the indent below which it goes on in the next lines.
func entry(line string, keep int) (string, int) {
	if m := sentence.FindStringSubmatch(line); m != nil {
		return m[3], len(m[1])
	}
	if keep >= 0 && (strings.TrimSpace(line) == "" || len(line)-len(strings.TrimLeft(line, " ")) > keep) {
		return line, keep
	}
	return "", -1
}
