package page

import (
	"strings"

	"centrode/calc/catalog"
	"centrode/calc/plate"
	"centrode/cmd/centrode/internal/lesson"
)

// EntryTable is an input table as a plate prints it. Without scripts it is a table to read; they make it one to fill in.
type EntryTable struct {
	ID           string // unique in the page
	Field        string // the calculator's id
	Label, Help  string
	Head         []EntryColumn
	Rows         []EntryRow
	Left         int // rows that are not printed
	Needed       int // columns that every row must have
	Open, Narrow bool
}

// EntryColumn is the head of one column of an input table.
type EntryColumn struct {
	ID, Label, Unit, Allowed string
	Words                    bool
}

// EntryRow is one row with its number, counted from 1.
type EntryRow struct {
	Number int
	Cells  []string
}

// narrowColumns fit beside the drawing; a table with more takes the whole width.
const narrowColumns = 5

// entryTables prints the input tables of an answer: beside the drawing the narrow ones, below it the others. One that the
// block does not name, or that is empty, is folded.
func (s *site) entryTables(a catalog.Answer, b lesson.Plate) (beside, below []EntryTable) {
	text := map[string]string{}
	for _, e := range plate.Entries(a) {
		text[e.ID] = e.Text
	}
	for _, t := range a.Spec.Tables {
		table := s.entryTable(b.ID, t, text[t.ID])
		table.Open = standsOpen(b, t.ID) && len(table.Rows) > 0
		if table.Narrow {
			beside = append(beside, table)
		} else {
			below = append(below, table)
		}
	}
	return beside, below
}

func (s *site) entryTable(block string, t catalog.Table, text string) EntryTable {
	view := EntryTable{ID: block + "-" + t.ID, Field: t.ID, Label: t.Label, Narrow: len(t.Columns) <= narrowColumns, Help: strings.TrimSpace(sentence(t.Help) + s.optionalColumns(t))}
	for _, c := range t.Columns {
		column := EntryColumn{ID: c.ID, Label: c.Label, Words: c.Text}
		if !c.Text {
			column.Unit = c.Kind.Unit()
			column.Allowed = s.rangeWords(catalog.Field{Kind: c.Kind, Min: c.Min, Max: c.Max, MinOpen: c.MinOpen})
		}
		if !c.Optional {
			view.Needed++
		}
		view.Head = append(view.Head, column)
	}
	if text == "" {
		return view
	}
	lines := strings.Split(text, "\n")
	view.Left = max(0, len(lines)-plate.MaxRows)
	for i, line := range lines[:len(lines)-view.Left] {
		view.Rows = append(view.Rows, EntryRow{i + 1, strings.Split(line, "\t")})
	}
	return view
}

// optionalColumns says which columns may be left empty.
func (s *site) optionalColumns(t catalog.Table) string {
	var labels []string
	for _, c := range t.Columns {
		if c.Optional {
			labels = append(labels, c.Label)
		}
	}
	switch len(labels) {
	case 0:
		return ""
	case 1:
		return " " + s.say("oneOptional", "column", labels[0])
	}
	return " " + s.say("manyOptional", "number", len(labels), "columns", strings.Join(labels, ", "))
}
