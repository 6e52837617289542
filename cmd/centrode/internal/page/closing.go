package page

import (
	"strings"

	"centrode/cmd/centrode/internal/book"
)

// ClosingPage is closing.tmpl: the exercises at the end of a path, asked with new numbers, and what becomes of them.
type ClosingPage struct {
	Frame
	Title     string
	Path      Link
	Questions []Question
}

// Question is one exercise of a check, with the lesson it comes from.
type Question struct {
	Exercise
	Number int
	Name   string
	From   Link
}

func (s *site) closing(path book.Path) file {
	link := Link{Href: "/paths/" + path.ID + "/", Text: path.Title, English: true}
	p := ClosingPage{Frame: s.frame("closing", s.say("closingTitle"), s.say("closingAbout", "count", len(path.Closing)),
		Link{Href: "/paths/", Text: s.say("paths")}, link), Title: s.say("closingTitle"), Path: link}
	for i, r := range path.Closing {
		slug, id, _ := strings.Cut(r.Text, "/")
		at, ok := s.lessonIndex[slug]
		if !ok {
			continue // reported by the book
		}
		l := &s.Book.Lessons[at]
		d := s.document(slug, l)
		for _, e := range l.Exercises {
			if e.ID != id {
				continue
			}
			if view, _, ok := d.exerciseView(e, true); ok {
				p.Questions = append(p.Questions, Question{view, i + 1, e.Title, Link{Href: lessonHref(slug) + "#" + id, Text: l.Title}})
			}
		}
	}
	return s.print(strings.TrimPrefix(link.Href, "/")+"check/index.html", "closing.tmpl", p)
}
