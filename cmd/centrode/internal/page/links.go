package page

import (
	"maps"
	"net/url"
	"slices"
	"strconv"
	"strings"
	"sync"
	"unique"

	"centrode/calc/character"
	"centrode/calc/spell"
	"centrode/cmd/centrode/internal/keep"
)

// web is how the finished pages refer to each other.
type web struct {
	site  *site
	mu    sync.Mutex
	pages map[string]outline // by path
}

// letters are the characters of all pages. Many pages show the same ones, and these are looked at once.
func (w *web) letters() Letters {
	all := Letters{map[rune]bool{}, map[rune]bool{}}
	text, formulas := map[unique.Handle[string]]bool{}, map[unique.Handle[string]]bool{}
	for _, o := range w.pages {
		text[o.text], formulas[o.maths] = true, true
	}
	for list := range text {
		for _, r := range list.Value() {
			all.Text[r] = true
		}
	}
	for list := range formulas {
		for _, r := range list.Value() {
			all.Maths[r] = true
		}
	}
	return all
}

func (w *web) add(one file) {
	w.mu.Lock()
	defer w.mu.Unlock()
	w.pages[one.path] = one.outline
}

// checkOnce spares the check where an earlier one found nothing wrong with the same ids and links.
func (w *web) checkOnce() {
	if w.site.Kept == nil {
		w.check()
		return
	}
	parts := make([]string, 0, 2*len(w.pages))
	for _, path := range slices.Sorted(maps.Keys(w.pages)) {
		parts = append(parts, path, w.pages[path].sum)
	}
	keep.Of(w.site.Kept, "links "+keep.Sum(parts...), func() bool { // of a build that fails nothing is kept
		w.check()
		return true
	})
}

// check reports every link inside the site that leads nowhere, every id used twice, and every reference to an id that is
// not there. It looks at the finished pages, so that nothing that renders can go around it.
func (w *web) check() {
	followed := map[unique.Handle[string]]string{} // most pages have the same links to others
	wrong := func(link unique.Handle[string], from outline) string {
		if !strings.HasPrefix(link.Value(), "/") { // a place on the page itself, or another site
			return broken(link.Value(), from, w.pages)
		}
		text, known := followed[link]
		if !known {
			text = broken(link.Value(), from, w.pages)
			followed[link] = text
		}
		return text
	}
	origins := sync.OnceValue(w.site.origins)
	for path, o := range w.pages {
		report := func(needle, text string) {
			origin, ok := origins()[path]
			if !ok {
				origin.file = "public/" + path
			}
			w.site.Log.Add(origin.file, origin.line(needle), text)
		}
		first, folder := w.inFirst(path) // which tells what is wrong there, too
		for _, id := range o.twice {
			if !slices.Contains(first.twice, id) {
				report(id, `the page has the id "`+id+`" twice; a heading or block of that name must be renamed`)
			}
		}
		for _, id := range o.lost {
			if !slices.Contains(first.lost, id) {
				report(id, `the page refers to the id "`+id+`", which it does not have`)
			}
		}
		for _, link := range o.links {
			text := wrong(link, o)
			if text == "" {
				continue
			}
			same := unique.Make(strings.Replace(link.Value(), "/"+folder, "/", 1))
			if !slices.Contains(first.links, same) || wrong(same, first) == "" {
				report(link.Value(), text)
			}
		}
	}
}

// inFirst is the page of that path in the first language, and the folder of its own; both are empty for one of the first itself.
func (w *web) inFirst(path string) (same outline, folder string) {
	for _, l := range w.site.Words {
		if at, ok := strings.CutPrefix(path, l.Tag+"/"); ok && l.Tag != w.site.language.Tag {
			return w.pages[at], l.Tag + "/"
		}
	}
	return outline{}, ""
}

// broken says what is wrong with a link of a page, or nothing, in the words of the book's own check, so that the log
// holds each once. Links that leave the site are not followed.
func broken(link string, from outline, pages map[string]outline) string {
	u, err := parsed(link)
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

// parsed reads an address. One of ours with nothing in it that stands for something else is only cut: a book has thousands.
func parsed(link string) (*url.URL, error) {
	path, fragment, _ := strings.Cut(link, "#")
	odd := func(r rune) bool { return r <= ' ' || r == '%' || r >= 0x7f }
	if strings.HasPrefix(path, "/") && !strings.HasPrefix(path, "//") && !strings.Contains(path, "?") && !strings.ContainsFunc(link, odd) {
		return &url.URL{Path: path, Fragment: fragment}, nil
	}
	return url.Parse(link)
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

// origins are those of all pages that have prose, by path.
func (s *site) origins() map[string]origin {
	all := map[string]origin{}
	for _, p := range s.Book.Pages() {
		all[target(p.Address())] = origin{p.Lesson.File, p.Lesson.Body, p.Lesson.BodyLine}
	}
	return all
}

// line finds the line on which the text stands as written, 0 when it does not.
func (o origin) line(needle string) int {
	at := strings.Index(o.text, needle)
	if at < 0 || needle == "" {
		return 0
	}
	return o.first + strings.Count(o.text[:at], "\n")
}
