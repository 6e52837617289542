package words

import (
	"io/fs"
	"path"
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
	for _, e := range readPairs(folder, tag+specEnding, log) {
		specs[e.Key] = e.Value.Text
	}
	return specs
}

// readPairs reads a file of English texts, each with the same in a language.
func readPairs(folder fs.FS, name string, log *report.Log) []outline.Entry {
	at := outline.Place{File: path.Join(Dir, name), Log: log}
	source, err := fs.ReadFile(folder, name)
	if err != nil { // those of a language in the making stay English; a test asks for them
		return nil
	}
	tree := outline.Parse(source, limit, at)
	if tree == nil {
		return nil
	}
	for _, e := range tree.Entries {
		if e.Value.Text == "" {
			at.Problem(e.Line, strconv.Quote(e.Key)+" says nothing")
		}
	}
	return tree.Entries
}

// Spec returns the description of a calculator in the language. A text that the language lacks stays English. Ids, kinds
// and formulas are untouched.
func (l Language) Spec(spec catalog.Spec) catalog.Spec {
	for _, text := range texts(&spec) {
		if said, ok := l.specs[*text]; ok {
			*text = said
		}
	}
	return spec
}

// texts are all that a description says. Its lists are copied first, so that who writes into a text changes no other description.
func texts(s *catalog.Spec) []*string {
	list := []*string{&s.Title, &s.Purpose}
	s.Groups = slices.Clone(s.Groups)
	for i := range s.Groups {
		list = append(list, &s.Groups[i].Label)
	}
	s.Fields = slices.Clone(s.Fields)
	for i := range s.Fields {
		f := &s.Fields[i]
		list = append(list, &f.Label, &f.Help)
		f.Choices = slices.Clone(f.Choices)
		for j := range f.Choices {
			list = append(list, &f.Choices[j].Label)
		}
	}
	s.Outputs = slices.Clone(s.Outputs)
	for i := range s.Outputs {
		list = append(list, &s.Outputs[i].Label, &s.Outputs[i].Help)
	}
	s.Steps = slices.Clone(s.Steps)
	for i := range s.Steps {
		list = append(list, &s.Steps[i].Say)
	}
	s.Cautions = slices.Clone(s.Cautions)
	for i := range s.Cautions {
		list = append(list, &s.Cautions[i])
	}
	return append(append(list, tableTexts(&s.Tables)...), tableTexts(&s.Answers)...)
}

func tableTexts(tables *[]catalog.Table) (list []*string) {
	*tables = slices.Clone(*tables)
	for i := range *tables {
		t := &(*tables)[i]
		list = append(list, &t.Label, &t.Help)
		t.Columns = slices.Clone(t.Columns)
		for j := range t.Columns {
			list = append(list, &t.Columns[j].Label, &t.Columns[j].Help)
		}
	}
	return list
}
