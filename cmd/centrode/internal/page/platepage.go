package page

import (
	"cmp"
	"html/template"
	"slices"
	"strconv"
	"strings"

	"centrode/calc/catalog"
	"centrode/calc/plate"
	"centrode/calc/quantity"
	"centrode/cmd/centrode/internal/book"
	"centrode/cmd/centrode/internal/lesson"
)

// PlatePage is plate.tmpl: the reference page of one calculator.
type PlatePage struct {
	Frame
	Title      string
	Purpose    string
	Plate      Plate
	Summary    string        // the author's, if any: it stands above the purpose
	Body       template.HTML // the author's words, if any
	Sections   []Section
	Fields     []FieldRow
	Tables     []TableRows
	Outputs    []OutputRow
	Answers    []TableRows
	Cautions   []string
	UsedIn     []Link
	Command    []Command
	References []Reference
	Revision   Revision
}

// FieldRow describes one input.
type FieldRow struct{ ID, Label, Help, Allowed, Unit, Default string }

// OutputRow describes one output.
type OutputRow struct{ ID, Label, Help, Unit string }

// TableRows describes a table of input or output by its columns.
type TableRows struct {
	ID, Label, Help, Count string
	Columns                []FieldRow
}

// Command is one example of the command line: what it does, and the text to type.
type Command struct{ Say, Text string }

// plate renders the reference page of a calculator. Its plate starts from the defaults and is numbered first.
func (s *site) plate(c catalog.Calculator) file {
	spec := c.Spec()
	a, err := catalog.Run(c, catalog.NewValues())
	if err != nil {
		s.Log.Add("calc/"+strings.ReplaceAll(spec.ID, "-", "")+"/spec.go", 0, "the defaults of "+spec.ID+" are refused: "+err.Error())
		return file{}
	}
	l := s.words(spec.ID)
	d := s.document("plates/"+spec.ID, &l)
	p := PlatePage{
		Frame: s.frame("plate", spec.Title, spec.Purpose, Link{Href: "/plates/", Text: "Plates"}), Title: spec.Title, Purpose: spec.Purpose, Summary: l.Summary,
		Plate: d.livePlate(a, lesson.Plate{ID: spec.ID, Title: spec.Title}), Body: d.body(), Sections: d.sections, Fields: fieldRows(spec),
		Tables: tableRows(spec.Tables, true), Outputs: outputRows(spec), Answers: tableRows(spec.Answers, false),
		Cautions: spec.Cautions, UsedIn: s.usesOf(spec.ID), Command: commands(a), Revision: s.revision(spec),
	}
	for _, r := range l.Sources {
		d.cite(r.Text, false)
	}
	for _, key := range spec.Sources {
		d.cite(key, false)
	}
	p.References, _ = s.referencesOf(d, nil)
	p.Sections = p.sections(l)
	p.Previous, p.Next = s.besides(spec.ID)
	s.traces.add(d.trace(len(s.Book.Lessons), Link{Href: plateHref(spec.ID), Text: spec.Title}))
	return s.print("plates/"+spec.ID+"/index.html", "plate.tmpl", p)
}

// sections lists what the page has: the author's sections, then those that every plate has.
func (p PlatePage) sections(l lesson.Lesson) []Section {
	list := slices.Clone(p.Sections)
	add := func(has bool, anchor, text string) {
		if has {
			list = append(list, Section{"#" + anchor, ready(text)})
		}
	}
	if len(l.Worked) > 0 {
		add(p.Body != "", l.Worked[0].ID, "Examples")
	}
	add(len(p.Fields) > 0, "fields", "Fields")
	for _, t := range p.Tables {
		add(true, "table-"+t.ID, "Table: "+escape(t.Label))
	}
	add(len(p.Outputs) > 0, "results", "Results")
	add(len(p.Plate.Steps) > 0, "derivation", "Derivation")
	add(len(p.Command) > 0, "command-line", "On the command line")
	add(len(p.UsedIn) > 0, "used-in", "Where the handbook uses it")
	add(len(p.References) > 0, "sources", "Sources")
	return list
}

// words returns the author's page for a calculator, or an empty one.
func (s *site) words(calculator string) lesson.Lesson {
	for _, p := range s.Book.Plates {
		if p.Calculator == calculator {
			return p.Lesson
		}
	}
	return lesson.Lesson{File: "content/plates/" + calculator + ".md"}
}

// usesOf lists the blocks of all lessons that run the calculator. It reads the book and not the traces, since plates
// and lessons are rendered at the same time.
func (s *site) usesOf(calculator string) []Link {
	var list []Link
	for _, l := range s.Book.Lessons {
		add := func(kind, title, anchor string, r lesson.Ref) {
			if r.Text == calculator {
				list = append(list, Link{Href: lessonHref(l.Slug) + "#" + anchor, Text: title, Note: kind + " in " + l.Title})
			}
		}
		for _, w := range l.Worked {
			add("worked example", w.Title, w.ID, w.Calculator)
		}
		for _, e := range l.Exercises {
			add("exercise", e.Title, e.ID, e.Calculator)
		}
		for _, b := range l.Plates {
			add("plate", b.Title, "plate-"+b.ID, b.Calculator)
		}
		for _, c := range l.Compares {
			add("comparison", c.Title, "plate-"+c.ID, c.Calculator)
		}
	}
	return list
}

func (s *site) besides(calculator string) (previous, next *Link) {
	for i, c := range s.Calculators {
		if c.Spec().ID != calculator {
			continue
		}
		if i > 0 {
			link := calculatorLink(s.Calculators[i-1].Spec())
			previous = &link
		}
		if i+1 < len(s.Calculators) {
			link := calculatorLink(s.Calculators[i+1].Spec())
			next = &link
		}
	}
	return previous, next
}

func fieldRows(spec catalog.Spec) []FieldRow {
	var rows []FieldRow
	for _, f := range spec.Fields {
		row := FieldRow{ID: f.ID, Label: f.Label, Help: sentence(f.Help), Allowed: f.RangeWords(), Unit: f.Kind.Unit(), Default: quantity.Entry(f.Default, f.Kind)}
		if f.Worded() {
			row.Allowed, row.Unit, row.Default = wordsAllowed(f), "", f.DefaultChoice
		}
		rows = append(rows, row)
	}
	return rows
}

// wordsAllowed lists the choices of a field that holds a word.
func wordsAllowed(f catalog.Field) string {
	if f.Free {
		return "a word"
	}
	var names []string
	for _, c := range f.Choices {
		names = append(names, c.ID)
	}
	return strings.Join(names, ", ")
}

func outputRows(spec catalog.Spec) []OutputRow {
	var rows []OutputRow
	for _, o := range spec.Outputs {
		label := o.Label
		if o.Side != "" {
			label += ", " + o.Side
		}
		rows = append(rows, OutputRow{o.ID, label, sentence(o.Help), o.Kind.Unit()})
	}
	return rows
}

func tableRows(tables []catalog.Table, input bool) []TableRows {
	var list []TableRows
	for _, t := range tables {
		view := TableRows{ID: t.ID, Label: t.Label, Help: sentence(t.Help)}
		if input {
			view.Count = strconv.Itoa(t.MinRows) + " to " + strconv.Itoa(t.MaxRows) + " rows"
		}
		for _, c := range t.Columns {
			view.Columns = append(view.Columns, columnRow(c, input))
		}
		list = append(list, view)
	}
	return list
}

func columnRow(c catalog.Column, input bool) FieldRow {
	row := FieldRow{ID: c.ID, Label: c.Label, Help: sentence(c.Help), Unit: c.Kind.Unit()}
	switch {
	case c.Text:
		row.Unit, row.Allowed = "", "a word"
	case input:
		row.Allowed = catalog.Field{Kind: c.Kind, Min: c.Min, Max: c.Max, MinOpen: c.MinOpen}.RangeWords()
	}
	if c.Optional && input && !c.Text {
		row.Default = quantity.Entry(c.Default, c.Kind)
	}
	return row
}

// commands shows how the command line asks the same question.
func commands(a catalog.Answer) []Command {
	id := a.Spec.ID
	line := "centrode calc " + id
	for i, f := range a.Spec.Fields {
		if i == 3 { // enough to show the shape
			break
		}
		value := a.Values.Choices[f.ID]
		if !f.Worded() {
			value = quantity.Shortest(a.Values.Numbers[f.ID]) + strings.ReplaceAll(f.Kind.Suffix(), " ", "")
		}
		line += " " + f.ID + "=" + value
	}
	if len(a.Spec.Fields) == 0 { // only tables: the rows of the first
		for _, e := range plate.Entries(a) {
			line += ` "` + e.ID + "=" + strings.ReplaceAll(strings.ReplaceAll(e.Text, ", ", ","), "\n", "; ") + `"`
			break
		}
	}
	return []Command{
		{"With some values; the others keep their defaults:", line},
		{"As JSON, unrounded:", line + " -format json"},
		{"One answer for each row of a table:", "centrode calc " + id + " -in characters.csv -format csv"},
		{"What goes in and comes out:", "centrode calc " + id + " -describe"},
	}
}

func (s *site) presetLink(p book.CastPreset) Link {
	link := Link{Text: p.Label, Href: plateHref(p.Calculator.Text)}
	if c, ok := s.calculator(p.Calculator.Text); ok {
		link.Note = c.Spec().Title + ". " + sentence(capital(cmp.Or(p.Note, "invented")))
		if a, err := plate.Run(c, plate.WriteState(p.Values)); err == nil {
			link.Href = openHref(p.Calculator.Text, plate.State(a))
		}
	} else {
		link.Href = ""
	}
	return link
}
