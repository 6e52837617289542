package page

import (
	"slices"

	"centrode/calc/catalog"
	"centrode/calc/plate"
	"centrode/cmd/centrode/internal/lesson"
)

// AnswerTable is an answer of rows and columns as a page prints it.
type AnswerTable struct {
	ID, Label string
	Head      []Column
	Rows      [][]string
	Left      int // rows of the answer that are not printed
}

// answerTables prints the tables of an answer, of each at most so many rows: those that the block names, or all of them
// when it names nothing.
func answerTables(a catalog.Answer, show []lesson.Ref, most int) []AnswerTable {
	var list []AnswerTable
	for _, t := range plate.Tables(a) {
		named := func(r lesson.Ref) bool { return r.Text == t.ID }
		if len(show) > 0 && !slices.ContainsFunc(show, named) {
			continue
		}
		view := AnswerTable{ID: t.ID, Label: t.Label, Rows: t.Rows, Left: t.Left}
		for i, name := range t.Head {
			view.Head = append(view.Head, Column{name, ofWords(a.Spec, t.ID, i)})
		}
		if over := len(view.Rows) - most; over > 0 {
			view.Rows, view.Left = view.Rows[:most], view.Left+over
		}
		list = append(list, view)
	}
	return list
}

// cardTables are the answer tables of a card: all that have rows, the first rows of each.
func cardTables(a catalog.Answer) []AnswerTable {
	return slices.DeleteFunc(answerTables(a, nil, cardRows), func(t AnswerTable) bool { return len(t.Rows) == 0 })
}

// ofWords reports whether a column of an answer table holds words.
func ofWords(spec catalog.Spec, table string, column int) bool {
	i := slices.IndexFunc(spec.Answers, func(t catalog.Table) bool { return t.ID == table })
	return i >= 0 && column < len(spec.Answers[i].Columns) && spec.Answers[i].Columns[column].Text
}
