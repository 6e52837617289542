package tests

import (
	"regexp"
	"strings"
	"unicode"

	"github.com/goccy/go-yaml"
)

// taught is a lesson as its reader meets it: what its front matter promises, its blocks, and its text in order.
type taught struct {
	name, slug string
	front      struct {
		Title, Summary string
		Part, Order    int
		Minutes        int
		Plates         []string
		Sources        []string
	}
	blocks     []taughtBlock
	paragraphs []paragraph // of running text; a list item is one, a table is none
	cells      []paragraph // rows of tables
	headings   []string
	unread     bool // whether front matter or a block is not the YAML of a lesson; the builder says where
}

// paragraph is running text without its markup; callout is the kind of callout it stands in.
type paragraph struct {
	line          int
	text, callout string
}

// taughtBlock is what a reader reads of a block.
type taughtBlock struct {
	Kind                                         string `yaml:"-"`
	Line                                         int    `yaml:"-"`
	ID, Title, Calculator, Question, Note, Check string
	Source                                       any
	Hints                                        []struct{ Mistake, Say string }
}

// sentences are the texts of a block that are read as sentences.
func (b taughtBlock) sentences() []string {
	list := []string{b.Question, b.Note}
	for _, h := range b.Hints {
		list = append(list, h.Say)
	}
	return list
}

// labels are the texts of a block that are read, but are no sentences.
func (b taughtBlock) labels() []string {
	list := []string{b.Title, b.Check}
	for _, h := range b.Hints {
		list = append(list, h.Mistake)
	}
	return list
}

// lessons reads every lesson, by name.
func (p *project) lessons() []taught {
	var list []taught
	for name := range p.under("content/lessons", ".md") {
		list = append(list, readLesson(name, p.text[name]))
	}
	return list
}

var (
	calloutMark = regexp.MustCompile(`^\[!(\w+)\]$`)
	listMark    = regexp.MustCompile(`^(?:[-*]|\d+\.)\s+`)
	headingMark = regexp.MustCompile(`^#+\s+`)
	// shownAs is markup whose words are shown: links, terms.
	shownAs = regexp.MustCompile(`\[\[(?:[^\]|]*\|)?([^\]]*)\]\]|!?\[([^\]@]*)\]\([^)]*\)`)
)

// bare takes the markup from running text. A formula, a piece of code and a number of a block are read as one word.
func bare(text string) string {
	text = strings.ReplaceAll(text, "{=", " 1 {=") // so that a value still counts as a word
	text = shownAs.ReplaceAllString(text, "$1$2")
	text = spans.ReplaceAllString(text, " ")
	return strings.NewReplacer("*", "", "_", " ", "☐", "").Replace(text)
}

// lessonReader walks the lines of a lesson.
type lessonReader struct {
	*taught
	open    paragraph
	fence   string
	kind    string
	from    int
	inside  []string
	callout string
}

func readLesson(name, text string) taught {
	slug := strings.TrimSuffix(name[strings.LastIndex(name, "/")+1:], ".md")
	r := lessonReader{taught: &taught{name: name, slug: slug}}
	parts := strings.SplitN(text, "---\n", 3)
	if len(parts) < 3 {
		r.unread = true
		return *r.taught
	}
	if err := yaml.Unmarshal([]byte(parts[1]), &r.front); err != nil {
		r.unread = true
	}
	first := 3 + strings.Count(parts[1], "\n")
	for i, line := range strings.Split(parts[2], "\n") {
		r.line(first+i, line)
	}
	r.end()
	return *r.taught
}

func (r *lessonReader) line(n int, line string) {
	bareLine := strings.TrimLeft(line, "> \t")
	switch {
	case r.fence != "" && closes(bareLine, r.fence):
		r.block()
	case r.fence != "":
		r.inside = append(r.inside, line)
	case opening.MatchString(bareLine):
		r.end()
		m := opening.FindStringSubmatch(bareLine)
		r.fence, r.kind, r.from, r.inside = m[1], m[2], n, nil
	default:
		r.words(n, line, strings.TrimSpace(bareLine))
	}
}

// words takes a line that stands in no fence.
func (r *lessonReader) words(n int, line, text string) {
	quoted := strings.HasPrefix(line, ">")
	if !quoted {
		r.callout = ""
	}
	if m := calloutMark.FindStringSubmatch(text); m != nil && quoted {
		r.end()
		r.callout = m[1]
		return
	}
	switch {
	case text == "":
		r.end()
	case strings.HasPrefix(text, "|"):
		r.end()
		if strings.Trim(text, "|-: ") != "" {
			r.cells = append(r.cells, paragraph{n, bare(strings.ReplaceAll(text, "|", " ")), r.callout})
		}
	case headingMark.MatchString(text):
		r.end()
		r.headings = append(r.headings, headingMark.ReplaceAllString(text, ""))
	default:
		if listMark.MatchString(text) {
			r.end()
			text = listMark.ReplaceAllString(text, "")
		}
		if r.open.text == "" {
			r.open.line, r.open.callout = n, r.callout
		}
		r.open.text += text + "\n"
	}
}

// end closes the paragraph that is open.
func (r *lessonReader) end() {
	if r.open.text = bare(r.open.text); countWords(r.open.text) > 0 {
		r.paragraphs = append(r.paragraphs, r.open)
	}
	r.open = paragraph{}
}

// block closes the fence that is open; fences of other kinds are code.
func (r *lessonReader) block() {
	b := taughtBlock{Kind: r.kind, Line: r.from}
	switch r.kind {
	case "worked", "exercise", "plate", "compare":
		if err := yaml.Unmarshal([]byte(strings.Join(r.inside, "\n")), &b); err != nil {
			r.unread = true
		}
		r.blocks = append(r.blocks, b)
	}
	r.fence = ""
}

// count is the number of blocks of some kinds.
func (t *taught) count(kinds ...string) int {
	n := 0
	for _, b := range t.blocks {
		for _, kind := range kinds {
			if b.Kind == kind {
				n++
			}
		}
	}
	return n
}

// countWords counts what has a letter or a digit in it.
func countWords(text string) int {
	n := 0
	for _, w := range strings.Fields(text) {
		if strings.ContainsFunc(w, func(r rune) bool { return unicode.IsLetter(r) || unicode.IsDigit(r) }) {
			n++
		}
	}
	return n
}
