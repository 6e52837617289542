package page

import (
	"slices"
	"strings"

	"centrode/cmd/centrode/internal/book"
	"centrode/cmd/centrode/internal/lesson"
)

// progressHref is the page on which a reader sees, saves and forgets what was read and solved.
const progressHref = "/progress/"

// ProgressPage is progress.tmpl: all lessons, on which a script notes what became of them.
type ProgressPage struct {
	Frame
	Title string
	Parts []Part
}

func (s *site) progress() file {
	return s.print("progress/index.html", "progress.tmpl", ProgressPage{
		Frame: s.frame("progress", s.say("progress"), s.say("progressAbout")),
		Title: s.say("progress"), Parts: s.parts()})
}

// PathLine is a path through a lesson, as the lesson's page names it.
type PathLine struct {
	Link
	Slugs string // of its lessons, divided by spaces
	Next  *Link  // the lesson after this one, or the check at the path's end
}

func (s *site) pathsWith(slug string) []PathLine {
	var list []PathLine
	for _, p := range s.Book.Paths {
		at := slices.IndexFunc(p.Lessons, func(r lesson.Ref) bool { return r.Text == slug })
		if at < 0 {
			continue
		}
		line := PathLine{Link: Link{Href: "/paths/" + p.ID + "/", Text: p.Title, English: true}}
		var slugs []string
		for _, r := range p.Lessons {
			slugs = append(slugs, r.Text)
		}
		line.Slugs = strings.Join(slugs, " ")
		if at+1 < len(p.Lessons) {
			if link, ok := s.lessonLink(p.Lessons[at+1].Text); ok {
				line.Next = &link
			}
		} else {
			line.Next = s.closingLink(p)
		}
		list = append(list, line)
	}
	return list
}

// closingLink leads to the check at the end of a path; nil when it has none.
func (s *site) closingLink(p book.Path) *Link {
	if len(p.Closing) == 0 {
		return nil
	}
	return &Link{Href: "/paths/" + p.ID + "/check/", Text: s.say("closingTitle"), Note: s.say("closingNote", "count", len(p.Closing))}
}
