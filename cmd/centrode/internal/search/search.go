// Package search lists what a reader can look for: every section, example, exercise and plate of a lesson, the fitting room, every term,
// calculator with its fields and results, source, character and path, each with the address that leads there.
//
// Start at Input and its Readings, the places with their words counted; a Lexicon's Index makes the files that a page loads. It reads
// the book and not the pages, so that words are words and not markup, and takes the printed values from the proof, as the
// pages do. The ranking happens in the page (theme/scripts/find.js); here is only what there is to rank. The order is the
// order of the book, and the same book gives the same bytes.
package search

import (
	"fmt"
	"strings"

	"centrode/calc/catalog"
	"centrode/cmd/centrode/internal/book"
	"centrode/cmd/centrode/internal/keep"
	"centrode/cmd/centrode/internal/lesson"
)

// Document is one place that a search can lead to.
type Document struct {
	Href  string `json:"href"`           // root-relative: "/lessons/the-finger/#through-the-finger"
	Kind  string `json:"kind"`           // one of the constants below
	Title string `json:"title"`          // what the place is called
	Page  string `json:"page,omitempty"` // what it stands in, when that has another name
	Also  string `json:"also,omitempty"` // other names and ids by which it may be looked for; not shown
	Text  string `json:"text,omitempty"` // what is said there, without markup
}

// The kinds of place.
const (
	Lesson     = "lesson"
	Section    = "section"
	Example    = "example"
	Exercise   = "exercise"
	Plate      = "plate"
	Calculator = "calculator"
	Field      = "field"
	Result     = "result"
	Term       = "term"
	Source     = "source"
	Character  = "character"
	Path       = "path"
)

// Input is what the list is made from.
type Input struct {
	Book        *book.Book
	Calculators []catalog.Calculator
	// Print is the text of a value in prose, with its unit: (*proof.Proof).Print.
	Print func(page, ref string) (string, error)
	Kept  *keep.Store // what an earlier call read; nil reads all anew
}

// Readings returns every place in the order of the book with its words counted: lessons, calculators, quick checks, the fitting room,
// terms, sources, cast, paths. A value that Print refuses is left out; the proof reports it.
func (in Input) Readings(x *Lexicon) []Reading {
	list := make([]Reading, 0, x.count)
	lexicon := fmt.Sprintf("%p", x)
	for _, l := range in.Book.Lessons {
		key := "searched " + keep.Sum(l.Slug, l.Sum, in.Book.Context(l), lexicon)
		list = append(list, keep.Of(in.Kept, key, func() []Reading { return x.Read(in.lesson(l)) })...)
	}
	b := in.Book
	parts := []string{lexicon, keep.SumValues(b.Terms, b.Sources, b.Cast, b.Paths), b.Room.Sum, b.Context(b.Room)}
	for _, l := range b.Checks {
		parts = append(parts, l.Sum, b.Context(l))
	}
	for _, p := range b.Plates {
		parts = append(parts, p.Calculator, p.Lesson.Sum, b.Context(p.Lesson))
	}
	list = append(list, keep.Of(in.Kept, "searched besides "+keep.Sum(parts...), func() []Reading { return x.Read(in.others()) })...)
	x.count = len(list)
	return list
}

// others are the places outside of the lessons.
func (in Input) others() []Document {
	var list []Document
	for _, c := range in.Calculators {
		list = append(list, in.calculator(c.Spec())...)
	}
	for _, l := range in.Book.Checks {
		list = append(list, in.bench(l, "checks/"+l.Slug)...)
	}
	if l := in.Book.Room; l.File != "" {
		list = append(list, in.bench(l, "fitting-room")...)
	}
	for _, t := range in.Book.Terms {
		list = append(list, in.term(t))
	}
	for _, s := range in.Book.Sources {
		list = append(list, source(s))
	}
	for _, c := range in.Book.Cast {
		list = append(list, in.character(c))
	}
	for _, p := range in.Book.Paths { // plain text, not markdown
		list = append(list, Document{Href: "/paths/" + p.ID + "/", Kind: Path, Title: closeUp.Replace(p.Title), Text: sentences(p.Reader, p.Promise)})
	}
	return list
}

// lesson is the lesson itself with what stands before its first heading, then its sections, then its blocks.
func (in Input) lesson(l lesson.Lesson) []Document {
	p := page{in, l.Slug, "/lessons/" + l.Slug + "/", l.Title}
	opening, sections := p.sections(l.Body)
	head := Document{Href: p.href, Kind: Lesson, Title: l.Title, Text: sentences(l.Summary, opening)}
	return append(append([]Document{head}, sections...), p.blocks(l)...)
}

// bench is a page to work at, a quick check or the fitting room, then its sections.
func (in Input) bench(l lesson.Lesson, id string) []Document {
	p := page{in, id, "/" + id + "/", l.Title}
	opening, sections := p.sections(l.Body)
	return append([]Document{{Href: p.href, Kind: Plate, Title: l.Title, Text: sentences(l.Summary, opening)}}, sections...)
}

func (in Input) term(t book.Term) Document {
	p := page{Input: in}
	return Document{Href: "/glossary/#" + t.ID, Kind: Term, Title: t.Term, Also: strings.Join(t.Also, ", "), Text: p.plain(t.Definition)}
}

// source is found by its title, by any author and by what was noted on it.
func source(s book.Source) Document {
	var short, full []string
	for _, a := range s.Authors {
		short = append(short, a.Family)
		full = append(full, strings.TrimSpace(a.Given+" "+a.Family))
	}
	return Document{Href: "/sources/#" + s.Key, Kind: Source, Title: strings.TrimSuffix(s.Title, "."),
		Page: join(", ", strings.Join(short, ", "), s.Year), Also: join(", ", strings.Join(full, ", "), s.Key),
		Text: sentences(s.In, s.Publisher, s.Note)}
}

func (in Input) character(c book.Character) Document {
	p := page{Input: in}
	parts := []string{c.Role, p.plain(c.Story)}
	for _, m := range c.Measures {
		parts = append(parts, m.Label+" "+m.Text)
	}
	return Document{Href: "/cast/#" + c.ID, Kind: Character, Title: c.Name, Text: sentences(parts...)}
}

// join writes the parts that are not empty.
func join(between string, parts ...string) string {
	var full []string
	for _, p := range parts {
		if p != "" {
			full = append(full, p)
		}
	}
	return strings.Join(full, between)
}

// sentences joins parts so that each ends like a sentence. Apostrophes are set as in the prose of the pages.
func sentences(parts ...string) string {
	var out []string
	for _, p := range parts {
		p = strings.TrimSpace(p)
		if p != "" && !strings.ContainsAny(p[len(p)-1:], ".!?:;") {
			p += "."
		}
		out = append(out, p)
	}
	return strings.ReplaceAll(join(" ", out...), "'", "’")
}
