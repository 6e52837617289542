package page

import (
	"cmp"
	"html/template"
	"slices"
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
	UsedIn     []Use
	Command    []Command
	References []Reference
	Revision   Revision
}

// FieldRow describes one input.
type FieldRow struct {
	ID, Label, Help, Allowed, Unit, Default string
	Typed                                   bool // Allowed lists words to type, as they are
}

// OutputRow describes one output.
type OutputRow struct{ ID, Label, Help, Unit string }

// TableRows describes a table of input or output by its columns.
type TableRows struct {
	ID, Label, Help, Count string
	Columns                []FieldRow
}

// Command is one example of the command line: what it does, and the text to type.
type Command struct{ Say, Text string }

// Use is a block that runs the calculator: a link to it, what kind it is, and, as the Note, the lesson it stands in.
type Use struct {
	Link
	Kind string
}

// plate renders the reference page of a calculator. Its plate starts from the defaults and is numbered first.
func (s *site) plate(c catalog.Calculator) file {
	spec := s.specOf(c)
	a, err := catalog.Run(c, catalog.NewValues())
	a.Spec = spec
	if err != nil {
		s.Log.Add("calc/"+strings.ReplaceAll(spec.ID, "-", "")+"/spec.go", 0, "the defaults of "+spec.ID+" are refused: "+err.Error())
		return file{}
	}
	l := s.words(spec.ID)
	d := s.document("plates/"+spec.ID, &l)
	p := PlatePage{
		Frame: s.frame("plate", spec.Title, spec.Purpose, Link{Href: "/plates/", Text: s.say("plates")}), Title: spec.Title, Purpose: spec.Purpose, Summary: l.Summary,
		Plate: d.livePlate(a, lesson.Plate{ID: spec.ID, Title: spec.Title}), Body: d.body(), Sections: d.sections, Fields: s.fieldRows(spec),
		Tables: s.tableRows(spec.Tables, true), Outputs: s.outputRows(spec), Answers: s.tableRows(spec.Answers, false),
		UsedIn: s.usesOf(spec.ID), Command: s.commands(a), Revision: s.revision(spec),
	}
	for _, r := range l.Sources {
		d.cite(r.Text, false)
	}
	for _, key := range spec.Sources {
		d.cite(key, false)
	}
	p.References, _ = s.referencesOf(d, nil)
	p.Sections = s.plateSections(p, l)
	p.Previous, p.Next = s.besides(spec.ID)
	return s.traced(d.trace(afterLessons, Link{Href: plateHref(spec.ID), Text: spec.Title}), s.print("plates/"+spec.ID+"/index.html", "plate.tmpl", p))
}

// sections lists what the page has: the author's sections, then those that every plate has.
func (s *site) plateSections(p PlatePage, l lesson.Lesson) []Section {
	list := slices.Clone(p.Sections)
	add := func(has bool, anchor, text string) {
		if has {
			list = append(list, Section{Href: "#" + anchor, Text: ready(escape(text))})
		}
	}
	if len(l.Worked) > 0 {
		add(p.Body != "", l.Worked[0].ID, s.say("examples"))
	}
	add(len(p.Fields) > 0, "fields", s.say("fields"))
	for _, t := range p.Tables {
		add(true, "table-"+t.ID, s.say("tableOf", "table", t.Label))
	}
	add(len(p.Outputs) > 0, "results", s.say("results"))
	add(len(p.Plate.Steps) > 0, "derivation", s.say("derivation"))
	add(len(p.Command) > 0, "command-line", s.say("onCommandLine"))
	add(len(p.UsedIn) > 0, "used-in", s.say("whereUsed"))
	add(len(p.References) > 0, "sources", s.say("sources"))
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
func (s *site) usesOf(calculator string) []Use {
	var list []Use
	for _, l := range s.Book.Lessons {
		add := func(kind, title, anchor string, r lesson.Ref) {
			if r.Text == calculator {
				list = append(list, Use{Link{Href: lessonHref(l.Slug) + "#" + anchor, Text: title, Note: l.Title, English: true}, kind})
			}
		}
		for _, w := range l.Worked {
			add(s.say("exampleIn"), w.Title, w.ID, w.Calculator)
		}
		for _, e := range l.Exercises {
			add(s.say("exerciseIn"), e.Title, e.ID, e.Calculator)
		}
		for _, b := range l.Plates {
			add(s.say("plateIn"), b.Title, "plate-"+b.ID, b.Calculator)
		}
		for _, c := range l.Compares {
			add(s.say("comparisonIn"), c.Title, "plate-"+c.ID, c.Calculator)
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
			link := calculatorLink(s.specOf(s.Calculators[i-1]))
			previous = &link
		}
		if i+1 < len(s.Calculators) {
			link := calculatorLink(s.specOf(s.Calculators[i+1]))
			next = &link
		}
	}
	return previous, next
}

func (s *site) fieldRows(spec catalog.Spec) []FieldRow {
	var rows []FieldRow
	for _, f := range spec.Fields {
		row := FieldRow{ID: f.ID, Label: f.Label, Help: sentence(f.Help), Allowed: s.rangeWords(f), Unit: f.Kind.Unit(), Default: quantity.Entry(f.Default, f.Kind)}
		if f.Worded() {
			row.Allowed, row.Unit, row.Default, row.Typed = s.wordsAllowed(f), "", f.DefaultChoice, !f.Free
		}
		rows = append(rows, row)
	}
	return rows
}

// wordsAllowed lists the choices of a field that holds a word.
func (s *site) wordsAllowed(f catalog.Field) string {
	if f.Free {
		return s.say("aWord")
	}
	var names []string
	for _, c := range f.Choices {
		names = append(names, c.ID)
	}
	return strings.Join(names, ", ")
}

func (s *site) outputRows(spec catalog.Spec) []OutputRow {
	var rows []OutputRow
	for _, o := range spec.Outputs {
		rows = append(rows, OutputRow{o.ID, s.outputLabel(o), sentence(o.Help), o.Kind.Unit()})
	}
	return rows
}

func (s *site) tableRows(tables []catalog.Table, input bool) []TableRows {
	var list []TableRows
	for _, t := range tables {
		view := TableRows{ID: t.ID, Label: t.Label, Help: sentence(t.Help)}
		if input {
			view.Count = s.say("rowCount", "least", t.MinRows, "most", t.MaxRows)
		}
		for _, c := range t.Columns {
			view.Columns = append(view.Columns, s.columnRow(c, input))
		}
		list = append(list, view)
	}
	return list
}

func (s *site) columnRow(c catalog.Column, input bool) FieldRow {
	row := FieldRow{ID: c.ID, Label: c.Label, Help: sentence(c.Help), Unit: c.Kind.Unit()}
	switch {
	case c.Text:
		row.Unit, row.Allowed = "", s.say("aWord")
	case input:
		row.Allowed = s.rangeWords(catalog.Field{Kind: c.Kind, Min: c.Min, Max: c.Max, MinOpen: c.MinOpen})
	}
	if c.Optional && input && !c.Text {
		row.Default = quantity.Entry(c.Default, c.Kind)
	}
	return row
}

// commands shows how the command line asks the same question.
func (s *site) commands(a catalog.Answer) []Command {
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
	table, file := s.say("commandTable"), "characters"
	if len(a.Spec.Tables) > 0 { // its CSV fills a table: one answer for all rows
		table, file = s.say("commandRows", "table", a.Spec.Tables[0].Label), a.Spec.Tables[0].ID
	}
	return []Command{
		{s.say("commandValues"), line},
		{s.say("commandJSON"), line + " -format json"},
		{table, "centrode calc " + id + " -in " + file + ".csv -format csv"},
		{s.say("commandDescribe"), "centrode calc " + id + " -describe"},
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
