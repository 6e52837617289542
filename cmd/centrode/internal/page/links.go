package page

import (
	"maps"
	"net/url"
	"slices"
	"strconv"
	"strings"
	"sync"

	"centrode/calc/character"
	"centrode/calc/spell"

	"golang.org/x/net/html"
)

// outline is what links can lead to in a page, and where its own links lead.
type outline struct {
	path  string
	ids   map[string]bool
	twice []string // ids given to more than one element
	refs  []string // ids that the page itself names: for, aria-describedby and their like
	links []string // addresses as written
}

// idLists are the attributes that name other elements of the page.
var idLists = map[string]bool{"for": true, "aria-labelledby": true, "aria-describedby": true, "aria-controls": true, "aria-errormessage": true, "headers": true}

func readOutline(path string, page []byte) outline {
	o := outline{path: path, ids: map[string]bool{}}
	t := html.NewTokenizer(strings.NewReader(string(page)))
	for kind := t.Next(); kind != html.ErrorToken; kind = t.Next() {
		if kind != html.StartTagToken && kind != html.SelfClosingTagToken {
			continue
		}
		tag := t.Token()
		for _, a := range tag.Attr {
			o.read(tag.Data, a)
		}
	}
	return o
}

func (o *outline) read(tag string, a html.Attribute) {
	switch {
	case a.Key == "id":
		if o.ids[a.Val] {
			o.twice = append(o.twice, a.Val)
		}
		o.ids[a.Val] = true
	case idLists[a.Key]:
		o.refs = append(o.refs, strings.Fields(a.Val)...)
	case a.Key == "href" && tag == "a", a.Key == "src" && tag == "img":
		o.links = append(o.links, a.Val)
	}
}

// checkLinks reports every link inside the site that leads nowhere, every id used twice, and every reference to an id
// that is not there. It looks at the finished pages, so that nothing that renders can go around it.
func checkLinks(files map[string][]byte, s *site) {
	paths := slices.Sorted(maps.Keys(files))
	outlines := make([]outline, len(paths))
	var wait sync.WaitGroup
	for i, path := range paths {
		wait.Go(func() { outlines[i] = readOutline(path, files[path]) })
	}
	wait.Wait()
	byPath := map[string]outline{}
	for _, o := range outlines {
		byPath[o.path] = o
	}
	for _, o := range outlines {
		origin := s.origin(o.path)
		report := func(needle, text string) { s.Log.Add(origin.file, origin.line(needle), text) }
		for _, id := range o.twice {
			report(id, `the page has the id "`+id+`" twice; a heading or block of that name must be renamed`)
		}
		for _, id := range o.refs {
			if !o.ids[id] {
				report(id, `the page refers to the id "`+id+`", which it does not have`)
			}
		}
		for _, link := range o.links {
			if text := broken(link, o, byPath); text != "" {
				report(link, text)
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
	if anchor == "" || to.ids[anchor] {
		return ""
	}
	return "link " + strconv.Quote(link) + " leads to no place on its page" + spell.Offer(anchor, slices.Sorted(maps.Keys(to.ids)))
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
	for _, l := range s.Book.Lessons {
		if path == "lessons/"+l.Slug+"/index.html" {
			return origin{l.File, l.Body, l.BodyLine}
		}
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
