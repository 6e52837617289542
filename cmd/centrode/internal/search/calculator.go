package search

import (
	"centrode/calc/catalog"
	"centrode/cmd/centrode/internal/lesson"
)

// calculator is the page of a calculator with the author's opening words, the sections of these, and each field and
// result: a reader may know the name of a number and not of what computes it.
func (in Input) calculator(spec catalog.Spec) []Document {
	p := page{in, "plates/" + spec.ID, "/plates/" + spec.ID + "/", spec.Title}
	words := in.words(spec.ID)
	opening, sections := p.sections(words.Body)
	head := Document{Href: p.href, Kind: Calculator, Title: spec.Title, Also: spec.ID, Text: sentences(spec.Purpose, opening)}
	list := append(append([]Document{head}, sections...), p.blocks(words)...)
	for _, f := range spec.Fields {
		list = append(list, p.number(Field, "fields", f.Label, f.ID, f.Help))
	}
	for _, t := range spec.Tables {
		list = append(list, p.number(Field, "table-"+t.ID, t.Label, t.ID, withColumns(t)))
	}
	for _, o := range spec.Outputs {
		if o.Side == "candidate" { // its twin of the other side has the same name
			continue
		}
		list = append(list, p.number(Result, "results", o.Label, join(" ", o.ID, o.Pair), o.Help))
	}
	for _, t := range spec.Answers {
		list = append(list, p.number(Result, "answer-"+t.ID, t.Label, t.ID, withColumns(t)))
	}
	return list
}

// words is the author's page for a calculator, or an empty one.
func (in Input) words(calculator string) lesson.Lesson {
	for _, p := range in.Book.Plates {
		if p.Calculator == calculator {
			return p.Lesson
		}
	}
	return lesson.Lesson{}
}

func (p page) number(kind, anchor, label, id, help string) Document {
	return Document{Href: p.href + "#" + anchor, Kind: kind, Title: label, Page: p.title, Also: id, Text: sentences(help)}
}

func withColumns(t catalog.Table) string {
	parts := []string{t.Help}
	for _, c := range t.Columns {
		parts = append(parts, join(": ", c.Label, c.Help))
	}
	return sentences(parts...)
}
