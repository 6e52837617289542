package book

import (
	"cmp"
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"path"
	"runtime"
	"slices"
	"strings"
	"sync"

	"centrode/cmd/centrode/internal/keep"
	"centrode/cmd/centrode/internal/lesson"
	"centrode/cmd/centrode/internal/report"
)

// Where content lies, from the root that Load is given.
const (
	lessonsDir   = "content/lessons"
	platesDir    = "content/plates"
	checksDir    = "content/checks"
	pathsDir     = "content/paths"
	castDir      = "content/cast"
	homeFile     = "content/home.md"
	roomFile     = "content/fitting-room.md"
	specimenFile = "content/specimens.md"
	glossaryFile = "content/glossary.yaml"
	sourcesFile  = "content/sources.json"
	factsFile    = "content/facts.csv"
)

// addedDir holds the glossary, sources and facts of a studio, which add to ours: an entry replaces ours of the same id.
const addedDir = "content/added"

// added is where a studio's file of the same name lies.
func added(file string) string { return path.Join(addedDir, path.Base(file)) }

// merged puts the studio's entries in place of ours of the same id, and the others behind.
func merged[T any](ours, theirs []T, id func(T) string) []T {
	replaced := map[string]bool{}
	for _, one := range theirs {
		replaced[id(one)] = true
	}
	return append(slices.DeleteFunc(slices.Clone(ours), func(one T) bool { return replaced[id(one)] }), theirs...)
}

// Load reads all content from the project's root and checks it against itself and the calculators. It returns what
// could be read; everything that is wrong is in log. Files and folders that are not there are taken as empty.
func Load(root fs.FS, log *report.Log) *Book { return LoadKept(root, log, nil) }

// LoadKept is Load for a caller that loads again and again: what was read before, and has not changed, is not read anew.
func LoadKept(root fs.FS, log *report.Log, kept *keep.Store) *Book {
	l := loader{root, log, kept}
	b := &Book{}
	b.Lessons = l.markdown(lessonsDir, lesson.Parse)
	slices.SortStableFunc(b.Lessons, func(a, b lesson.Lesson) int {
		return cmp.Or(cmp.Compare(a.Part, b.Part), cmp.Compare(a.Order, b.Order), cmp.Compare(a.Slug, b.Slug))
	})
	for _, page := range l.markdown(platesDir, lesson.ParsePage) {
		b.Plates = append(b.Plates, PlatePage{page.Slug, page})
	}
	b.Checks = l.markdown(checksDir, lesson.ParsePage)
	for name, page := range map[string]*lesson.Lesson{homeFile: &b.Home, roomFile: &b.Room, specimenFile: &b.Specimens} {
		if source, ok := l.read(name); ok {
			*page = lesson.ParsePage(name, source, log)
		}
	}
	b.Terms = merged(l.glossary(glossaryFile), l.glossary(added(glossaryFile)), func(t Term) string { return t.ID })
	slices.SortStableFunc(b.Terms, func(a, b Term) int { return strings.Compare(strings.ToLower(a.Term), strings.ToLower(b.Term)) })
	b.Sources = merged(l.sources(sourcesFile), l.sources(added(sourcesFile)), func(s Source) string { return s.Key })
	slices.SortStableFunc(b.Sources, func(a, b Source) int { return strings.Compare(a.Key, b.Key) })
	b.Facts = l.facts(factsFile)
	if theirs := l.facts(added(factsFile)); len(theirs) > 0 {
		all := map[string]Fact{}
		maps.Copy(all, b.Facts)
		maps.Copy(all, theirs)
		b.Facts = all
	}
	b.Paths = l.paths()
	cast := b.people(l)
	b.pages = b.Pages()
	check(b, cast, log, kept)
	return b
}

// Cast reads the invented cast alone and checks it: a Book that holds nothing else, for whoever wants its presets.
func Cast(root fs.FS, log *report.Log) *Book {
	b := &Book{}
	cast := b.people(loader{root: root, log: log})
	newChecker(b, log).cast(cast)
	return b
}

// people takes the cast into the book.
func (b *Book) people(l loader) []castFile {
	cast := l.cast()
	for _, c := range cast {
		b.Cast = append(b.Cast, c.Character)
	}
	return cast
}

type loader struct {
	root fs.FS
	log  *report.Log
	kept *keep.Store
}

// read returns a file's bytes; ok is false when it is not there or cannot be read, which is reported.
func (l loader) read(file string) (source []byte, ok bool) {
	source, err := lesson.Plain(l.root, file)
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		l.log.Add(file, 0, err.Error())
	}
	return source, err == nil
}

// text reads a file that must be text; ok is false when there is nothing to go on with.
func (l loader) text(file string) (source []byte, ok bool) {
	source, ok = l.read(file)
	if !ok {
		return nil, false
	}
	text, line, complaint := lesson.Clean(source)
	if complaint != "" {
		l.log.Add(file, line, complaint)
		return nil, false
	}
	return text, true
}

// parsed is what parse makes of a file's text, or nothing where there is none. One that was parsed before and has not changed is not parsed again,
// so nobody may write to it.
func parsed[T any](l loader, file string, parse func(file string, source []byte) T) T {
	var none T
	source, ok := l.text(file)
	if !ok {
		return none
	}
	return keep.Of(l.kept, fmt.Sprintf("parsed %T ", none)+keep.SumFile(file, source), func() T { return parse(file, source) })
}

// files lists a folder's files with the extension, sorted by name. Whatever else lies there is reported, but for what was only left there.
func (l loader) files(folder, extension string) []string {
	entries, err := fs.ReadDir(l.root, folder)
	if err != nil {
		if !errors.Is(err, fs.ErrNotExist) {
			l.log.Add(folder, 0, "cannot be read: "+err.Error())
		}
		return nil
	}
	var out []string
	for _, e := range entries {
		file := path.Join(folder, e.Name())
		switch {
		case lesson.IsLeft(e.Name()):
		case e.IsDir():
			l.log.Add(file, 0, "is a folder; the files of "+folder+" lie side by side")
		case path.Ext(e.Name()) != extension:
			l.log.Add(file, 0, "is not read; files of "+folder+" end in "+extension)
		default:
			out = append(out, file)
		}
	}
	return out
}

// markdown parses a folder of pages on all cores and returns them in the order of their names.
func (l loader) markdown(folder string, parse func(string, []byte, *report.Log) lesson.Lesson) []lesson.Lesson {
	files := l.files(folder, ".md")
	pages := make([]lesson.Lesson, len(files))
	next := make(chan int)
	var wait sync.WaitGroup
	for range min(runtime.GOMAXPROCS(0), len(files)) {
		wait.Go(func() {
			for i := range next {
				if source, ok := l.read(files[i]); ok {
					pages[i] = keep.Of(l.kept, "parsed "+keep.SumFile(files[i], source), func() lesson.Lesson { return parse(files[i], source, l.log) })
				}
			}
		})
	}
	for i := range files {
		next <- i
	}
	close(next)
	wait.Wait()
	return slices.DeleteFunc(pages, func(p lesson.Lesson) bool { return p.File == "" })
}

// stem is a file's name without folder and extension.
func stem(file string) string { return strings.TrimSuffix(path.Base(file), path.Ext(file)) }
