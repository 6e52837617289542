package page

import (
	"bytes"
	"net/url"
	"slices"
	"strconv"
	"strings"
	"sync"
	"unique"

	"centrode/calc/character"
	"centrode/calc/spell"

	"golang.org/x/net/html"
)

// outline is what links can lead to in a page, and where its own links lead. Words that many pages share, such as the
// addresses in every footer, are held once.
type outline struct {
	ids   []unique.Handle[string]
	twice []string                // ids given to more than one element
	lost  []string                // ids that the page itself names (for, aria-describedby and their like) and does not have
	links []unique.Handle[string] // addresses as written, each once
}

func (o outline) has(id string) bool { return slices.Contains(o.ids, unique.Make(id)) }

// idLists are the attributes that name other elements of the page.
var idLists = map[string]bool{"for": true, "aria-labelledby": true, "aria-describedby": true, "aria-controls": true, "aria-errormessage": true, "headers": true}

func readOutline(page []byte) outline {
	var o outline
	var refs []string
	ids, links := map[string]bool{}, map[string]bool{}
	t := html.NewTokenizer(bytes.NewReader(page))
	for kind := t.Next(); kind != html.ErrorToken; kind = t.Next() {
		if kind != html.StartTagToken && kind != html.SelfClosingTagToken {
			continue
		}
		tag, more := t.TagName()
		link := string(tag) == "a" || string(tag) == "img"
		for more {
			var key, value []byte
			key, value, more = t.TagAttr()
			switch name := string(key); {
			case name == "id" && ids[string(value)]:
				o.twice = append(o.twice, string(value))
			case name == "id":
				ids[string(value)] = true
				o.ids = append(o.ids, unique.Make(string(value)))
			case idLists[name]:
				refs = append(refs, strings.Fields(string(value))...)
			case link && (name == "href" || name == "src") && !links[string(value)]:
				links[string(value)] = true
				o.links = append(o.links, unique.Make(string(value)))
			}
		}
	}
	for _, id := range refs {
		if !ids[id] {
			o.lost = append(o.lost, id)
		}
	}
	return o
}

// web is how the finished pages refer to each other.
type web struct {
	site  *site
	mu    sync.Mutex
	pages map[string]outline // by path
}

func (w *web) add(one file) {
	w.mu.Lock()
	defer w.mu.Unlock()
	w.pages[one.path] = one.outline
}

// check reports every link inside the site that leads nowhere, every id used twice, and every reference to an id that is
// not there. It looks at the finished pages, so that nothing that renders can go around it.
func (w *web) check() {
	for path, o := range w.pages {
		report := func(needle, text string) {
			origin := w.site.origin(path)
			w.site.Log.Add(origin.file, origin.line(needle), text)
		}
		for _, id := range o.twice {
			report(id, `the page has the id "`+id+`" twice; a heading or block of that name must be renamed`)
		}
		for _, id := range o.lost {
			report(id, `the page refers to the id "`+id+`", which it does not have`)
		}
		for _, link := range o.links {
			if text := broken(link.Value(), o, w.pages); text != "" {
				report(link.Value(), text)
			}
		}
	}
}

// broken says what is wrong with a link of a page, or nothing, in the words of the book's own check, so that the log
// holds each once. Links that leave the site are not followed.
func broken(link string, from outline, pages map[string]outline) string {
	u, err := url.Parse(link)
	switch {
	case err != nil:
		return "link " + strconv.Quote(link) + " is not readable as an address"
	case u.Scheme != "" || u.Host != "":
		return ""
	case u.Path == "" && u.Fragment == "":
		return "link " + strconv.Quote(link) + " leads nowhere; write [words](/lessons/the-lesson/)"
	case u.Path != "" && !strings.HasPrefix(u.Path, "/"):
		return "link " + strconv.Quote(link) + " must begin at the root, as in \"/lessons/the-lesson/\""
	case strings.HasPrefix(u.Path, "/assets/"), slices.ContainsFunc(character.All(), func(c character.Character) bool { return u.Path == "/"+c.Path() }):
		return ""
	}
	to := from
	if u.Path != "" {
		var ok bool
		if to, ok = pages[target(u.Path)]; !ok {
			return "link " + strconv.Quote(link) + " leads to no page" + spell.Offer(u.Path, addresses(pages))
		}
	}
	anchor, _, _ := strings.Cut(u.Fragment, "?") // what follows is a plate's state
	if anchor == "" || to.has(anchor) {
		return ""
	}
	return "link " + strconv.Quote(link) + " leads to no place on its page" + spell.Offer(anchor, to.names())
}

// names are the ids in order, for the nearest match of one that is not there.
func (o outline) names() []string {
	var list []string
	for _, id := range o.ids {
		list = append(list, id.Value())
	}
	slices.Sort(list)
	return list
}

// target is the file that a server sends for an address.
func target(address string) string {
	path := strings.TrimPrefix(address, "/")
	if path == "" || strings.HasSuffix(path, "/") {
		return path + "index.html"
	}
	return path
}

func addresses(pages map[string]outline) []string {
	var list []string
	for path := range pages {
		list = append(list, "/"+strings.TrimSuffix(path, "index.html"))
	}
	slices.Sort(list)
	return list
}

// origin is the text that a page was made from.
type origin struct {
	file  string
	text  string
	first int
}

func (s *site) origin(path string) origin {
	slug, isLesson := strings.CutPrefix(path, "lessons/")
	if i, ok := s.lessonIndex[strings.TrimSuffix(slug, "/index.html")]; ok && isLesson {
		l := s.Book.Lessons[i]
		return origin{l.File, l.Body, l.BodyLine}
	}
	for _, p := range s.Book.Plates {
		if path == "plates/"+p.Calculator+"/index.html" && p.Lesson.File != "" {
			return origin{p.Lesson.File, p.Lesson.Body, p.Lesson.BodyLine}
		}
	}
	for _, l := range s.Book.Checks {
		if path == "checks/"+l.Slug+"/index.html" {
			return origin{l.File, l.Body, l.BodyLine}
		}
	}
	if path == "index.html" {
		return origin{s.Book.Home.File, s.Book.Home.Body, s.Book.Home.BodyLine}
	}
	return origin{file: "public/" + path}
}

// line finds the line on which the text stands as written, 0 when it does not.
func (o origin) line(needle string) int {
	at := strings.Index(o.text, needle)
	if at < 0 || needle == "" {
		return 0
	}
	return o.first + strings.Count(o.text[:at], "\n")
}
