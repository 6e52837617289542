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

// embeds lists the jobs that render a page for every live plate. Frames are in the first language only: whoever frames a
// plate chooses its address, and pages in other languages give the same.
func (s *site) embeds() []func() file {
	var jobs []func() file
	if s.prefix() != "" {
		return nil
	}
	for i := range s.Book.Lessons {
		l := &s.Book.Lessons[i]
		for _, b := range l.Plates {
			jobs = append(jobs, func() file {
				return s.kept("embed "+l.Slug+" "+b.ID, s.contextOf(l, "embed.tmpl"), func() file {
					return s.embed(l.Slug, l, b, Link{Href: lessonHref(l.Slug), Text: l.Title})
				})
			})
		}
	}
	for _, c := range s.Calculators {
		spec := c.Spec()
		l, from := s.words(spec.ID), calculatorLink(spec)
		kept := func(name string, render func() file) func() file {
			return func() file {
				return s.kept("embed "+platesPage+spec.ID+" "+name, s.contextOfPlate(spec, &l, "embed.tmpl"), render)
			}
		}
		jobs = append(jobs, kept("", func() file { return s.embedCalculator(c, &l, from) }))
		for _, b := range l.Plates {
			jobs = append(jobs, kept(b.ID, func() file { return s.embed(platesPage+spec.ID, &l, b, from) }))
		}
	}
	return jobs
}

func (s *site) embedCalculator(c catalog.Calculator, l *lesson.Lesson, from Link) file {
	spec := c.Spec()
	a, err := catalog.Run(c, catalog.NewValues())
	if err != nil { // told by the calculator's own page
		return file{}
	}
	return s.embedAnswer(platesPage+spec.ID, l, lesson.Plate{ID: spec.ID, Title: spec.Title}, a, from)
}

func (s *site) embed(page string, l *lesson.Lesson, b lesson.Plate, from Link) file {
	a, ok := s.Proof.Answer(page, b.ID)
	if !ok { // told by the page that the block stands on
		return file{}
	}
	return s.embedAnswer(page, l, b, a, from)
}

func (s *site) embedAnswer(page string, l *lesson.Lesson, b lesson.Plate, a catalog.Answer, from Link) file {
	href := embedHref(page, b.ID)
	p := EmbedPage{Frame: s.frame("embed", b.Title, a.Spec.Purpose), Plate: s.document(page, l).livePlate(a, b)}
	p.Canonical = from.Href
	from.Href += "#plate-" + b.ID
	p.From = from
	p.Plate.Embed, p.Plate.Home = "", from.Href
	return s.print(target(href), "embed.tmpl", p)
}
