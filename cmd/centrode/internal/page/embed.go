package page

import (
	"strings"

	"centrode/calc/catalog"
	"centrode/cmd/centrode/internal/lesson"
)

// EmbedPage is embed.tmpl: one live plate for a frame on another site, with a link back to its place in the handbook.
type EmbedPage struct {
	Frame
	Plate Plate
	From  Link // the page that the plate stands on, at the plate
}

// embedHref is the address of the page that shows one plate for a frame, "" where there is none. page is as the proof
// knows it.
func embedHref(page, block string) string {
	switch {
	case page == "home", strings.HasPrefix(page, checksPage):
		return ""
	case page == "plates/"+block: // the calculator's own plate
		return "/embed/" + page + "/"
	case strings.HasPrefix(page, platesPage):
		return "/embed/" + page + "/" + block + "/"
	}
	return "/embed" + lessonHref(page) + block + "/"
}

const platesPage = "plates/"

// embeds makes a page for every live plate of a lesson. Frames are in the first language only: whoever frames a plate chooses
// its address, and pages in other languages give the same.
func (s *site) embeds(l *lesson.Lesson, alike *shared) {
	if s.prefix() != "" {
		return
	}
	for _, b := range l.Plates {
		s.done(s.kept("embed "+l.Slug+" "+b.ID, s.contextOf(l, "embed.tmpl"), func() file {
			return s.embed(l.Slug, l, b, Link{Href: lessonHref(l.Slug), Text: l.Title}, alike)
		}))
	}
}

// embedsOf makes those of a calculator: of its own plate, and of the plates in its words.
func (s *site) embedsOf(c catalog.Calculator, l *lesson.Lesson) {
	if s.prefix() != "" {
		return
	}
	spec := s.specOf(c)
	from := calculatorLink(spec)
	kept := func(name string, render func() file) {
		s.done(s.kept("embed "+platesPage+spec.ID+" "+name, s.contextOfPlate(spec, l, "embed.tmpl"), render))
	}
	kept("", func() file { return s.embedCalculator(c, l, from) })
	for _, b := range l.Plates {
		kept(b.ID, func() file { return s.embed(platesPage+spec.ID, l, b, from, newShared()) })
	}
}

func (s *site) embedCalculator(c catalog.Calculator, l *lesson.Lesson, from Link) file {
	spec := s.specOf(c)
	a, err := catalog.Run(c, catalog.NewValues())
	if err != nil { // told by the calculator's own page
		return file{}
	}
	return s.embedAnswer(platesPage+spec.ID, l, lesson.Plate{ID: spec.ID, Title: spec.Title}, a, from, newShared())
}

func (s *site) embed(page string, l *lesson.Lesson, b lesson.Plate, from Link, alike *shared) file {
	a, ok := s.Proof.Answer(page, b.ID)
	if !ok { // told by the page that the block stands on
		return file{}
	}
	return s.embedAnswer(page, l, b, a, from, alike)
}

func (s *site) embedAnswer(page string, l *lesson.Lesson, b lesson.Plate, a catalog.Answer, from Link, alike *shared) file {
	href := embedHref(page, b.ID)
	d := s.document(page, l)
	d.shared = alike
	p := EmbedPage{Frame: s.frame("embed", b.Title, a.Spec.Purpose), Plate: d.livePlate(a, b)}
	p.Canonical = from.Href
	from.Href += "#plate-" + b.ID
	p.From = from
	p.Plate.Embed, p.Plate.Home = "", from.Href
	return s.print(target(href), "embed.tmpl", p)
}
