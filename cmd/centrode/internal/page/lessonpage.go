package page

import (
	"html/template"
	"maps"
	"slices"

	"centrode/cmd/centrode/internal/lesson"
)

// LessonPage is lesson.tmpl.
type LessonPage struct {
	Frame
	Part       Link
	Title      string
	Summary    string
	Minutes    int
	Needs      []Link
	Sections   []Section
	Body       template.HTML
	References []Reference
	Further    []Reference
	End        Entry // the lesson itself, for marking it as read
	Paths      []PathLine
	Proved     []Revision
	Learning   *Learning
}

// lesson renders the lesson at a place in the book.
func (s *site) lesson(i int, alike *shared) file {
	l := &s.Book.Lessons[i]
	part := s.partLink(l.Part)
	d := s.document(l.Slug, l)
	d.shared = alike
	p := LessonPage{
		Frame: s.frame("lesson", l.Title, l.Summary, Link{Href: part.Href, Text: part.Text + ": " + part.Note}),
		Part:  part, Title: l.Title, Summary: l.Summary, Minutes: l.Minutes, Needs: s.lessonLinks(l.Needs), Body: d.body(), End: entry(*l),
		Paths: s.pathsWith(l.Slug), Learning: s.learning(l),
	}
	p.Proved = d.proved()
	p.Previous, p.Next = s.neighbour(i-1), s.neighbour(i+1)
	p.Sections = d.sections
	p.References, p.Further = s.referencesOf(d, l.Sources)
	return s.traced(d.trace(i, Link{Href: lessonHref(l.Slug), Text: l.Title, English: true}), s.print("lessons/"+l.Slug+"/index.html", "lesson.tmpl", p))
}

func (s *site) neighbour(i int) *Link {
	if i < 0 || i >= len(s.Book.Lessons) {
		return nil
	}
	l := s.Book.Lessons[i]
	return &Link{Href: lessonHref(l.Slug), Text: l.Title, English: true}
}

// referencesOf divides the sources of a page into those cited in the text and further reading.
func (s *site) referencesOf(d *document, more []lesson.Ref) (cited, further []Reference) {
	var rest []string
	for _, r := range more {
		if !slices.Contains(d.cited, r.Text) && !slices.Contains(rest, r.Text) {
			rest = append(rest, r.Text)
		}
	}
	return s.references(d.cited, "ref-"), s.references(rest, "ref-")
}

// trace records what the finished document used.
func (d *document) trace(order int, link Link) trace {
	t := trace{order: order, link: link, sources: slices.Clone(d.cited), calculators: d.uses}
	t.terms = slices.Sorted(maps.Keys(d.terms))
	for _, r := range d.lesson.Terms {
		if term, ok := d.site.term(r.Text); ok {
			t.defines = append(t.defines, term.ID)
		}
	}
	for _, r := range d.lesson.Sources {
		if !slices.Contains(t.sources, r.Text) {
			t.further = append(t.further, r.Text)
		}
	}
	return t
}

// HomePage is home.tmpl.
type HomePage struct {
	Frame
	Title   string
	Summary string
	Body    template.HTML
	Parts   []Part
	Paths   []Link
	// References are those that the home page's own text cites.
	References []Reference
}

func (s *site) home() file {
	l := &s.Book.Home
	d := s.document("home", l)
	d.large = true
	p := HomePage{Frame: s.frame("home", "", l.Summary), Title: l.Title, Summary: l.Summary, Body: d.body(), Parts: s.parts()}
	switch p.Title {
	case siteName:
	case "":
		p.Title = siteName
	default:
		p.HeadTitle = siteName + " · " + l.Title
	}
	for _, path := range s.Book.Paths {
		p.Paths = append(p.Paths, Link{Href: "/paths/" + path.ID + "/", Text: path.Title, Note: path.Promise, English: true})
	}
	p.References, _ = s.referencesOf(d, nil)
	return s.traced(d.trace(-1, Link{Href: "/", Text: siteName, English: true}), s.print("index.html", "home.tmpl", p))
}
