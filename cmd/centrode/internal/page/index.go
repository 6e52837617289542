package page

import (
	"bytes"
	"encoding/json"
	"slices"

	"centrode/calc/catalog"
	"centrode/cmd/centrode/internal/keep"
	"centrode/cmd/centrode/internal/lesson"
)

// IndexPath is where the index for programs stands in the site.
const IndexPath = "index.json"

// IndexFormat names the shape of the index. Members may be added under the same name; none changes its meaning or goes.
const IndexFormat = "centrode-index-1"

// Index is index.json: what the handbook holds, for programs. Lists are in the order of the book, never null, and every
// address begins at the root of the site.
type Index struct {
	Format      string            `json:"format"`
	Lessons     []IndexLesson     `json:"lessons"`
	Calculators []IndexCalculator `json:"calculators"`
	Paths       []IndexPlace      `json:"paths"`
	Terms       []IndexPlace      `json:"terms"`
}

// IndexLesson is one lesson. Needs are slugs of lessons to read first, Calculators ids of those that its blocks run.
type IndexLesson struct {
	Slug        string        `json:"slug"`
	Title       string        `json:"title"`
	Summary     string        `json:"summary"`
	Part        int           `json:"part"`
	Order       int           `json:"order"`
	Minutes     int           `json:"minutes"`
	Address     string        `json:"address"`
	Needs       []string      `json:"needs"`
	Calculators []string      `json:"calculators"`
	Anchors     []IndexAnchor `json:"anchors"`
}

// IndexAnchor is a place in a lesson: its address is the lesson's, a number sign, and ID. Kind is "heading", "worked",
// "exercise", "plate" or "compare".
type IndexAnchor struct {
	ID    string `json:"id"`
	Kind  string `json:"kind"`
	Title string `json:"title"`
	Embed string `json:"embed,omitempty"` // of a plate: the page that shows it alone, for a frame
}

// IndexCalculator is one calculator. Revision is the one that pages name; it changes when an answer does.
type IndexCalculator struct {
	ID       string       `json:"id"`
	Title    string       `json:"title"`
	Purpose  string       `json:"purpose"`
	Address  string       `json:"address"`
	Embed    string       `json:"embed"` // the page that shows its plate alone, for a frame
	Revision string       `json:"revision"`
	Fields   []IndexField `json:"fields"`
	Tables   []IndexTable `json:"tables"`
	Outputs  []IndexField `json:"outputs"`
	Answers  []IndexTable `json:"answers"`

	Anchors []IndexAnchor `json:"anchors"` // places on its page; the plate itself is plate-ID
}

// IndexField is one input or output. Quantity is "length", "angle", "area", "number", "count" or "text"; Unit is the one
// that numbers are in, as the command line takes it, and empty for a plain number or a text.
type IndexField struct {
	ID       string `json:"id"`
	Label    string `json:"label"`
	Quantity string `json:"quantity"`
	Unit     string `json:"unit"`
}

// IndexTable is a table of input or output.
type IndexTable struct {
	ID      string       `json:"id"`
	Label   string       `json:"label"`
	Columns []IndexField `json:"columns"`
}

// IndexPlace is a path or a term with its address.
type IndexPlace struct {
	ID      string `json:"id"`
	Title   string `json:"title"`
	Address string `json:"address"`
}

// index writes the index for programs.
func (s *site) index() file {
	out := Index{Format: IndexFormat, Lessons: []IndexLesson{}, Calculators: []IndexCalculator{}, Paths: []IndexPlace{}, Terms: []IndexPlace{}}
	for _, c := range s.Calculators {
		out.Calculators = append(out.Calculators, s.indexCalculator(c.Spec()))
	}
	for _, p := range s.Book.Paths {
		out.Paths = append(out.Paths, IndexPlace{p.ID, p.Title, "/paths/" + p.ID + "/"})
	}
	for _, t := range s.Book.Terms {
		out.Terms = append(out.Terms, IndexPlace{t.ID, t.Term, "/glossary/#" + t.ID})
	}
	text, err := json.Marshal(out)
	if err != nil {
		s.Log.Add("public/"+IndexPath, 0, err.Error())
	}
	before, after, _ := bytes.Cut(text, []byte(`"lessons":[]`))
	return file{path: IndexPath, content: slices.Concat(before, []byte(`"lessons":[`), bytes.Join(s.indexLessons(), []byte{','}), []byte{']'}, after)}
}

// indexLessons are the lessons as JSON, each by itself.
func (s *site) indexLessons() [][]byte {
	list := make([][]byte, len(s.Book.Lessons))
	for i := range s.Book.Lessons {
		l := &s.Book.Lessons[i]
		list[i] = keep.Of(s.Kept, "indexed "+l.Sum, func() []byte {
			text, err := json.Marshal(s.indexLesson(l))
			if err != nil {
				s.Log.Add("public/"+IndexPath, 0, err.Error())
			}
			return text
		})
	}
	return list
}

func (s *site) indexLesson(l *lesson.Lesson) IndexLesson {
	out := IndexLesson{Slug: l.Slug, Title: l.Title, Summary: l.Summary, Part: l.Part, Order: l.Order, Minutes: l.Minutes,
		Address: lessonHref(l.Slug), Needs: []string{}, Calculators: []string{}}
	for _, r := range l.Needs {
		out.Needs = append(out.Needs, r.Text)
	}
	runs := map[string]bool{}
	for _, b := range l.Blocks() {
		runs[b.Calculator.Text] = true
	}
	for _, id := range s.described.ids {
		if runs[id] {
			out.Calculators = append(out.Calculators, id)
		}
	}
	out.Anchors = indexAnchors(l.Slug, l)
	return out
}

// indexAnchors lists the places of a page, which is named as the proof knows it.
func indexAnchors(page string, l *lesson.Lesson) []IndexAnchor {
	list := []IndexAnchor{}
	add := func(id, kind, title string) { list = append(list, IndexAnchor{ID: id, Kind: kind, Title: title}) }
	for _, h := range l.Prose.Headings {
		add(h.Anchor, "heading", h.Text)
	}
	for _, w := range l.Worked {
		add(w.ID, "worked", w.Title)
	}
	for _, e := range l.Exercises {
		add(e.ID, "exercise", e.Title)
	}
	for _, p := range l.Plates {
		list = append(list, IndexAnchor{"plate-" + p.ID, "plate", p.Title, embedHref(page, p.ID)})
	}
	for _, c := range l.Compares {
		add("plate-"+c.ID, "compare", c.Title)
	}
	return list
}

func (s *site) indexCalculator(spec catalog.Spec) IndexCalculator {
	words := s.words(spec.ID)
	out := IndexCalculator{ID: spec.ID, Title: spec.Title, Purpose: spec.Purpose, Address: plateHref(spec.ID), Embed: embedHref(platesPage+spec.ID, spec.ID),
		Revision: s.revised[spec.ID], Anchors: indexAnchors(platesPage+spec.ID, &words),
		Fields: []IndexField{}, Tables: indexTables(spec.Tables), Outputs: []IndexField{}, Answers: indexTables(spec.Answers)}
	for _, f := range spec.Fields {
		one := IndexField{f.ID, f.Label, f.Kind.Name(), f.Kind.Suffix()}
		if f.Worded() {
			one.Quantity, one.Unit = "text", ""
		}
		out.Fields = append(out.Fields, one)
	}
	for _, o := range spec.Outputs {
		one := IndexField{o.ID, o.Label, o.Kind.Name(), o.Kind.Suffix()}
		if o.Text {
			one.Quantity, one.Unit = "text", ""
		}
		out.Outputs = append(out.Outputs, one)
	}
	return out
}

func indexTables(tables []catalog.Table) []IndexTable {
	list := []IndexTable{}
	for _, t := range tables {
		one := IndexTable{ID: t.ID, Label: t.Label, Columns: []IndexField{}}
		for _, c := range t.Columns {
			column := IndexField{c.ID, c.Label, c.Kind.Name(), c.Kind.Suffix()}
			if c.Text {
				column.Quantity, column.Unit = "text", ""
			}
			one.Columns = append(one.Columns, column)
		}
		list = append(list, one)
	}
	return list
}
