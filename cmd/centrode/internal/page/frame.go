package page

import (
	"html/template"
	"slices"
	"strconv"
	"strings"

	"centrode/cmd/centrode/internal/lesson"
	"centrode/cmd/centrode/internal/palette"
)

// Frame is what every page has around its own words.
type Frame struct {
	Kind        string // "lesson": becomes the class page-lesson
	HeadTitle   string // of the browser's tab
	English     bool   // the title is English in every language
	Description string
	Paper       palette.Pair
	Styles      string // addresses
	Own         string // of styles that this kind of page alone has; "" for most
	Head        string
	Rest        string // addresses, with spaces between: the script that comes after the first view, and what it imports
	Live        string // and of what brings a plate to life
	Font        string // address of the one that is asked for before the styles say so
	Calculators string
	Worker      string
	Icon        string
	Offline     string // the worker that keeps pages; "" where none is
	Touch       string // the icon as a picture of points
	Canonical   string // the page that says the same in full; "" on all but embeds
	Licences    string
	Search      Search
	Crumbs      []Link // from the outermost to this page; the last has no address
	Footer      []Link
	Previous    *Link // in the order of the book
	Next        *Link
}

// Link is an address with the words that lead there.
type Link struct {
	Href string
	Text string
	Note string // what is there, in a few words; may be empty
	// Current marks the link to the page it stands on.
	Current bool
	// English marks a text that is English in every language of the interface: the name of a lesson, a path, a person.
	English bool
}

// firstFont is asked for before the styles say so: the face of the text. Each more would hold up the styles, without which
// nothing is painted; the others come when the styles ask, and stand-ins of their measures keep their place until then.
const firstFont = "source-serif-4-latin-wght-normal.woff2"

// siteName stands in every page's title and header.
const siteName = "Centrode"

func (s *site) frame(kind, title, description string, crumbs ...Link) Frame {
	head := siteName
	english := kind == "lesson" || kind == "check" || kind == "path" || kind == "home"
	if title != "" {
		head = title + " · " + siteName
		crumbs = append(crumbs, Link{Text: title, English: english})
	}
	footer := slices.Clone(s.footer)
	for i := range footer {
		footer[i].Current = footer[i].Text == title
	}
	return Frame{
		Kind: kind, HeadTitle: head, English: english, Description: description, Paper: s.Paper,
		Styles: s.Asset("site.css"), Head: s.Asset("head.js"), Rest: s.Asset(s.modules("site")), Live: s.Asset(s.modules("live")), Font: s.Asset(firstFont), Offline: s.Asset("offline-worker.js"), Touch: s.Asset("icon-192.png"), Calculators: s.Asset("calculators.wasm"), Worker: s.Asset("worker.js"), Icon: s.Asset("icon.svg"), Licences: s.Asset("licences.txt"),
		Search: s.search(), Crumbs: crumbs, Footer: footer,
	}
}

// SearchPath is where the search finds its index. It carries no hash: every page names it, and one word changed in one
// lesson would change every page of the book.
const SearchPath = "search.json"

// Search is the way to the search: the address of its index, and where a reader looks without scripts.
type Search struct {
	Index string
	Plain []Link
}

func (s *site) search() Search {
	plain := slices.DeleteFunc(slices.Clone(s.footer), func(l Link) bool { return l.Href != "/lessons/" && l.Href != "/glossary/" })
	return Search{"/" + SearchPath, plain}
}

// footerLinks lists the pages that stand outside the run of the book; only those that exist.
func (s *site) footerLinks() []Link {
	var list []Link
	add := func(exists bool, href, text string) {
		if exists {
			list = append(list, Link{Href: href, Text: text})
		}
	}
	add(len(s.Book.Lessons) > 0, "/lessons/", s.say("lessons"))
	add(len(s.Book.Paths) > 0, "/paths/", s.say("paths"))
	add(len(s.Book.Lessons) > 0, progressHref, s.say("progress"))
	add(len(s.Calculators) > 0, "/plates/", s.say("plates"))
	add(len(s.Book.Checks) > 0, "/checks/", s.say("checks"))
	add(s.Book.Room.File != "", roomHref, s.say("roomTitle"))
	add(len(s.Calculators) > 0, "/sheet/", s.say("sheet"))
	add(len(s.Book.Terms) > 0, "/glossary/", s.say("glossary"))
	add(len(s.Book.Sources) > 0, "/sources/", s.say("sources"))
	add(len(s.Book.Cast) > 0, "/cast/", s.say("theCast"))
	add(true, "/changes/", s.say("changes"))
	add(true, "/offline/", s.say("offlineTitle"))
	return list
}

// Part is one of the three parts of the book.
type Part struct {
	Number  int
	Title   string
	Summary string
	Href    string
	Lessons []Entry
	Minutes int
}

// Entry is a lesson in a list.
type Entry struct {
	Slug, Href, Title, Summary string
	Minutes                    int
	Exercises                  string // ids, divided by spaces
}

// partCount is how many parts the book has.
const partCount = 3

// partName returns the title of a part, and what it is about.
func (s *site) partName(number int) (title, summary string) {
	switch number {
	case 1:
		return s.say("partOneTitle"), s.say("partOneSummary")
	case 2:
		return s.say("partTwoTitle"), s.say("partTwoSummary")
	}
	return s.say("partThreeTitle"), s.say("partThreeSummary")
}

// parts returns the parts that have lessons.
func (s *site) parts() []Part {
	var list []Part
	for number := 1; number <= partCount; number++ {
		p := Part{Number: number, Href: partHref(number)}
		p.Title, p.Summary = s.partName(number)
		for _, l := range s.Book.Lessons {
			if l.Part == p.Number {
				p.Lessons = append(p.Lessons, entry(l))
				p.Minutes += l.Minutes
			}
		}
		if len(p.Lessons) > 0 {
			list = append(list, p)
		}
	}
	return list
}

func partHref(number int) string { return "/parts/" + strconv.Itoa(number) + "/" }

// partLink names a part with its number, for crumbs and small capitals.
func (s *site) partLink(number int) Link {
	if number < 1 || number > partCount {
		return Link{}
	}
	title, _ := s.partName(number)
	return Link{Href: partHref(number), Text: s.say("part", "number", number), Note: title}
}

func entry(l lesson.Lesson) Entry {
	return Entry{Slug: l.Slug, Href: lessonHref(l.Slug), Title: l.Title, Summary: l.Summary, Minutes: l.Minutes, Exercises: exerciseIDs(l)}
}

func exerciseIDs(l lesson.Lesson) string {
	var ids []string
	for _, e := range l.Exercises {
		ids = append(ids, e.ID)
	}
	return strings.Join(ids, " ")
}

func lessonHref(slug string) string { return "/lessons/" + slug + "/" }

func plateHref(calculator string) string { return "/plates/" + calculator + "/" }

// openHref leads to a calculator's page with the values of a state put in.
func openHref(calculator, state string) string {
	if state == "" {
		return plateHref(calculator)
	}
	return plateHref(calculator) + "#plate-" + calculator + "?" + state
}

// ready marks text made by this package as ready for a page.
func ready(text string) template.HTML { return template.HTML(text) }

func escape(text string) string { return template.HTMLEscapeString(text) }
