package page

import (
	"maps"
	"slices"
	"strconv"
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
	uses       map[string]string // by calculator
	lessons    map[string]string // by slug, see restsOn
	listed     string
}

// newContexts takes from the first site what no language changes.
func (s *site) newContexts(first *site) contexts {
	c := contexts{templates: map[string]string{}, terms: map[string]string{}, sources: map[string]string{}}
	if s.Kept == nil {
		return c
	}
	c.everywhere = keep.SumValues(s.language.Tag, s.frame("", "", ""), len(s.Calculators), s.language.Sum, s.languages(), s.Changes)
	for _, name := range slices.Sorted(maps.Keys(s.templates.texts)) {
		if text := s.templates.texts[name]; strings.HasPrefix(name, "_") {
			c.parts = keep.Sum(c.parts, name, text)
		} else {
			c.templates[name] = keep.Sum(text)
		}
	}
	if first != nil {
		c.terms, c.sources, c.uses, c.lessons, c.listed = first.contexts.terms, first.contexts.sources, first.contexts.uses, first.contexts.lessons, first.contexts.listed
		return c
	}
	labels := keep.SumValues(s.labels)
	for name, term := range s.terms {
		cited := ""
		if strings.Contains(term.Definition, "[@") {
			cited = labels
		}
		c.terms[name] = keep.Sum(term.ID, term.Term, term.Definition, cited)
	}
	for key, source := range s.sources {
		c.sources[key] = keep.SumValues(s.labels[key], source)
	}
	c.uses, s.contexts = s.uses(), c
	c.lessons = make(map[string]string, len(s.Book.Lessons))
	for i := range s.Book.Lessons {
		c.lessons[s.Book.Lessons[i].Slug] = s.restsOn(&s.Book.Lessons[i])
	}
	s.contexts = c
	c.listed = s.listed()
	return c
}

// contextOf is the fingerprint of what a page of prose is made from: the text l, printed by a template, and what more it shows.
func (s *site) contextOf(l *lesson.Lesson, template string, more ...string) string {
	if s.Kept == nil {
		return ""
	}
	c := s.contexts
	return keep.Sum(append([]string{c.everywhere, c.parts, c.templates[template], s.restsOn(l)}, more...)...)
}

// restsOn is the fingerprint of a text with all that it names. That of a lesson is worked out once, for all its pages.
func (s *site) restsOn(l *lesson.Lesson) string {
	if sum, ok := s.contexts.lessons[l.Slug]; ok && l.Sum == s.Book.Lessons[s.lessonIndex[l.Slug]].Sum {
		return sum
	}
	c := s.contexts
	parts := []string{l.Sum, s.Book.Context(*l)}
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
	return keep.Sum(parts...)
}

// contextOfPlate is that of a calculator's page.
func (s *site) contextOfPlate(spec catalog.Spec, l *lesson.Lesson, template string) string {
	var sources []string
	for _, key := range spec.Sources {
		sources = append(sources, s.contexts.sources[key])
	}
	return s.contextOf(l, template, spec.ID, s.revised[spec.ID], keep.Sum(sources...), s.contexts.uses[spec.ID], s.Book.Context(lesson.Lesson{
		Plates: []lesson.Plate{{ID: spec.ID, Calculator: lesson.Ref{Text: spec.ID}}}}))
}

// neighbours is what a lesson's page shows of other lessons and of the paths.
func (s *site) neighbours(i int) []string {
	if s.Kept == nil {
		return nil
	}
	list := []string{strconv.Itoa(i)}
	show := func(l lesson.Lesson) { list = append(list, l.Slug, l.Title, l.Summary) }
	lessons := s.Book.Lessons
	for _, r := range lessons[i].Needs {
		if at, ok := s.lessonIndex[r.Text]; ok {
			show(lessons[at])
		}
	}
	list = append(list, "") // between those and the next
	if i > 0 {
		show(lessons[i-1])
	}
	list = append(list, "")
	if i+1 < len(lessons) {
		show(lessons[i+1])
	}
	for _, p := range s.pathsWith(lessons[i].Slug) {
		list = append(list, keep.SumValues(p.Link, p.Slugs))
		if p.Next != nil {
			list = append(list, keep.SumValues(*p.Next))
		}
	}
	return list
}

// uses are the fingerprints of what the page of each calculator lists of the lessons.
func (s *site) uses() map[string]string {
	parts := map[string][]string{}
	for _, l := range s.Book.Lessons {
		for _, b := range l.Blocks() {
			id := b.Calculator.Text
			parts[id] = append(parts[id], l.Slug, l.Title, b.Kind, b.Title, b.Anchor())
		}
	}
	sums := map[string]string{}
	for id, list := range parts {
		sums[id] = keep.Sum(list...)
	}
	return sums
}

// contextOfLists is that of the pages that only list what others say: of lessons all but their prose.
func (s *site) contextOfLists() string {
	if s.Kept == nil {
		return ""
	}
	parts := []string{s.contexts.everywhere, s.contexts.parts, keep.SumValues(s.contexts.templates), s.contexts.listed}
	for _, t := range s.traces.inOrder() {
		parts = append(parts, t.sum)
	}
	return keep.Sum(parts...)
}

// listed is the fingerprint of all that such pages can show, but for what other pages use.
func (s *site) listed() string {
	parts := []string{keep.SumValues(s.revised, s.Book.Terms, s.Book.Sources, s.Book.Paths, s.Book.Cast)}
	for i := range s.Book.Lessons {
		l := &s.Book.Lessons[i]
		parts = append(parts, keep.Of(s.Kept, "head "+l.Sum, func() string { return keep.SumValues(headOfLesson(*l)) }))
		if len(l.Exercises) > 0 { // the check at the end of a path asks them again
			parts = append(parts, s.Book.Context(*l))
		}
	}
	for _, l := range s.Book.Checks {
		parts = append(parts, s.restsOn(&l))
	}
	for _, p := range s.Book.Plates {
		parts = append(parts, p.Calculator, s.restsOn(&p.Lesson))
	}
	for _, l := range []*lesson.Lesson{&s.Book.Home, &s.Book.Room, &s.Book.Specimens} {
		parts = append(parts, s.restsOn(l))
	}
	return keep.Sum(parts...)
}

// headOfLesson is a lesson without its prose.
func headOfLesson(l lesson.Lesson) lesson.Lesson {
	l.Body, l.Sum, l.Prose = "", "", lesson.Prose{}
	return l
}
