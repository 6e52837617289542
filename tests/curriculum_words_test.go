package tests

import (
	"os"
	"os/exec"
	"regexp"
	"slices"
	"strings"
	"testing"
	"unicode"
)

var sentenceEnd = regexp.MustCompile(`[.?!:]+[)"]?(?:\s|$)`)

// grade is the Flesch–Kincaid grade of the running text; see highestGrade. Tables and blocks are left out. A colon ends
// a sentence, since it stands before a block or before what could be a sentence; a semicolon does not.
func (t *taught) grade() float64 {
	words, sentences, syllables := 0, 0, 0
	for _, g := range t.paragraphs {
		text := strings.TrimSpace(g.text)
		ends := len(sentenceEnd.FindAllString(text, -1))
		if !sentenceEnd.MatchString(text[max(0, len(text)-1):]) {
			ends++ // a list item without a full stop
		}
		sentences += ends
		for _, w := range strings.Fields(text) {
			if strings.ContainsFunc(w, unicode.IsLetter) {
				words, syllables = words+1, syllables+soundsIn(w)
			}
		}
	}
	if words == 0 {
		return 0
	}
	return 0.39*float64(words)/float64(sentences) + 11.8*float64(syllables)/float64(words) - 15.59
}

var vowels = regexp.MustCompile(`[aeiouy]+`)

// soundsIn guesses the syllables of a word: its groups of vowels, without a silent e at the end, and at least one.
func soundsIn(word string) int {
	word = strings.TrimFunc(strings.ToLower(word), func(r rune) bool { return !unicode.IsLetter(r) })
	n := len(vowels.FindAllString(word, -1))
	if strings.HasSuffix(word, "e") && !strings.HasSuffix(word, "le") && n > 1 {
		n--
	}
	return max(n, 1)
}

func repeatLaws() []law {
	const told = "A heron who lands on one leg must put the other somewhere while she folds both wings."
	two := func(first, second string) files {
		return files{"content/lessons/a.md": "---\ntitle: A\n---\n\n" + first + "\n", "content/lessons/b.md": "---\ntitle: B\n---\n\n" + second + "\n"}
	}
	return []law{{
		name: "no two lessons tell the same", find: repeated, least: 500,
		broken: []breach{
			{two(told, "> **A heron,** who lands on one leg, must put the other\n> somewhere while she folds both wings."),
				"content/lessons/b.md:5: is the paragraph of content/lessons/a.md:5; tell it once and link"},
			{two(told, "A heron who lands on one leg must put the other somewhere, while she looks for fish."),
				"content/lessons/b.md:5: shares 62 % of its runs of 5 words with content/lessons/a.md:5; tell it once and link"},
		},
		kept: two(told, "That heron, when landing, folds both wings; her other leg must be put somewhere, and one leg has to do."),
	}}
}

// plainWords are the words of a paragraph, without case and marks.
func plainWords(text string) []string {
	return strings.FieldsFunc(strings.ToLower(text), func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) })
}

// runs are the runs of so many words that a text holds.
func runs(words []string, length int) map[string]bool {
	set := map[string]bool{}
	for i := 0; i+length <= len(words); i++ {
		set[strings.Join(words[i:i+length], " ")] = true
	}
	return set
}

// passage is a paragraph of running text, or a question or note of a block.
type passage struct {
	name string
	line int
	text string
	runs map[string]bool
}

func (p *project) passages() []passage {
	var list []passage
	add := func(name string, line int, text string) {
		if words := plainWords(text); len(words) >= paragraphFrom {
			list = append(list, passage{name, line, strings.Join(words, " "), runs(words, shingle)})
		}
	}
	for _, l := range p.lessons() {
		for _, g := range l.paragraphs {
			add(l.name, g.line, g.text)
		}
		for _, x := range l.blocks {
			add(l.name, x.Line, bare(x.Question))
			add(l.name, x.Line, bare(x.Note))
		}
	}
	return list
}

func repeated(p *project, b *breaches) {
	holds := map[string][]int{} // run of words → the passages before that hold it
	list := p.passages()
	for i, g := range list {
		b.seen++
		common := map[int]int{}
		for run := range g.runs {
			for _, k := range holds[run] {
				common[k]++
			}
			holds[run] = append(holds[run], i)
		}
		for k, n := range common {
			other := list[k]
			share := float64(n) / float64(len(g.runs)+len(other.runs)-n)
			switch {
			case other.name == g.name:
			case other.text == g.text:
				b.add(g.name, g.line, "is the paragraph of %s:%d; tell it once and link", other.name, other.line)
			case share > alike:
				b.add(g.name, g.line, "shares %.0f %% of its runs of %d words with %s:%d; tell it once and link", 100*share, shingle, other.name, other.line)
			}
		}
	}
}

const wordList = "words.txt"

// spelled runs the dictionary over the words of a text and returns those that neither it nor the list knows, sorted.
func spelled(t *testing.T, text string, list ...string) []string {
	t.Helper()
	program, err := exec.LookPath("hunspell")
	if err != nil {
		t.Skip("hunspell was not found; tests/run.sh installs it (on Debian: apt-get install hunspell hunspell-en-gb)")
	}
	cmd := exec.Command(program, append([]string{"-d", "en_GB", "-i", "utf-8", "-l"}, list...)...)
	cmd.Stdin = strings.NewReader(text)
	out, err := cmd.CombinedOutput()
	if err != nil {
		t.Fatalf("hunspell -d en_GB: %v\n%s\ninstall its dictionary (on Debian: apt-get install hunspell-en-gb)", err, out)
	}
	return slices.Compact(slices.Sorted(slices.Values(strings.Fields(string(out)))))
}

// told is all that the book says in words, each text with its file.
func (p *project) told() map[string]string {
	texts := map[string]string{}
	for name := range p.under("content/lessons", ".md") {
		texts[name] = readLesson(name, p.text[name]).say()
	}
	for name := range p.under("content/plates", ".md") {
		texts[name] = readLesson(name, p.text[name]).say()
	}
	for name := range p.under("content/paths", ".yaml") {
		texts[name] = strings.ReplaceAll(pathItem.ReplaceAllString(p.text[name], ""), "lessons:", "")
	}
	texts["content/glossary.yaml"] = bare(yamlSentences(p.text["content/glossary.yaml"]))
	texts["content/home.md"] = readLesson("content/home.md", p.text["content/home.md"]).say()
	return texts
}

var definition = regexp.MustCompile(`(?m)^\s*(?:- )?(?:term|definition): .*$|^\s{4,}\S.*$`)

// yamlSentences are the terms and the definitions of the glossary.
func yamlSentences(text string) string {
	return strings.NewReplacer("definition: >-", "", "definition: ", "", "- term: ", "", "term: ", "").Replace(strings.Join(definition.FindAllString(text, -1), "\n"))
}

// say is all that a lesson tells, a line each.
func (t taught) say() string {
	lines := []string{t.front.Title, bare(t.front.Summary)}
	for _, g := range slices.Concat(t.paragraphs, t.cells) {
		lines = append(lines, g.text)
	}
	for _, h := range t.headings {
		lines = append(lines, bare(h))
	}
	for _, x := range t.blocks {
		for _, s := range slices.Concat(x.sentences(), x.labels()) {
			lines = append(lines, bare(s))
		}
	}
	return strings.Join(lines, "\n")
}

func TestCurriculumIsSpelledAsTheDictionarySays(t *testing.T) {
	p := openProject(t, os.DirFS(".."))
	texts := p.told()
	if len(texts) < 40 {
		t.Fatalf("the book has %d texts, want at least 40", len(texts))
	}
	var all []string
	for _, text := range texts {
		all = append(all, text)
	}
	unknown := spelled(t, strings.Join(all, "\n"), "-p", wordList)
	for name, text := range texts {
		for _, word := range unknown {
			if regexp.MustCompile(`(?:^|[^\pL])` + regexp.QuoteMeta(word) + `(?:[^\pL]|$)`).MatchString(text) {
				line := max(1, lineOf(p.text[name], max(0, strings.Index(p.text[name], word))))
				t.Errorf("%s:%d: %q is in neither the dictionary nor tests/%s", name, line, word, wordList)
			}
		}
	}
	if got := spelled(t, "A knuckel turns.", "-p", wordList); !slices.Equal(got, []string{"knuckel"}) {
		t.Errorf("of \"A knuckel turns.\" the dictionary blames %q, want the one misspelt word", got)
	}
}

func TestCurriculumWordListHoldsWhatIsNeededAndNoMore(t *testing.T) {
	text, err := os.ReadFile(wordList)
	if err != nil {
		t.Fatal(err)
	}
	words := strings.Fields(string(text))
	if !slices.IsSorted(words) || len(slices.Compact(slices.Clone(words))) != len(words) {
		t.Errorf("tests/%s is not sorted by its bytes, or names a word twice", wordList)
	}
	var all []string
	for _, told := range openProject(t, os.DirFS("..")).told() {
		all = append(all, told)
	}
	unknown := spelled(t, strings.Join(all, "\n"))
	for _, word := range words {
		if !slices.Contains(unknown, word) {
			t.Errorf("tests/%s: %q is not used in the book, or the dictionary knows it", wordList, word)
		}
	}
}
