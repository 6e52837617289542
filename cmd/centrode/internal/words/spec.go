package words

import (
	"io/fs"
	"path"
	"regexp"
	"slices"
	"strconv"

	"centrode/calc/catalog"
	"centrode/cmd/centrode/internal/outline"
	"centrode/cmd/centrode/internal/report"
)

// specEnding is what the file of a language adds to its tag when it holds the words of calculators.
const specEnding = ".calculators.json"

// readSpecs reads what calculators say of themselves in a language: a text of a Spec in English, and the same in the
// language. The English text is the key, so that one that is reworded is seen to lack its translation.
func readSpecs(folder fs.FS, tag string, log *report.Log) map[string]string {
	specs := map[string]string{}
	at := outline.Place{File: path.Join(Dir, tag+specEnding), Log: log}
	source, err := fs.ReadFile(folder, tag+specEnding)
	if err != nil { // a language may leave calculators in English
		return specs
	}
	tree := outline.Parse(source, limit, at)
	if tree == nil {
		return specs
	}
	for _, e := range tree.Entries {
		if e.Value.Text == "" {
			at.Problem(e.Line, strconv.Quote(e.Key)+" says nothing")
		}
		specs[e.Key] = e.Value.Text
	}
	return specs
}

// sign is a name that every language writes alike: x, +y, xyz, m12.
var sign = regexp.MustCompile(`^$|^[+-]?[u-z]{1,3}$|^q[w-z]$|^m[0-9]+$`)

// Spec returns the description of a calculator in the language. A text that the language lacks stays English. Ids, kinds
// and formulas are untouched.
func (l Language) Spec(spec catalog.Spec) catalog.Spec {
	out, _ := l.translate(spec)
	return out
}

// Lacks returns the texts of a description that the language has no words for, each once.
func (l Language) Lacks(spec catalog.Spec) []string {
	_, lacking := l.translate(spec)
	slices.Sort(lacking)
	return slices.Compact(lacking)
}

func (l Language) translate(s catalog.Spec) (out catalog.Spec, lacking []string) {
	put := func(texts ...*string) {
		for _, text := range texts {
			if said, ok := l.specs[*text]; ok {
				*text = said
			} else if !sign.MatchString(*text) {
				lacking = append(lacking, *text)
			}
		}
	}
	tables := func(list []catalog.Table) []catalog.Table {
		list = slices.Clone(list)
		for i := range list {
			put(&list[i].Label, &list[i].Help)
			list[i].Columns = slices.Clone(list[i].Columns)
			for j := range list[i].Columns {
				put(&list[i].Columns[j].Label, &list[i].Columns[j].Help)
			}
		}
		return list
	}
	put(&s.Title, &s.Purpose)
	s.Groups, s.Fields, s.Outputs, s.Steps = slices.Clone(s.Groups), slices.Clone(s.Fields), slices.Clone(s.Outputs), slices.Clone(s.Steps)
	s.Cautions = slices.Clone(s.Cautions)
	for i := range s.Groups {
		put(&s.Groups[i].Label)
	}
	for i := range s.Fields {
		put(&s.Fields[i].Label, &s.Fields[i].Help)
		s.Fields[i].Choices = slices.Clone(s.Fields[i].Choices)
		for j := range s.Fields[i].Choices {
			put(&s.Fields[i].Choices[j].Label)
		}
	}
	for i := range s.Outputs {
		put(&s.Outputs[i].Label, &s.Outputs[i].Help)
	}
	for i := range s.Steps {
		put(&s.Steps[i].Say)
	}
	for i := range s.Cautions {
		put(&s.Cautions[i])
	}
	s.Tables, s.Answers = tables(s.Tables), tables(s.Answers)
	return s, lacking
}
