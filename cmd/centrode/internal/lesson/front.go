package lesson

import (
	"fmt"
	"regexp"

	"centrode/cmd/centrode/internal/outline"
)

var (
	idPattern = regexp.MustCompile(`^[a-z0-9]+(-[a-z0-9]+)*$`)
	devices   = regexp.MustCompile(`^(con|prn|aux|nul|(com|lpt)[0-9])$`)
)

// LastOrder is the highest order of a lesson within its part.
const LastOrder = 9999

// lessonFront reads the front matter of a lesson.
func lessonFront(p *parser, n *outline.Node) {
	f := p.frontForm(n, []string{"title", "summary", "part", "order", "minutes"},
		[]string{"needs", "terms", "plates", "audience", "sources"})
	p.common(f)
	p.out.Part = f.Int("part", 1, 3)
	p.out.Order = f.Int("order", 1, LastOrder)
	p.out.OrderLine = f.Line("order")
	p.out.Minutes = f.Int("minutes", 1, 240)
	p.out.Needs = p.slugs(f, "needs")
	p.out.Calculators = p.slugs(f, "plates")
	p.out.Audience = p.slugs(f, "audience")
}

// pageFront reads the front matter of a page that is no lesson.
func pageFront(p *parser, n *outline.Node) {
	p.common(p.frontForm(n, []string{"title", "summary"}, []string{"terms", "sources"}))
}

func (p *parser) frontForm(n *outline.Node, required, optional []string) *outline.Form {
	if n != nil && n.Kind == outline.Empty {
		n = &outline.Node{Kind: outline.Map, Line: n.Line} // an empty front matter lacks every required key
	}
	return outline.NewForm(n, "front matter", 1, required, optional, p.place(0))
}

func (p *parser) common(f *outline.Form) {
	p.out.Title = f.Title("title")
	p.out.Summary = f.Text("summary")
	p.out.Terms = refs(f.Words("terms"))
	p.out.Sources = refs(f.Words("sources"))
}

// slugs reads a list of ids, each once.
func (p *parser) slugs(f *outline.Form, key string) []Ref {
	list := refs(f.Words(key))
	seen := map[string]int{}
	for _, r := range list {
		if complaint := Unfit(r.Text); complaint != "" {
			p.problem(r.Line, fmt.Sprintf("front matter: %s: %q: %s", key, r.Text, complaint))
		}
		if first, ok := seen[r.Text]; ok {
			p.problem(r.Line, fmt.Sprintf("front matter: %s: %q is given twice; the first is on line %d", key, r.Text, first))
		}
		seen[r.Text] = r.Line
	}
	return list
}

func refs(words []outline.Word) []Ref {
	var out []Ref
	for _, w := range words {
		out = append(out, Ref(w))
	}
	return out
}

// Unfit is what is wrong with the id of a lesson, a block or a term, "" for nothing. Lessons and blocks become files and folders, and what is
// written on one system is read on the others.
func Unfit(id string) string {
	switch {
	case !idPattern.MatchString(id):
		return "must be lower-case words joined by hyphens"
	case devices.MatchString(id):
		return "is what Windows calls a device, and no file or folder there can have that name; choose another"
	}
	return ""
}
