package words

import (
	"io/fs"
	"slices"
	"strings"

	"centrode/cmd/centrode/internal/report"
)

// heardEnding is what the file of a language adds to its tag when it holds the sentences that calculators make.
const heardEnding = ".sentences.json"

// drawnEnding is the same of the file that holds the texts of drawings.
const drawnEnding = ".drawings.json"

// partGap begins the names of gaps whose text is a sentence or a clause of the file itself.
const partGap = "part"

// countGap begins the names of gaps that hold a whole number and nothing else.
const countGap = "count"

// heard is a sentence that a calculator makes, with gaps, and the same in a language. It is known again by the texts between its gaps, one
// more than there are gaps.
type heard struct {
	english, own  string
	between, gaps []string
}

// readHeard reads a file of sentences, in the order in which they are tried.
func readHeard(folder fs.FS, name string, log *report.Log) (list []heard) {
	for _, e := range readPairs(folder, name, log) {
		list = append(list, newHeard(e.Key, e.Value.Text))
	}
	return list
}

func newHeard(english, own string) heard {
	h := heard{english: english, own: own, between: gap.Split(english, -1)}
	for _, m := range gap.FindAllStringSubmatch(english, -1) {
		h.gaps = append(h.gaps, m[1])
	}
	return h
}

// meet returns what fills the gaps, by their names; ok is false where the sentence is another. Every gap holds something, and the first as much
// as it can. It goes through the sentence once, from its end: names in it may be long and look like anything.
func (h heard) meet(sentence string) (values map[string]string, ok bool) {
	first, last := h.between[0], h.between[len(h.gaps)]
	if len(h.gaps) == 0 {
		return nil, sentence == first
	}
	rest, ends := strings.CutSuffix(sentence, last)
	if !ends || !strings.HasPrefix(rest, first) {
		return nil, false
	}
	values = map[string]string{}
	for i := len(h.gaps) - 1; i >= 0; i-- {
		at := 0
		if i > 0 {
			at = strings.LastIndex(rest[:max(0, len(rest)-1)], h.between[i])
		}
		from := at + len(h.between[i])
		if at < 0 || from >= len(rest) || strings.HasPrefix(h.gaps[i], countGap) && strings.Trim(rest[from:], "0123456789") != "" {
			return nil, false
		}
		values[h.gaps[i]], rest = rest[from:], rest[:at]
	}
	return values, true
}

// Hear returns a sentence of a calculator in the language; ok is false where it has none, and the sentence stays as it is. One without gaps
// counts before those with gaps, and of two that fit the first. theme/scripts/heard.js does the same in a page.
func (l Language) Hear(sentence string) (own string, ok bool) { return hear(l.heard, sentence) }

// Draw returns a text of a drawing in the language, or as it is. What says what can be read off a drawing is a sentence.
// theme/scripts/drawn.js does the same in a page.
func (l Language) Draw(text string) string {
	if own, ok := hear(l.drawn, text); ok {
		return own
	}
	own, _ := l.Hear(text)
	return own
}

// Draws reports whether the language has words for drawings.
func (l Language) Draws() bool { return len(l.drawn) > 0 }

func hear(list []heard, sentence string) (own string, ok bool) {
	if i := slices.IndexFunc(list, func(h heard) bool { return h.english == sentence }); i >= 0 {
		return list[i].own, true
	}
	if !strings.ContainsAny(sentence, ` "`) { // most cells of a table hold a number
		return sentence, false
	}
	for _, h := range list {
		values, met := h.meet(sentence)
		if !met {
			continue
		}
		for name, part := range values {
			if strings.HasPrefix(name, partGap) {
				values[name], _ = hear(list, part)
			}
		}
		return filled(h.own, values), true
	}
	return sentence, false
}
