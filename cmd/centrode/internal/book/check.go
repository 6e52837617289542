package book

import (
	"cmp"
	"fmt"
	"maps"
	"slices"
	"strconv"
	"strings"

	"centrode/calc/catalog"
	"centrode/calc/catalog/list"
	"centrode/calc/spell"
	"centrode/cmd/centrode/internal/keep"
	"centrode/cmd/centrode/internal/lesson"
	"centrode/cmd/centrode/internal/report"
)

// check looks for whatever one file says about another that is not so.
func check(b *Book, cast []castFile, log *report.Log, kept *keep.Store) {
	c := newChecker(b, log)
	c.glossary()
	c.sources()
	c.paths()
	c.cast(cast)
	c.order()
	c.prerequisites()
	for _, l := range b.Lessons {
		c.front(l)
	}
	for _, p := range b.Plates {
		c.calculator(p.Lesson.File, 0, p.Calculator)
	}
	links, keys := newLinks(b), keep.Sum(c.keys...)
	for _, p := range b.Pages() {
		c.prose(p.Lesson.File, p.Lesson.Prose)
		c.shared(p.Lesson)
		keep.Of(kept, "checked "+keep.Sum(p.Lesson.Sum, b.Context(p.Lesson), keys), func() bool {
			c.values(p.Lesson)
			c.blocks(p.Lesson)
			return true
		})
		links.check(p, log)
	}
}

// checker holds the names that exist.
type checker struct {
	*Book
	offers
	log     *report.Log
	slugs   []string
	isSlug  map[string]bool
	names   []string        // of terms
	isTerm  map[string]bool // by name in lower case
	keys    []string        // of sources
	isKey   map[string]bool
	pathIDs []string
}

func newChecker(b *Book, log *report.Log) *checker {
	c := &checker{Book: b, offers: manyOffers, log: log, isTerm: map[string]bool{}, isKey: map[string]bool{}, isSlug: map[string]bool{}}
	for _, l := range b.Lessons {
		c.slugs = append(c.slugs, l.Slug)
		c.isSlug[l.Slug] = true
	}
	for _, t := range b.Terms {
		for _, name := range t.names() {
			c.names = append(c.names, name)
			c.isTerm[strings.ToLower(name)] = true
		}
	}
	for _, s := range b.Sources {
		c.keys = append(c.keys, s.Key)
		c.isKey[s.Key] = true
	}
	for _, p := range b.Paths {
		c.pathIDs = append(c.pathIDs, p.ID)
	}
	return c
}

// unknown reports a word that should have been one of known.
func (c *checker) unknown(file string, line int, what, word string, known []string) {
	c.log.Add(file, line, fmt.Sprintf("%s %s is unknown%s", what, clip(word), c.offer(word, known)))
}

// offers is how many more unknown words of a book get the nearest known one told. A book of which all words are unknown has them
// wrong in one way, and is not to be waited for.
type offers int

const manyOffers offers = 200

func (o *offers) offer(word string, known []string) string {
	if *o <= 0 {
		return ""
	}
	*o--
	return spell.Offer(word, known)
}

// clip quotes a word for a message and keeps a huge one short.
func clip(word string) string {
	if len(word) > 60 {
		word = strings.ToValidUTF8(word[:57], "") + "…"
	}
	return strconv.Quote(word)
}

// calculator reports an unknown calculator and returns the Spec of a known one.
func (c *checker) calculator(file string, line int, id string) (catalog.Spec, bool) {
	spec, err := Spec(id)
	if err != nil {
		c.unknown(file, line, "calculator", id, list.IDs())
	}
	return spec, err == nil
}

func (c *checker) glossary() {
	first := map[string]Term{}
	inOrder := func(a, b Term) int { // ours before a studio's: the file at the root is the later word
		return cmp.Or(cmp.Compare(b.File, a.File), cmp.Compare(a.Line, b.Line))
	}
	for _, t := range slices.SortedFunc(slices.Values(c.Terms), inOrder) {
		for i, name := range t.names() {
			other, taken := first[strings.ToLower(name)]
			switch {
			case name == "":
			case !taken:
				first[strings.ToLower(name)] = t
			case other.File != t.File || other.Line != t.Line:
				what := []string{"id", "term", "other name"}[min(i, 2)]
				c.log.Add(t.File, t.Line, fmt.Sprintf("term %s: %s %s is already that of the term on line %d%s", clip(t.Term), what, clip(name), other.Line, c.elsewhere(other.File, t.File)))
			}
		}
		c.prose(t.File, t.prose)
		if len(t.prose.Values) > 0 {
			c.log.Add(t.File, t.prose.Values[0].Line, fmt.Sprintf("term %s: a definition cannot hold {=…}; there is no block to compute it", clip(t.Term)))
		}
	}
}

// elsewhere names the glossary that another entry stands in, where it is not the file of the message.
func (c *checker) elsewhere(other, file string) string {
	if other == file {
		return ""
	}
	return " of " + c.log.Called(other)
}

func (c *checker) sources() {
	first := map[string]int{}
	for _, s := range slices.SortedFunc(slices.Values(c.Sources), func(a, b Source) int { return a.Line - b.Line }) {
		if line, ok := first[s.Key]; ok && s.Key != "" {
			c.log.Add(s.File, s.Line, fmt.Sprintf("source %s: the key is used twice; the first is on line %d", clip(s.Key), line))
		} else {
			first[s.Key] = s.Line
		}
	}
	inOrder := func(a, b Fact) int { return cmp.Or(strings.Compare(a.File, b.File), a.Line-b.Line) }
	for _, f := range slices.SortedFunc(maps.Values(c.Facts), inOrder) { // only the first unknown keys get the nearest known one
		if f.Source != "" && !c.isKey[f.Source] {
			c.unknown(f.File, f.Line, "fact "+clip(f.ID)+": source", f.Source, c.keys)
		}
	}
}

func (c *checker) paths() {
	for _, p := range c.Paths {
		seen := map[string]int{}
		for _, r := range p.Lessons {
			if !c.isSlug[r.Text] {
				c.unknown(p.File, r.Line, "lesson", r.Text, c.slugs)
			}
			if line, ok := seen[r.Text]; ok {
				c.log.Add(p.File, r.Line, fmt.Sprintf("lesson %s is in the path twice; the first is on line %d", clip(r.Text), line))
			} else {
				seen[r.Text] = r.Line
			}
		}
		for _, r := range p.Checks {
			if !slices.ContainsFunc(c.Checks, func(l lesson.Lesson) bool { return l.Slug == r.Text }) {
				c.unknown(p.File, r.Line, "quick check", r.Text, c.checkSlugs())
			}
		}
		c.closing(p)
	}
}

// closing checks the exercises of a path's check: each is one of a lesson of the path, and stands once, as do ids, which
// share a page there.
func (c *checker) closing(p Path) {
	var known []string
	for _, r := range p.Lessons {
		for _, l := range c.Lessons {
			if l.Slug != r.Text {
				continue
			}
			for _, e := range l.Exercises {
				known = append(known, l.Slug+"/"+e.ID)
			}
		}
	}
	ids := map[string]bool{}
	for _, r := range p.Closing {
		_, id, _ := strings.Cut(r.Text, "/")
		switch {
		case !slices.Contains(known, r.Text):
			c.unknown(p.File, r.Line, "exercise", r.Text, known)
		case ids[id]:
			c.log.Add(p.File, r.Line, fmt.Sprintf("exercise %s is in the check twice, or another has its name", clip(r.Text)))
		}
		ids[id] = true
	}
}

func (c *checker) checkSlugs() []string {
	var list []string
	for _, l := range c.Checks {
		list = append(list, l.Slug)
	}
	return list
}

func (c *checker) cast(cast []castFile) {
	first := map[string]string{}
	for _, known := range list.All() {
		spec := known.Spec()
		for _, p := range spec.Presets {
			first[spec.ID+" "+p.ID] = "the calculator itself"
		}
	}
	for _, who := range cast {
		for i, p := range who.Presets {
			name := p.Calculator.Text + " " + p.ID
			if other, ok := first[name]; ok {
				c.log.Add(who.File, p.Line, fmt.Sprintf("preset %s: %s has a preset of that id in %s", clip(p.ID), p.Calculator.Text, other))
			}
			first[name] = fmt.Sprintf("%s:%d", c.log.Called(who.File), p.Line)
			if p.Calculator.Text == "" {
				continue
			}
			if spec, ok := c.calculator(who.File, p.Calculator.Line, p.Calculator.Text); ok {
				c.given(who.File, p.ID, spec, who.values[i])
			}
		}
	}
}

// order reports two lessons that claim one place.
func (c *checker) order() {
	for i, l := range c.Lessons[:max(len(c.Lessons)-1, 0)] {
		next := c.Lessons[i+1]
		if l.Part == next.Part && l.Order == next.Order && l.Order > 0 {
			c.log.Add(next.File, next.OrderLine, fmt.Sprintf("part %d already has a lesson of order %d: %s", l.Part, l.Order, c.log.Called(l.File)))
		}
	}
}

// front checks what only a lesson's front matter has.
func (c *checker) front(l lesson.Lesson) {
	for _, r := range l.Needs {
		if !c.isSlug[r.Text] {
			c.unknown(l.File, r.Line, "needs: lesson", r.Text, c.slugs)
		}
	}
	for _, r := range l.Audience {
		if !slices.Contains(c.pathIDs, r.Text) {
			c.unknown(l.File, r.Line, "audience: path", r.Text, c.pathIDs)
		}
	}
	for _, r := range l.Calculators {
		c.calculator(l.File, r.Line, r.Text)
	}
}

// shared checks what the front matter of every page may have.
func (c *checker) shared(l lesson.Lesson) {
	for _, r := range l.Terms {
		if !c.isTerm[strings.ToLower(r.Text)] {
			c.unknown(l.File, r.Line, "terms: term", r.Text, c.names)
		}
	}
	for _, r := range l.Sources {
		if !c.isKey[r.Text] {
			c.unknown(l.File, r.Line, "sources: source", r.Text, c.keys)
		}
	}
}

// prose checks what running text refers to.
func (c *checker) prose(file string, p lesson.Prose) {
	for _, r := range p.Terms {
		if !c.isTerm[strings.ToLower(r.Text)] {
			c.unknown(file, r.Line, "term", r.Text, c.names)
		}
	}
	for _, r := range p.Citations {
		switch {
		case c.isKey[r.Text]:
		case strings.ContainsAny(r.Text, ";@"):
			c.log.Add(file, r.Line, "citation "+clip(r.Text)+" names more than one source; write [@one] [@two]")
		default:
			c.unknown(file, r.Line, "source", r.Text, c.keys)
		}
	}
}

// values checks every {=…} of a page.
func (c *checker) values(l lesson.Lesson) {
	for _, r := range l.Prose.Values {
		if _, err := c.Value(l, r.Text); err != nil {
			c.log.Add(l.File, r.Line, "{="+strings.Trim(clip(r.Text), `"`)+"}: "+err.Error())
		}
	}
}
