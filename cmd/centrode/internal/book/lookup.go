package book

import (
	"slices"
	"strings"

	"centrode/calc/catalog"
	"centrode/cmd/centrode/internal/lesson"
)

// Page is one page that has prose and blocks.
type Page struct {
	ID     string // a lesson's slug, "plates/CALCULATOR", "checks/SLUG", "home", "fitting-room" or "specimens"
	Lesson lesson.Lesson
}

// Address returns the page's root-relative address: "/lessons/the-finger/".
func (p Page) Address() string {
	switch {
	case p.ID == "home":
		return "/"
	case strings.Contains(p.ID, "/"), p.ID == "fitting-room", p.ID == "specimens":
		return "/" + p.ID + "/"
	}
	return "/lessons/" + p.ID + "/"
}

// Pages returns every page that has prose and blocks: lessons, plates, quick checks, then the home page, the fitting room and
// the specimens when there are such.
func (b *Book) Pages() []Page {
	if b.pages != nil {
		return b.pages
	}
	out := make([]Page, 0, len(b.Lessons)+len(b.Plates)+len(b.Checks)+3)
	for _, l := range b.Lessons {
		out = append(out, Page{l.Slug, l})
	}
	for _, p := range b.Plates {
		out = append(out, Page{"plates/" + p.Calculator, p.Lesson})
	}
	for _, l := range b.Checks {
		out = append(out, Page{"checks/" + l.Slug, l})
	}
	if b.Home.File != "" {
		out = append(out, Page{"home", b.Home})
	}
	if b.Room.File != "" {
		out = append(out, Page{"fitting-room", b.Room})
	}
	if b.Specimens.File != "" {
		out = append(out, Page{"specimens", b.Specimens})
	}
	return out
}

// Size is the number of bytes of the book's prose and blocks.
func (b *Book) Size() int {
	n := 0
	for _, p := range b.Pages() {
		n += len(p.Lesson.Body)
	}
	return n
}

// Term returns the glossary entry with the id, the name or the other name, whatever the case of its letters.
func (b *Book) Term(name string) (Term, bool) {
	for _, t := range b.Terms {
		for _, known := range t.names() {
			if strings.EqualFold(known, name) {
				return t, true
			}
		}
	}
	return Term{}, false
}

// names are all words by which a text may link to the term.
func (t Term) names() []string { return append([]string{t.ID, t.Term}, t.Also...) }

// Source returns the source with the key.
func (b *Book) Source(key string) (Source, bool) {
	i := slices.IndexFunc(b.Sources, func(s Source) bool { return s.Key == key })
	if i < 0 {
		return Source{}, false
	}
	return b.Sources[i], true
}

// Preset returns the preset of the calculator with the id: its own, or one of the cast's.
func (b *Book) Preset(spec catalog.Spec, id string) (catalog.Preset, bool) {
	list := b.Presets(spec)
	i := slices.IndexFunc(list, func(p catalog.Preset) bool { return p.ID == id })
	if i < 0 {
		return catalog.Preset{}, false
	}
	return list[i], true
}

// Values fills in a preset, when one is named, and then each list of inputs over what came before. The error is a
// *catalog.InputError; Blame finds its line.
func (b *Book) Values(spec catalog.Spec, preset string, lists ...[]lesson.Given) (catalog.Values, error) {
	v := catalog.NewValues()
	if preset != "" {
		p, ok := b.Preset(spec, preset)
		if !ok {
			return v, unknownPreset(b, spec, preset)
		}
		for _, e := range p.Values {
			if err := catalog.Set(spec, &v, e.ID, e.Text); err != nil {
				return v, err
			}
		}
	}
	for _, list := range lists {
		for _, g := range list {
			if err := catalog.Set(spec, &v, g.ID, g.Text); err != nil {
				return v, err
			}
		}
	}
	return v, nil
}
