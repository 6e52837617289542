package page

import (
	"slices"

	"centrode/calc/catalog"
	"centrode/calc/plate"
	"centrode/cmd/centrode/internal/lesson"
)

// AnswerTable is an answer of rows and columns as a page prints it.
type AnswerTable struct {
	ID, Key, Label string // Key is unique in the answer, see plate.Table
	Head           []Column
	Rows           [][]string
	Left           int  // rows of the answer that are not printed
	Fold           bool // too long or too wide to stand open in a plate
	Part           bool // columns of the table before it, whose CSV has them
}

// longTable is how many rows stand open in a plate.
const longTable = 12

// answerTables prints the tables of an answer, of each at most so many rows: those that the block names, or all of them
// when it names nothing.
func answerTables(a catalog.Answer, show []lesson.Ref, most int) []AnswerTable {
	var list []AnswerTable
	for _, t := range plate.Tables(a) {
		named := func(r lesson.Ref) bool { return r.Text == t.ID }
		if len(show) > 0 && !slices.ContainsFunc(show, named) {
			continue
		}
		view := AnswerTable{ID: t.ID, Key: t.Key, Label: t.Label, Rows: t.Rows, Left: t.Left, Part: t.Part}
		view.Fold = t.Part || len(t.Rows) > longTable
		for _, h := range t.Head {
			view.Head = append(view.Head, headOf(h))
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

// headOf is the head of a column with the unit of its numbers.
func headOf(h plate.Heading) Column {
	if h.Unit == "" {
		return Column{h.Label, h.Text, h.Named}
	}
	return Column{h.Label + ",\u00a0" + h.Unit, h.Text, h.Named}
}
