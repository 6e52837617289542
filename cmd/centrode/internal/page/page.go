// Package page turns the book into HTML: one file for every lesson, part, path, plate and list of the handbook.
//
// Start at Each. Everything a page shows is gathered in one typed struct, already rounded and worded, and a template
// of theme/templates with the page's name prints it; template.HTML is made in this package only. Numbers come from the
// proof, printed by the code that prints them live (calc/plate), so that page and calculator cannot differ. The package
// writes nothing to disk and keeps nothing between calls.
//
// No output has an inline script or a style attribute: the pages are meant for a strict content policy.
package page

import (
	"bytes"
	"io/fs"
	"runtime"
	"strconv"
	"sync"

	"centrode/calc/catalog"
	"centrode/calc/plate"
	"centrode/cmd/centrode/internal/book"
	"centrode/cmd/centrode/internal/history"
	"centrode/cmd/centrode/internal/keep"
	"centrode/cmd/centrode/internal/maths"
	"centrode/cmd/centrode/internal/palette"
	"centrode/cmd/centrode/internal/report"
	"centrode/cmd/centrode/internal/words"
)

// Answers is what pages ask of the proof. A page is a lesson's slug, "plates/CALCULATOR", "checks/SLUG" or "home".
type Answers interface {
	// Answer is the run behind a worked example, an exercise or a plate.
	Answer(page, block string) (catalog.Answer, bool)
	// Pair is the two runs behind a comparison.
	Pair(page, block string) (current, candidate catalog.Answer, ok bool)
	// Print is the text of a value in prose, with its unit.
	Print(page, ref string) (string, error)
	// Question is an exercise as data, with those of the values named by refs that it holds itself.
	Question(page, block string, refs []string) (plate.Recipe, bool)
}

// Input is what pages are made from.
type Input struct {
	Book        *book.Book
	Calculators []catalog.Calculator // in the order of the handbook
	Proof       Answers
	Asset       func(name string) string // address of "site.css", "site.js", "calculators.wasm" or "icon.svg"; those of "site.modules"
	Templates   fs.FS                    // theme/templates
	Words       []words.Language         // of the interface; the first at the root, the others below their tags
	Changes     []history.Release        // the newest first
	Paper       palette.Pair             // the ground of every page, which browsers give to their own bars
	Maths       *maths.Renderer
	Log         *report.Log // gets every problem found on the way
	// Shorten makes a finished page smaller, in memory of its own; nil leaves it as it is.
	Shorten func(path string, page []byte) ([]byte, error)
	Kept    *keep.Store // what an earlier call made; nil makes all anew
}

// Page is a finished page.
type Page struct {
	Path    string // "lessons/the-finger/index.html"
	Content []byte
	Key     string // names all that it was made from, for who keeps what follows from it; empty for one that is made each time
}

// Each renders every page in each language of the interface and hands it to put as soon as it is there, from many goroutines;
// last comes the index for programs, index.json. It returns the characters that they show. Nothing of a page but its outline
// is kept, so that a book of any length can be rendered. Problems go to in.Log; a page with a problem is still rendered
// as far as it goes, so that one run tells all of them.
func Each(in Input, put func(Page)) Letters {
	w := &web{pages: make(map[string]outline, 4*len(in.Book.Lessons))}
	texts, err := readTemplates(in.Templates)
	var sites []*site
	for _, language := range in.Words {
		var s *site
		if err == nil {
			s, err = newSite(in, texts, language, w.site)
		}
		if err != nil {
			in.Log.Add("theme/templates", 0, err.Error())
			return Letters{}
		}
		if w.site == nil {
			w.site = s
		}
		s.done = func(one file) {
			if one.path == "" {
				return
			}
			if one.trace != nil {
				s.traces.add(*one.trace)
			}
			one.path = s.prefix() + one.path
			w.add(one)
			put(Page{one.path, one.content, one.key})
		}
		sites = append(sites, s)
	}
	if w.site == nil {
		return Letters{}
	}
	renderProse(sites)
	for _, s := range sites {
		s.renderLists()
	}
	feed := w.site.feed()
	w.add(feed)
	put(Page{Path: feed.path, Content: feed.content})
	w.checkOnce()
	index := w.site.index()
	put(Page{Path: index.path, Content: index.content})
	return w.letters()
}

// file is one finished page.
type file struct {
	path    string
	content []byte
	key     string // see Page
	trace   *trace // what it used of the rest of the book; nil when it only lists what others used
	outline outline
}

// finish reads what the others need of a page, and makes it small. It does not keep what it was given.
func (s *site) finish(path string, content []byte) file {
	one := file{path: path, outline: readOutline(content)}
	if s.Kept != nil {
		one.outline.sum = one.outline.fingerprint()
	}
	if s.Shorten == nil {
		one.content = bytes.Clone(content)
		return one
	}
	short, err := s.Shorten(path, content)
	if err != nil {
		s.Log.Add("public/"+path, 0, err.Error())
	} else {
		one.content = short
	}
	return one
}

// kept returns the page that an earlier call made from the same text and context.
func (s *site) kept(path, context string, render func() file) file {
	key := "page " + s.prefix() + path + " " + context
	return keep.Of(s.Kept, key, func() file {
		one := render()
		one.key = key
		return one
	})
}

// renderProse renders what holds prose: lessons, plates and the home page. It goes first because the lists say which
// lesson uses which term, source and plate. The pages of a lesson are made one after the other, since they share their drawings.
func renderProse(sites []*site) {
	var jobs []func()
	for i := range sites[0].Book.Lessons {
		jobs = append(jobs, func() {
			alike := newShared()
			for _, s := range sites {
				l := &s.Book.Lessons[i]
				s.done(s.kept(l.Slug, s.contextOf(l, "lesson.tmpl", s.neighbours(i)...), func() file { return s.lesson(i, alike) }))
				s.embeds(l, alike)
			}
		})
	}
	for _, s := range sites {
		for _, c := range s.Calculators {
			jobs = append(jobs, func() {
				l := s.words(s.idOf(c))
				s.done(s.kept(platesPage+s.idOf(c), s.contextOfPlate(s.specOf(c), &l, "plate.tmpl"), func() file { return s.plate(c) }))
				s.embedsOf(c, &l)
			})
		}
		for i := range s.Book.Checks {
			l := &s.Book.Checks[i]
			jobs = append(jobs, func() {
				others := s.checkLinks(func(string) bool { return true })
				s.done(s.kept(checksPage+l.Slug, s.contextOf(l, "check.tmpl", keep.SumValues(others)), func() file { return s.checkPage(i) }))
			})
		}
		jobs = append(jobs, s.inWhole("opening", s.contextOfLists(), s.home, s.room, s.specimens)...)
	}
	inParallel(jobs)
}

// renderLists renders the pages that only list what others say.
func (s *site) renderLists() {
	jobs := []func() file{s.missing, s.offline, s.changes}
	add := func(exists bool, job func() file) {
		if exists {
			jobs = append(jobs, job)
		}
	}
	add(len(s.Book.Lessons) > 0, s.lessons)
	add(len(s.Book.Lessons) > 0, s.progress)
	add(len(s.Book.Paths) > 0, s.paths)
	add(len(s.Book.Checks) > 0, s.checks)
	add(len(s.Calculators) > 0, s.sheet)
	add(len(s.Calculators) > 0, s.plates)
	add(len(s.Book.Terms) > 0, s.glossary)
	add(len(s.Book.Sources) > 0, s.sourceList)
	add(len(s.Book.Cast) > 0, s.cast)
	for _, p := range s.parts() {
		jobs = append(jobs, func() file { return s.part(p) })
	}
	for _, p := range s.Book.Paths {
		jobs = append(jobs, func() file { return s.path(p) })
		add(len(p.Closing) > 0, func() file { return s.closing(p) })
	}
	inParallel(s.inWhole("list", s.contextOfLists(), jobs...))
}

// inWhole are the jobs of pages of a kind that may show what any page lists. Their order names them.
func (s *site) inWhole(kind, context string, renders ...func() file) []func() {
	var jobs []func()
	for i, render := range renders {
		jobs = append(jobs, func() { s.done(s.kept(kind+" "+strconv.Itoa(i)+" of "+strconv.Itoa(len(renders)), context, render)) })
	}
	return jobs
}

// inParallel runs the jobs on all cores.
func inParallel(jobs []func()) {
	next := make(chan func())
	var wait sync.WaitGroup
	for range min(runtime.GOMAXPROCS(0), len(jobs)) {
		wait.Go(func() {
			for job := range next {
				job()
			}
		})
	}
	for _, job := range jobs {
		next <- job
	}
	close(next)
	wait.Wait()
}

// print executes the template called name for a page struct.
func (s *site) print(path, name string, data any) file {
	page, ok := s.templates.pages[name]
	if !ok {
		s.Log.Add("theme/templates/"+name, 0, "is missing; it prints "+path)
		return file{}
	}
	printed, whole := scratch(), scratch()
	defer used(printed)
	defer used(whole)
	if err := page.ExecuteTemplate(printed, name, data); err != nil {
		s.Log.Add("theme/templates/"+name, 0, err.Error())
	}
	s.localise(whole, path, printed.Bytes())
	return s.finish(path, whole.Bytes())
}
