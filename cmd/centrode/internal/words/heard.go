package words

import (
	"io/fs"
	"regexp"
	"slices"
	"strings"

	"centrode/cmd/centrode/internal/report"
)

// heardEnding is what the file of a language adds to its tag when it holds the sentences that calculators make.
const heardEnding = ".sentences.json"

// partGap begins the names of gaps whose text is a sentence or a clause of the file itself.
const partGap = "part"

// heard is a sentence that a calculator makes, with gaps, and the same in a language.
type heard struct{ english, own string }

// readHeard reads the sentences of a language, in the order in which they are tried.
func readHeard(folder fs.FS, tag string, log *report.Log) (list []heard) {
	for _, e := range readPairs(folder, tag+heardEnding, log) {
		list = append(list, heard{e.Key, e.Value.Text})
	}
	return list
}

// hearing is how a sentence is known again.
type hearing struct {
	pattern *regexp.Regexp
	own     string
}

func hearings(list []heard) (made []hearing) {
	for _, h := range list {
		made = append(made, hearing{regexp.MustCompile(`^` + gap.ReplaceAllString(bare(h.english), `(?P<$1>.+)`) + `$`), h.own})
	}
	return made
}

// bare takes their meaning in a pattern from all marks but the brackets of gaps.
func bare(text string) string {
	return strings.NewReplacer(`\{`, `{`, `\}`, `}`).Replace(regexp.QuoteMeta(text))
}

// Hear returns a sentence of a calculator in the language; ok is false where it has none, and the sentence stays as it is. Of two that fit the
// first counts. theme/scripts/heard.js does the same in a page.
func (l Language) Hear(sentence string) (own string, ok bool) {
	if !strings.Contains(sentence, " ") { // most cells of a table hold a number
		i := slices.IndexFunc(l.heard, func(h heard) bool { return h.english == sentence })
		if i < 0 {
			return sentence, false
		}
		return l.heard[i].own, true
	}
	for _, h := range l.hearings {
		met := h.pattern.FindStringSubmatch(sentence)
		if met == nil {
			continue
		}
		values := map[string]string{}
		for i, name := range h.pattern.SubexpNames() {
			values[name] = met[i]
			if strings.HasPrefix(name, partGap) {
				values[name], _ = l.Hear(met[i])
			}
		}
		return filled(h.own, values), true
	}
	return sentence, false
}
