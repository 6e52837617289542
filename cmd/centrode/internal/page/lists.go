package page

import (
	"slices"
	"strings"

	"centrode/cmd/centrode/internal/book"
	"centrode/cmd/centrode/internal/lesson"
)

// PartsPage is lessons.tmpl: all lessons in their parts, and the paths through them.
type PartsPage struct {
	Frame
	Title string
	Parts []Part
	Map   *Map
	Paths []PathView
}

// PartPage is part.tmpl.
type PartPage struct {
	Frame
	Part
}

// PathPage is path.tmpl.
type PathPage struct {
	Frame
	PathView
	Map *Map
}

// PathsPage is paths.tmpl: all paths.
type PathsPage struct {
	Frame
	Title string
	Paths []PathView
}

// PathView is a path with its lessons.
type PathView struct {
	Href, Title, Reader, Promise string
	Lessons                      []Entry
	Checks                       []Link
	Minutes                      int
	Closing                      *Link
}

// PlatesPage is plates.tmpl.
type PlatesPage struct {
	Frame
	Title  string
	Plates []PlateEntry
}

// PlateEntry is a calculator in the list of plates.
type PlateEntry struct {
	Link
	UsedIn []Link
}

// MissingPage is missing.tmpl, what a server shows for an address that does not exist.
type MissingPage struct {
	Frame
	Title string
	Parts []Part
	Links []Link
}

func (s *site) lessons() file {
	p := PartsPage{Frame: s.frame("lessons", s.say("lessons"), s.say("lessonsAbout")),
		Title: s.say("lessons"), Parts: s.parts(), Map: s.wholeMap()}
	p.Paths = s.pathViews()
	return s.print("lessons/index.html", "lessons.tmpl", p)
}

func (s *site) part(part Part) file {
	link := s.partLink(part.Number)
	p := PartPage{Frame: s.frame("part", link.Text+": "+part.Title, part.Summary, Link{Href: "/lessons/", Text: s.say("lessons")}), Part: part}
	all := s.parts()
	for i := range all {
		switch all[i].Number {
		case part.Number - 1:
			p.Previous = &Link{Href: all[i].Href, Text: all[i].Title}
		case part.Number + 1:
			p.Next = &Link{Href: all[i].Href, Text: all[i].Title}
		}
	}
	return s.print(strings.TrimPrefix(part.Href, "/")+"index.html", "part.tmpl", p)
}

func (s *site) pathView(path book.Path) PathView {
	v := PathView{Href: "/paths/" + path.ID + "/", Title: path.Title, Reader: path.Reader, Promise: path.Promise, Closing: s.closingLink(path)}
	v.Checks = s.checkLinks(func(slug string) bool {
		return slices.ContainsFunc(path.Checks, func(r lesson.Ref) bool { return r.Text == slug })
	})
	for _, r := range path.Lessons {
		if i, ok := s.lessonIndex[r.Text]; ok {
			v.Lessons = append(v.Lessons, entry(s.Book.Lessons[i]))
			v.Minutes += s.Book.Lessons[i].Minutes
		}
	}
	return v
}

func (s *site) pathViews() []PathView {
	var list []PathView
	for _, path := range s.Book.Paths {
		list = append(list, s.pathView(path))
	}
	return list
}

func (s *site) path(path book.Path) file {
	v := s.pathView(path)
	return s.print("paths/"+path.ID+"/index.html", "path.tmpl",
		PathPage{s.frame("path", path.Title, path.Promise, Link{Href: "/paths/", Text: s.say("paths")}), v, s.pathMap(path)})
}

func (s *site) paths() file {
	return s.print("paths/index.html", "paths.tmpl", PathsPage{
		Frame: s.frame("paths", s.say("paths"), s.say("pathsAbout")), Title: s.say("paths"), Paths: s.pathViews()})
}

func (s *site) plates() file {
	p := PlatesPage{Frame: s.frame("plates", s.say("plates"), s.say("platesAbout")), Title: s.say("plates")}
	for _, c := range s.Calculators {
		spec := s.specOf(c)
		link := calculatorLink(spec)
		link.Note = spec.Purpose
		p.Plates = append(p.Plates, PlateEntry{link, s.traces.where(func(t trace) bool {
			return t.uses(spec.ID) && t.link.Href != link.Href
		})})
	}
	return s.print("plates/index.html", "plates.tmpl", p)
}

func (t trace) uses(calculator string) bool {
	for _, u := range t.calculators {
		if u.calculator == calculator {
			return true
		}
	}
	return false
}

// offline renders the page about reading without a network; the worker shows it for a page that is not kept.
func (s *site) offline() file {
	return s.print("offline/index.html", "offline.tmpl", s.frame("offline", s.say("offlineTitle"), s.say("offlineAbout")))
}

// missingPath is where servers look for the page of addresses that lead nowhere.
const missingPath = "404.html"

func (s *site) missing() file {
	return s.print(missingPath, "missing.tmpl", MissingPage{
		Frame: s.frame("missing", s.say("missingTitle"), s.say("missingAbout")), Title: s.say("missingTitle"), Parts: s.parts(), Links: s.footer})
}
