package page

import (
	"cmp"
	"slices"
	"strings"
	"sync"

	"centrode/calc/catalog"
	"centrode/cmd/centrode/internal/book"
	"centrode/cmd/centrode/internal/keep"
	"centrode/cmd/centrode/internal/lesson"
	"centrode/cmd/centrode/internal/words"
)

// site is what all pages share. It is not written to after newSite, but for traces.
type site struct {
	Input
	templates   templates
	language    words.Language
	described   described
	starts      *starts
	footer      []Link
	sources     map[string]book.Source
	labels      map[string]string    // source key → "Buryanov and Kotiuk 2010"
	terms       map[string]book.Term // by id, name and other names, in lower case
	lessonIndex map[string]int       // slug → place in Book.Lessons
	revised     map[string]string    // revision of each calculator, by id
	contexts    contexts
	traces      traces
	done        func(file) // takes each finished page
}

// described is what Calculators say of themselves: a Spec costs more to build than most pages ask of it.
type described struct {
	ids   []string                // in the order of Calculators
	specs map[string]catalog.Spec // in the language, by id
}

// newSite prepares the pages of a language from the texts of the templates. What no language changes is taken from the first one's, if there is one.
func newSite(in Input, texts map[string]string, language words.Language, first *site) (*site, error) {
	s := &site{Input: in, language: language, traces: traces{list: make([]trace, 0, len(in.Book.Lessons)+64)}}
	var err error
	if s.templates, err = loadTemplates(texts, s.functions(), s.settle, language.Sum, in.Kept); err != nil {
		return nil, err
	}
	s.footer = s.footerLinks()
	if first != nil {
		s.sources, s.labels, s.terms, s.lessonIndex, s.revised, s.starts = first.sources, first.labels, first.terms, first.lessonIndex, first.revised, first.starts
	} else {
		s.list()
		s.revised, s.starts = s.revisions(), newStarts()
	}
	s.described = keep.Of(in.Kept, "described "+language.Sum, func() described {
		d := described{specs: make(map[string]catalog.Spec, len(in.Calculators))}
		for _, c := range in.Calculators {
			spec := c.Spec()
			d.ids, d.specs[spec.ID] = append(d.ids, spec.ID), language.Spec(spec)
		}
		return d
	})
	s.Proof = spoken{in.Proof, s}
	s.contexts = s.newContexts(first)
	return s, nil
}

// list makes what is looked up by name.
func (s *site) list() {
	s.sources, s.labels, s.terms = map[string]book.Source{}, labels(s.Book.Sources), map[string]book.Term{}
	s.lessonIndex = make(map[string]int, len(s.Book.Lessons))
	for _, source := range s.Book.Sources {
		s.sources[source.Key] = source
	}
	for _, term := range slices.Backward(s.Book.Terms) { // backward: the earlier entry wins a shared name
		for _, name := range append(slices.Clone(term.Also), term.Term, term.ID) {
			s.terms[strings.ToLower(name)] = term
		}
	}
	for i := range s.Book.Lessons {
		s.lessonIndex[s.Book.Lessons[i].Slug] = i
	}
}

func (s *site) calculator(id string) (catalog.Calculator, bool) {
	if i := slices.Index(s.described.ids, id); i >= 0 {
		return s.Calculators[i], true
	}
	return nil, false
}

// lessonLink leads to a lesson; ok is false when there is none with the slug.
func (s *site) lessonLink(slug string) (Link, bool) {
	i, ok := s.lessonIndex[slug]
	if !ok {
		return Link{}, false
	}
	l := s.Book.Lessons[i]
	return Link{Href: lessonHref(l.Slug), Text: l.Title, Note: l.Summary, English: true}, true
}

func (s *site) lessonLinks(refs []lesson.Ref) []Link {
	var list []Link
	for _, r := range refs {
		if link, ok := s.lessonLink(r.Text); ok {
			list = append(list, link)
		}
	}
	return list
}

// traces remember what each page used, for the lists at the end of the book.
type traces struct {
	mu     sync.Mutex
	list   []trace
	sorted bool
}

// trace is one page's use of the rest of the book.
type trace struct {
	order       int // of the page in the book
	link        Link
	terms       []string // ids that the page links
	defines     []string // ids that the page says it defines
	sources     []string // keys that the page cites
	further     []string // keys that it names as further reading alone
	calculators []use
	sum         string // a fingerprint of all the others
}

// use is one block that runs a calculator.
type use struct{ calculator, kind, title, anchor string }

func (t *traces) add(one trace) {
	t.mu.Lock()
	defer t.mu.Unlock()
	t.list, t.sorted = append(t.list, one), false
}

// afterLessons is the place of pages that stand in no order with the lessons.
const afterLessons = 1 << 30

// traced adds to a page what it used.
func (s *site) traced(t trace, one file) file {
	if s.Kept != nil {
		t.sum = keep.SumValues(t)
	}
	one.trace = &t
	return one
}

// where returns links to the pages for which has says yes, in the order of the book.
func (t *traces) where(has func(trace) bool) []Link {
	var list []Link
	for _, one := range t.inOrder() {
		if has(one) {
			list = append(list, one.link)
		}
	}
	return list
}

// inOrder returns the traces in the order of the book.
func (t *traces) inOrder() []trace {
	t.mu.Lock()
	defer t.mu.Unlock()
	if !t.sorted {
		slices.SortFunc(t.list, func(a, b trace) int {
			return cmp.Or(cmp.Compare(a.order, b.order), cmp.Compare(a.link.Href, b.link.Href))
		})
		t.sorted = true
	}
	return t.list
}
