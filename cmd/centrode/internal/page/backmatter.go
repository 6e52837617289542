package page

import (
	"cmp"
	"html/template"
	"slices"
	"strings"

	"centrode/calc/character"
	"centrode/cmd/centrode/internal/book"
	"centrode/cmd/centrode/internal/lesson"
)

// GlossaryPage is glossary.tmpl.
type GlossaryPage struct {
	Frame
	Title      string
	Terms      []TermEntry
	References []Reference
}

// TermEntry is one entry of the glossary.
type TermEntry struct {
	ID         string
	Term       string
	Also       string
	Definition template.HTML
	DefinedIn  []Link
	UsedIn     []Link
}

// SourcesPage is sources.tmpl.
type SourcesPage struct {
	Frame
	Title      string
	References []Reference
}

// CastPage is cast.tmpl.
type CastPage struct {
	Frame
	Title string
	Cast  []Member
}

// Member is one of the invented cast.
type Member struct {
	ID, Name, Role string
	Story          template.HTML
	Measures       []Value
	Presets        []Link
	Models         []Model
}

func (s *site) term(name string) (book.Term, bool) {
	t, ok := s.terms[strings.ToLower(name)]
	return t, ok
}

// loose is a document for texts that belong to no lesson.
func (s *site) loose(file string) *document {
	return s.document("", &lesson.Lesson{File: file})
}

func (s *site) glossary() file {
	d := s.loose("content/glossary.yaml")
	p := GlossaryPage{Frame: s.frame("glossary", s.say("glossary"), s.say("glossaryAbout")), Title: s.say("glossary")}
	for _, t := range s.Book.Terms {
		p.Terms = append(p.Terms, TermEntry{
			ID: t.ID, Term: t.Term, Also: strings.Join(t.Also, ", "), Definition: d.definition(t),
			DefinedIn: s.traces.where(func(one trace) bool { return slices.Contains(one.defines, t.ID) }),
			UsedIn: s.traces.where(func(one trace) bool {
				return slices.Contains(one.terms, t.ID) && !slices.Contains(one.defines, t.ID)
			}),
		})
	}
	slices.SortStableFunc(p.Terms, func(a, b TermEntry) int { return cmp.Compare(strings.ToLower(a.Term), strings.ToLower(b.Term)) })
	p.References, _ = s.referencesOf(d, nil)
	return s.print("glossary/index.html", "glossary.tmpl", p)
}

// definition renders a term's definition for the glossary itself. Terms in it are plain links: their definitions
// stand on the same page.
func (d *document) definition(t book.Term) template.HTML {
	return d.inline(t.Definition, t.Line, false)
}

func (s *site) sourceList() file {
	var keys []string
	for _, source := range s.Book.Sources {
		keys = append(keys, source.Key)
	}
	p := SourcesPage{Frame: s.frame("sources", s.say("sources"), s.say("sourcesAbout")), Title: s.say("sources")}
	p.References = s.references(keys, "")
	for i := range p.References {
		r := &p.References[i]
		r.SourceOf = ""
		r.CitedBy = s.traces.where(func(t trace) bool { return slices.Contains(t.sources, r.ID) })
		r.FurtherIn = s.traces.where(func(t trace) bool { return slices.Contains(t.further, r.ID) })
	}
	return s.print("sources/index.html", "sources.tmpl", p)
}

// Model is a character file that the build publishes.
type Model struct {
	Link
	Purpose string
}

func models(cast string) (list []Model) {
	for _, c := range character.All() {
		if c.Cast == cast {
			list = append(list, Model{Link{Text: c.Title, Href: "/" + c.Path()}, c.Purpose})
		}
	}
	return list
}

func (s *site) cast() file {
	p := CastPage{Frame: s.frame("cast", s.say("theCast"), s.say("castAbout")), Title: s.say("theCast")}
	for _, c := range s.Book.Cast {
		d := s.loose(c.File)
		m := Member{ID: c.ID, Name: c.Name, Role: c.Role, Story: d.inline(c.Story, 1, true), Models: models(c.ID)}
		for _, measure := range c.Measures {
			m.Measures = append(m.Measures, Value{Label: measure.Label, Text: measure.Text})
		}
		for _, preset := range c.Presets {
			m.Presets = append(m.Presets, s.presetLink(preset))
		}
		p.Cast = append(p.Cast, m)
	}
	return s.print("cast/index.html", "cast.tmpl", p)
}
