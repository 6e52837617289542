package page

import (
	"encoding/json"
	"fmt"
	"maps"
	"slices"
	"strings"

	"centrode/calc/catalog"
	"centrode/cmd/centrode/internal/keep"
	"centrode/cmd/centrode/internal/lesson"
)

// contexts knows what a page is made from besides its own text, as fingerprints: a page whose text and context are those
// of the build before is taken from there. Whoever lets a page show something new of the rest of the book adds it here; the
// test of site that compares a preview with a clean build looks for what was forgotten.
type contexts struct {
	everywhere string            // addresses of assets, the footer, the calculators
	parts      string            // templates that every page may use
	templates  map[string]string // by file name
	terms      map[string]string // by name in lower case
	sources    map[string]string // by key
}

func (s *site) newContexts() contexts {
	c := contexts{templates: map[string]string{}, terms: map[string]string{}, sources: map[string]string{}}
	if s.Kept == nil {
		return c
	}
	c.everywhere = keep.Sum(s.language.Tag, fmt.Sprint(s.frame("", "", "")), fmt.Sprint(len(s.Calculators), s.language, s.languages(), s.Changes))
	for _, name := range slices.Sorted(maps.Keys(s.templates.texts)) {
		if text := s.templates.texts[name]; strings.HasPrefix(name, "_") {
			c.parts = keep.Sum(c.parts, name, text)
		} else {
			c.templates[name] = keep.Sum(text)
		}
	}
	labels := fmt.Sprint(s.labels)
	for name, term := range s.terms {
		cited := ""
		if strings.Contains(term.Definition, "[@") {
			cited = labels
		}
		c.terms[name] = keep.Sum(term.ID, term.Term, term.Definition, cited)
	}
	for key, source := range s.sources {
		c.sources[key] = keep.Sum(s.labels[key], fmt.Sprint(source))
	}
	return c
}

// of is the fingerprint of what a page of prose is made from: the text l, printed by a template, and what more it shows.
func (s *site) contextOf(l *lesson.Lesson, template string, more ...any) string {
	c := s.contexts
	parts := []string{c.everywhere, c.parts, c.templates[template], l.Sum, s.Book.Context(*l)}
	for _, refs := range [][]lesson.Ref{l.Terms, l.Prose.Terms} {
		for _, r := range refs {
			parts = append(parts, c.terms[strings.ToLower(r.Text)])
		}
	}
	for _, refs := range [][]lesson.Ref{l.Sources, l.Prose.Citations} {
		for _, r := range refs {
			parts = append(parts, c.sources[r.Text])
		}
	}
	for _, w := range l.Worked {
		for _, r := range w.Source {
			parts = append(parts, c.sources[r.Text])
		}
	}
	for _, b := range l.Blocks() {
		parts = append(parts, s.revised[b.Calculator.Text])
	}
	shown, err := json.Marshal(more) // unlike fmt it follows links to links
	if err != nil {
		s.Log.Add(l.File, 0, err.Error())
	}
	return keep.Sum(append(parts, string(shown))...)
}

// contextOfPlate is that of a calculator's page.
func (s *site) contextOfPlate(spec catalog.Spec, l *lesson.Lesson, template string) string {
	var sources []string
	for _, key := range spec.Sources {
		sources = append(sources, s.contexts.sources[key])
	}
	return s.contextOf(l, template, spec.ID, s.revised[spec.ID], sources, s.usesOf(spec.ID), s.Book.Context(lesson.Lesson{
		Plates: []lesson.Plate{{ID: spec.ID, Calculator: lesson.Ref{Text: spec.ID}}}}))
}

// neighbours is what a lesson's page shows of other lessons and of the paths.
func (s *site) neighbours(i int) []any {
	l := s.Book.Lessons[i]
	return []any{i, s.lessonLinks(l.Needs), s.neighbour(i - 1), s.neighbour(i + 1), s.pathsWith(l.Slug)}
}
