// Package page turns the book into HTML: one file for every lesson, part, path, plate and list of the handbook.
//
// Start at Render. Everything a page shows is gathered in one typed struct, already rounded and worded, and a template
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
	"slices"
	"sync"

	"centrode/calc/catalog"
	"centrode/calc/plate"
	"centrode/cmd/centrode/internal/book"
	"centrode/cmd/centrode/internal/history"
	"centrode/cmd/centrode/internal/maths"
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
	Asset       func(name string) string // address of "site.css", "site.js", "calculators.wasm" or "icon.svg"
	Templates   fs.FS                    // theme/templates
	Words       []words.Language         // of the interface; the first at the root, the others below their tags
	Changes     []history.Release        // the newest first
	Maths       *maths.Renderer
	Log         *report.Log // gets every problem found on the way
}

// Render returns every page by its path, "lessons/the-finger/index.html", in each language of the interface, and the index for
// programs, index.json. Problems go to in.Log; a page with a problem is still rendered as far as it goes, so that one run
// tells all of them.
func Render(in Input) map[string][]byte {
	files := map[string][]byte{}
	var first *site
	for _, language := range in.Words {
		s, err := newSite(in, language)
		if err != nil {
			in.Log.Add("theme/templates", 0, err.Error())
			return nil
		}
		if first == nil {
			first = s
		}
		for _, one := range append(s.renderProse(), s.renderLists()...) {
			files[s.prefix()+one.path] = one.content
		}
	}
	if first == nil {
		return nil
	}
	files[FeedPath] = first.feed().content
	checkLinks(files, first)
	index := first.index()
	files[index.path] = index.content
	return files
}

// file is one finished page.
type file struct {
	path    string
	content []byte
}

// renderProse renders what holds prose: lessons, plates and the home page. It goes first because the lists say which
// lesson uses which term, source and plate.
func (s *site) renderProse() []file {
	var jobs []func() file
	for i := range s.Book.Lessons {
		jobs = append(jobs, func() file { return s.lesson(i) })
	}
	for _, c := range s.Calculators {
		jobs = append(jobs, func() file { return s.plate(c) })
	}
	for i := range s.Book.Checks {
		jobs = append(jobs, func() file { return s.checkPage(i) })
	}
	return inParallel(append(append(jobs, s.embeds()...), s.home, s.room))
}

// renderLists renders the pages that only list what others say.
func (s *site) renderLists() []file {
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
	return inParallel(jobs)
}

// inParallel runs the jobs on all cores and returns their files in the order of the jobs.
func inParallel(jobs []func() file) []file {
	files := make([]file, len(jobs))
	next := make(chan int)
	var wait sync.WaitGroup
	for range min(runtime.GOMAXPROCS(0), len(jobs)) {
		wait.Go(func() {
			for i := range next {
				files[i] = jobs[i]()
			}
		})
	}
	for i := range jobs {
		next <- i
	}
	close(next)
	wait.Wait()
	return slices.DeleteFunc(files, func(f file) bool { return f.path == "" })
}

// print executes the template called name for a page struct.
func (s *site) print(path, name string, data any) file {
	page, ok := s.templates.pages[name]
	if !ok {
		s.Log.Add("theme/templates/"+name, 0, "is missing; it prints "+path)
		return file{}
	}
	var b bytes.Buffer
	if err := page.ExecuteTemplate(&b, name, data); err != nil {
		s.Log.Add("theme/templates/"+name, 0, err.Error())
	}
	return file{path, s.localise(path, b.Bytes())}
}
