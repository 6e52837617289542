package lesson

import (
	"reflect"
	"strings"
	"testing"

	"centrode/cmd/centrode/internal/report"
)

const front = "---\ntitle: The finger\nsummary: How it closes.\npart: 2\norder: 1\nminutes: 12\n---\n" // 7 lines

const worked = "```worked\nid: grip\ntitle: A grip\ncalculator: pivot-offset\nexpect: {owed_length: 1.118 cm}\ncheck: a triangle\nsource: derived\n```\n"

// problems parses source and returns what was reported, a line each.
func problems(source string) []string {
	var log report.Log
	Parse("content/lessons/the-finger.md", []byte(source), &log)
	var out []string
	for _, p := range log.Problems() {
		out = append(out, p.String())
	}
	return out
}

func TestEveryMistakeInOneFileIsReportedAtItsLine(t *testing.T) {
	const at = "content/lessons/the-finger.md"
	for _, c := range []struct {
		name, source string
		want         []string // without the file name
	}{
		{"a good lesson", front + "\n## Depth\n\nText [@a] [[b]] {=grip.owed_length}.\n\n" + worked, nil},
		{"an empty file", "", []string{": is empty"}},
		{"a file of spaces", " \n\t\n", []string{": is empty"}},
		{"a binary file", "\x7fELF\x00\x01", []string{":1: is not UTF-8 text; save the file as UTF-8"}},
		{"a file in another encoding", "---\ntitle: caf\xe9\n---\n", []string{":2: is not UTF-8 text; save the file as UTF-8"}},
		{"a byte order mark and Windows line ends", "\ufeff" + strings.ReplaceAll(front+worked, "\n", "\r\n"), nil},
		{"no front matter", "# The finger\n", []string{
			`:1: heading "The finger": the title is the only heading of the first level; begin with ##`,
			`:1: must begin with a line "---", then "title:" and the other keys, then a line "---"`}},
		{"front matter that is never closed is still checked, and so is the text", "---\ntitle: A\ntitel: B\n\n```workd\n```\n", []string{
			`:1: front matter: "minutes" is missing`, `:1: front matter: "order" is missing`, `:1: front matter: "part" is missing`,
			`:1: front matter: "summary" is missing`, `:1: the front matter that opens here is not closed; put a line "---" under its last key`,
			`:3: front matter: key "titel" is unknown; nearest: "title"`, `:5: block "workd" is unknown; nearest: "worked"`}},
		{"front matter that is all there is", "---\ntitle: A", []string{
			`:1: front matter: "minutes" is missing`, `:1: front matter: "order" is missing`, `:1: front matter: "part" is missing`,
			`:1: front matter: "summary" is missing`, `:1: the front matter that opens here is not closed; put a line "---" under its last key`}},
		{"empty front matter", "---\n---\ntext\n", []string{
			`:1: front matter: "minutes" is missing`, `:1: front matter: "order" is missing`, `:1: front matter: "part" is missing`,
			`:1: front matter: "summary" is missing`, `:1: front matter: "title" is missing`}},
		{"front matter of the wrong shapes", "---\ntitle: [a]\nsummary: b\npart: 4\norder: one\nminutes: 0\nneeds: {a: b}\nterms: [a, [b]]\naudience: [Rigger, x, x]\n---\n", []string{
			`:2: front matter: title: expected text, found a list`,
			`:4: front matter: part: "4": must be a whole number from 1 to 3`,
			`:5: front matter: order: "one": must be a whole number from 1 to 9999`,
			`:6: front matter: minutes: "0": must be a whole number from 1 to 240`,
			`:7: front matter: needs: expected a list of words, found a mapping in it`,
			`:8: front matter: terms: expected a list of words, found a list in it`,
			`:9: front matter: audience: "Rigger": must be lower-case words joined by hyphens`,
			`:9: front matter: audience: "x" is given twice; the first is on line 9`}},
		{"front matter that is no mapping", "---\njust words\n---\n", []string{
			`:2: front matter: expected lines of the form "key: value", found text`}},
		{"front matter with a colon in a text", "---\ntitle: A: B\nsummary: c\n---\n", []string{
			`:2: is not readable: a text that holds ": " needs quotes around it, and keys of one mapping the same indent`}},
		{"front matter with a tab", "---\ntitle: A\n\tsummary: c\n---\n", []string{
			`:3: is not readable: indent with spaces, not with tabs`}},
		{"front matter with an anchor", "---\ntitle: &a A\nsummary: s\npart: 1\norder: 1\nminutes: 1\n---\n", []string{
			`:1: front matter: "title" is missing`,
			`:2: is not plain text, a list or a mapping; anchors, aliases and tags are not read here`}},
		{"a key twice", strings.Replace(front, "part: 2\n", "part: 2\npart: 3\n", 1), []string{
			`:5: key "part" is given twice; the first is on line 4`}},
		{"an unknown word on a fence", front + "```exercize\n```\n\n```Plate\n```\n\n```go\nx := 1\n```\n\n~~~\nplain\n~~~\n", []string{
			`:8: block "exercize" is unknown; nearest: "exercise"`,
			`:11: block "Plate" is unknown; nearest: "plate"`}},
		{"words after the word on a fence", front + strings.Replace(worked, "```worked\n", "```worked grip\n", 1), []string{
			`:8: the fence of a worked block holds that word alone; move "grip" inside`}},
		{"a fence that is never closed", front + "text\n\n```worked\nid: grip\n\nmore\n", []string{
			"content/lessons/the-finger.md:10: the fence \"```worked\" that opens here is not closed; put a line of as many backquotes at its end"[len(at):]}},
		{"an empty block", front + "```plate\n```\n", []string{`:8: the plate block is empty`}},
		{"a block that is a list", front + "```plate\n- id: a\n```\n", []string{
			`:9: plate: expected lines of the form "key: value", found a list`}},
		{"an unknown key in a block", front + strings.Replace(worked, "check:", "chek:", 1), []string{
			`:8: worked "grip": "check" is missing`, `:13: worked "grip": key "chek" is unknown; nearest: "check"`}},
		{"a key of another block", front + strings.Replace(worked, "check:", "hints: []\ncheck:", 1), []string{
			`:13: worked "grip": key "hints" is unknown; known: id, title, calculator, expect, check, source, preset, given, show, note`}},
		{"an id with capitals", front + strings.Replace(worked, "id: grip", "id: Rail_Grip", 1), []string{
			`:9: worked "Rail_Grip": id: "Rail_Grip": must be lower-case words joined by hyphens`}},
		{"a plate that shows only something", front + "```plate\nid: p\ntitle: P\ncalculator: pivot-offset\nonly: figure\n```\n", []string{
			`:12: plate "p": only: "figure": must be drawing, for a plate of nothing but its drawing and its sentence, or verdict, for a quick check`}},
		{"two blocks of one id", front + worked + "\n```plate\nid: grip\ntitle: B\ncalculator: pivot-offset\n```\n", []string{
			`:17: plate "grip": the id is used twice; the first is on line 8`}},
		{"a heading that takes the anchor of a block", front + "## Worked grip\n\n" + worked, []string{
			`:8: heading "Worked grip" gets the anchor "worked-grip", which the block on line 10 has; word it differently`}},
		{"shapes inside a worked block", front + strings.Replace(worked, "expect: {owed_length: 1.118 cm}", "expect: 1.118 cm\ngiven: {angle: {deg: 3}, axis_x: [[1, [2]]], axis_y: }\nshow: owed_x", 1), []string{
			`:12: worked "grip": expect: expected a mapping, found text`,
			`:13: worked "grip": given: angle: expected a value or the rows of a table, found a mapping`,
			`:13: worked "grip": given: axis_x: expected the cells of a row, found a list`,
			`:13: worked "grip": given: axis_y: expected a value or the rows of a table, found nothing`}},
		{"nothing expected", front + strings.Replace(worked, "{owed_length: 1.118 cm}", "{}", 1), []string{
			`:12: worked "grip": expect: must name at least one output, as in "pulp_gap: 1.45 cm"`}},
		{"an exercise without hints", front + "```exercise\nid: e\ntitle: E\ncalculator: pivot-offset\nask: lever\nquestion: How far?\nanswer: 1 cm\ntolerance: 0.1 cm\nhints: []\n```\n", []string{
			`:16: exercise "e": hints: must recognise at least one common mistake`}},
		{"hints that recognise nothing", front + "```exercise\nid: e\ntitle: E\ncalculator: pivot-offset\nask: lever\nquestion: How far [[is it?\nanswer: 1 cm\ntolerance: 0.1 cm\nhints:\n  - {mistake: none, say: Look}\n  - {mistake: none, times: twice, say: Look}\n  - {say: x, output: lever, tims: 2}\n  - words\n```\n", []string{
			`:13: "[[" opens a mark that is not closed; write a backslash before it when it is meant as text`,
			`:17: exercise "e": hint 1: must alter something: "given", "output", "times" or "formula"`,
			`:18: exercise "e": hint 2: times: "twice": must be a number other than 0`,
			`:19: exercise "e": hint 3: "mistake" is missing`,
			`:19: exercise "e": hint 3: key "tims" is unknown; nearest: "times"`,
			`:20: exercise "e": hint 4: expected lines of the form "key: value", found text`}},
		{"a comparison of one", front + "```compare\nid: c\ntitle: C\ncalculator: pivot-offset\ncurrent: {offset_x: 0}\n```\n", []string{
			`:8: compare "c": "candidate" is missing`}},
		{"a block in a list, in a quotation and in a longer fence", front + "- item\n\n  ```plate\n  id: a\n  titel: A\n  calculator: pivot-offset\n  ```\n\n> ```plate\n> id: a\n> ```\n\n````plate\nid: b\n```\n````\n", []string{
			`:10: plate "a": "title" is missing`,
			`:12: plate "a": key "titel" is unknown; nearest: "title"`,
			`:16: plate "a": "calculator" is missing`,
			`:16: plate "a": "title" is missing`,
			`:16: plate "a": the id is used twice; the first is on line 10`,
			"content/lessons/the-finger.md:22: is not readable: a text that begins with @ or a backquote needs quotes around it"[len(at):]}},
		{"a block shown inside a longer fence is code", front + "````markdown\n" + worked + "````\n", nil},
		{"marks that are not closed", front + "A [@key and\n{=grip.x and [[term.\n\n`[@code` is code, \\[[this]] is text.\n", []string{
			`:8: "[@" opens a mark that is not closed; write a backslash before it when it is meant as text`,
			`:9: "[[" opens a mark that is not closed; write a backslash before it when it is meant as text`,
			`:9: "{=" opens a mark that is not closed; write a backslash before it when it is meant as text`}},
		{"footnotes and links without an end", front + "A note[^1] and [a link][there].\n\nGood[^2].\n\n[^2]: Text.\n", []string{
			`:8: footnote "[^1]" has no text; write a line that begins with "[^1]:"`,
			`:8: the link ending in "][there]" has no target; write [words](/page/)`}},
		{"headings out of step", front + "# One\n\n### Three\n\n##\n", []string{
			`:8: heading "One": the title is the only heading of the first level; begin with ##`,
			`:10: heading "Three": leaves out a level; after # comes ##`,
			`:12: the heading has no words`}},
		{"HTML", front + "a <b>b</b>\n\n<div>\nx\n</div>\n\n<!-- a remark -->\n", []string{
			`:8: "</b>": HTML is not shown; write markdown, or a backslash before < when it is meant as text`,
			`:8: "<b>": HTML is not shown; write markdown, or a backslash before < when it is meant as text`,
			`:10: "<div>": HTML is not shown; write markdown, or a backslash before < when it is meant as text`}},
		{"an unknown callout, a link without words, an open formula", front + "> [!warn] x\n\n[](/x/)\n\n$$\nx\n", []string{
			`:8: callout "warn" is unknown; known: caution, mistake, note, tomorrow`,
			`:10: the link to "/x/" shows no words`,
			`:12: the formula that opens here with $$ is not closed`}},
	} {
		t.Run(c.name, func(t *testing.T) {
			var want []string
			for _, w := range c.want {
				want = append(want, at+w)
			}
			if got := problems(c.source); !reflect.DeepEqual(got, want) {
				t.Errorf("got\n\t%s\nwant\n\t%s", strings.Join(got, "\n\t"), strings.Join(want, "\n\t"))
			}
		})
	}
}
