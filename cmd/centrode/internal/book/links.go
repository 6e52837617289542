package book

import (
	"fmt"
	"maps"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"centrode/calc/catalog/list"
	"centrode/calc/character"
	"centrode/cmd/centrode/internal/lesson"
	"centrode/cmd/centrode/internal/report"
)

// links knows every address of the site and the anchors of each page. Anchors that only a template gives are not
// known here; the finished pages are checked again where they are rendered.
type links struct {
	offers
	anchors   map[string]map[string]bool // by address
	addresses []string                   // sorted
}

func newLinks(b *Book) *links {
	l := &links{offers: manyOffers, anchors: map[string]map[string]bool{}}
	for _, address := range []string{"/", "/lessons/", "/plates/", "/glossary/", "/sources/", "/cast/", "/checks/", "/paths/", "/sheet/", "/progress/", "/changes/", "/offline/", "/404.html"} {
		l.add(address)
	}
	for _, p := range b.Paths {
		l.add("/paths/" + p.ID + "/")
		if len(p.Closing) > 0 {
			l.add("/paths/"+p.ID+"/check/", "closing")
		}
	}
	for _, id := range list.IDs() {
		l.add("/plates/"+id+"/", "plate-"+id, "inputs", "outputs", "command-line", "used-in")
	}
	for _, p := range b.Pages() {
		l.add(p.Address(), pageAnchors(p.Lesson)...)
	}
	for _, one := range b.Lessons {
		part := strconv.Itoa(one.Part)
		l.add("/parts/" + part + "/")
		l.add("/lessons/", "part-"+part, "paths")
	}
	for _, t := range b.Terms {
		l.add("/glossary/", t.ID)
	}
	for _, s := range b.Sources {
		l.add("/sources/", s.Key)
	}
	for _, c := range b.Cast {
		l.add("/cast/", c.ID)
	}
	for _, c := range character.All() {
		l.add("/" + c.Path())
	}
	l.addresses = slices.Sorted(maps.Keys(l.anchors))
	return l
}

// pageAnchors are the places of a page that a link can lead to.
func pageAnchors(l lesson.Lesson) []string {
	out := []string{"references", "further-reading"}
	for _, h := range l.Prose.Headings {
		out = append(out, h.Anchor)
	}
	for _, b := range l.Blocks() {
		out = append(out, b.Anchors()...)
	}
	return out
}

func (l *links) add(address string, anchors ...string) {
	if l.anchors[address] == nil {
		l.anchors[address] = map[string]bool{}
	}
	for _, a := range anchors {
		l.anchors[address][a] = true
	}
}

// check reports the links of a page that lead nowhere.
func (l *links) check(p Page, log *report.Log) {
	for _, r := range p.Lesson.Prose.Links {
		if complaint := l.broken(p.Address(), r.Text); complaint != "" {
			log.Add(p.Lesson.File, r.Line, "link "+clip(r.Text)+complaint)
		}
	}
}

func (l *links) broken(from, target string) string {
	u, err := url.Parse(target)
	switch {
	case err != nil:
		return " is not readable as an address"
	case u.Scheme == "https" || u.Scheme == "mailto":
		return ""
	case u.Scheme != "" || u.Host != "":
		return ` must begin with "https://", or with "/" for a page of the handbook`
	case u.Path == "" && u.Fragment == "" && u.RawQuery == "":
		return " leads nowhere; write [words](/lessons/the-lesson/)"
	case u.Path != "" && !strings.HasPrefix(u.Path, "/"):
		return ` must begin at the root, as in "/lessons/the-lesson/"`
	}
	page := from
	if u.Path != "" {
		page = u.Path
	}
	anchors, ok := l.anchors[page]
	if !ok {
		return fmt.Sprintf(" leads to no page%s", l.offer(page, l.addresses))
	}
	anchor, _, _ := strings.Cut(u.Fragment, "?") // what follows is a plate's state
	if anchor != "" && !anchors[anchor] {
		return fmt.Sprintf(" leads to no place on its page%s", l.offer(anchor, slices.Sorted(maps.Keys(anchors))))
	}
	return ""
}
