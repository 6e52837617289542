package page

import (
	"html/template"

	"centrode/calc/catalog"
	"centrode/calc/plate"
	"centrode/cmd/centrode/internal/lesson"
)

// CheckPage is check.tmpl: one plain question with its answer, made for a phone.
type CheckPage struct {
	Frame
	Title   string
	Summary string
	Body    template.HTML // holds the plate
	Others  []Link        // the other quick checks
}

// ChecksPage is checks.tmpl: all quick checks.
type ChecksPage struct {
	Frame
	Title  string
	Checks []Link
}

// Judgement is what a quick check says of one character.
type Judgement struct {
	Who  string
	Good bool
	Text string
}

// checksPage begins the name of a quick check's page, as the proof knows it.
const checksPage = "checks/"

// check makes a plate a quick check: a verdict, few inputs with the tables folded below them, and what it says of the cast.
func (d *document) check(p Plate, a catalog.Answer, b lesson.Plate) Plate {
	p.Verdict, _ = a.Verdict()
	p.Presets = d.site.presets(a.Spec, p.Base, b.Presets)
	p.Groups, p.More = d.site.groups(a, b)
	p.Beside, p.Below = d.site.entryTables(a, b)
	p.Cast = d.site.judgements(a.Calculator, a.Spec, b.Presets)
	p.Cautions = a.Spec.Cautions
	return p
}

// offered are the presets of a calculator, in the order of only when that names some.
func (s *site) offered(spec catalog.Spec, only []lesson.Ref) []catalog.Preset {
	if len(only) == 0 {
		return s.Book.Presets(spec)
	}
	var list []catalog.Preset
	for _, r := range only {
		if p, ok := s.Book.Preset(spec, r.Text); ok {
			list = append(list, p)
		}
	}
	return list
}

// judgements are the verdicts on the presets that a quick check offers; one that is refused is the book's to report.
func (s *site) judgements(c catalog.Calculator, spec catalog.Spec, only []lesson.Ref) []Judgement {
	var list []Judgement
	for _, p := range s.offered(spec, only) {
		a, err := plate.Run(c, plate.WriteState(p.Values))
		if err != nil {
			continue
		}
		if v, ok := a.Verdict(); ok {
			list = append(list, Judgement{p.Label, v.Good, v.Text})
		}
	}
	return list
}

// checkLinks lead to the quick checks named, or to all.
func (s *site) checkLinks(only func(slug string) bool) []Link {
	var list []Link
	for _, l := range s.Book.Checks {
		if only(l.Slug) {
			list = append(list, Link{Href: "/checks/" + l.Slug + "/", Text: l.Title, Note: l.Summary, English: true})
		}
	}
	return list
}

func (s *site) checkPage(i int) file {
	l := &s.Book.Checks[i]
	d := s.document(checksPage+l.Slug, l)
	p := CheckPage{Frame: s.frame("check", l.Title, l.Summary, Link{Href: "/checks/", Text: s.say("checks")}), Title: l.Title, Summary: l.Summary,
		Body: d.body(), Others: s.checkLinks(func(slug string) bool { return slug != l.Slug })}
	return s.traced(d.trace(afterLessons, Link{Href: "/checks/" + l.Slug + "/", Text: l.Title, English: true}), s.print("checks/"+l.Slug+"/index.html", "check.tmpl", p))
}

func (s *site) checks() file {
	return s.print("checks/index.html", "checks.tmpl", ChecksPage{s.frame("checks", s.say("checks"), s.say("checksAbout")), s.say("checks"),
		s.checkLinks(func(string) bool { return true })})
}
