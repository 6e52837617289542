package site

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"sync"

	"centrode/calc/catalog/list"
	"centrode/cmd/centrode/internal/book"
	"centrode/cmd/centrode/internal/history"
	"centrode/cmd/centrode/internal/keep"
	"centrode/cmd/centrode/internal/lesson"
	"centrode/cmd/centrode/internal/maths"
	"centrode/cmd/centrode/internal/page"
	"centrode/cmd/centrode/internal/palette"
	"centrode/cmd/centrode/internal/proof"
	"centrode/cmd/centrode/internal/report"
	"centrode/cmd/centrode/internal/words"
	ours "centrode/content"
)

// content is the book with its numbers proved, ready to be rendered.
type content struct {
	book      *book.Book
	proof     *proof.Proof
	templates fs.FS
	words     []words.Language
	maths     *maths.Renderer
	changes   []history.Release
	paper     palette.Pair // the ground of every page
	log       *report.Log
	kept      *keep.Store
}

// readContent loads and proves the book. Folders are opened as roots, so that no link in them leads elsewhere.
func readContent(w *workshop) (*content, error) {
	text, err := w.open("content")
	if err != nil {
		return nil, err
	}
	templates, err := w.open("theme/templates")
	if err != nil {
		return nil, err
	}
	says, err := w.open(words.Dir)
	if err != nil {
		return nil, err
	}
	colours, err := w.assetOptions().AllColours()
	if err != nil {
		return nil, err
	}
	if w.kept != nil {
		templates = newRecalling(templates, w.kept)
	}
	c := &content{log: &report.Log{}, templates: templates, paper: colours["paper"], kept: w.kept}
	tree := fs.FS(under{"content", text})
	if w.over != nil {
		c.log.Name = w.over.called
		w.over.check(c.log)
		tree = layered{tree, w.over}
	}
	if w.kept != nil {
		tree = newRecalling(tree, w.kept)
	}
	if c.words, err = loadWords(says, c.log, w.kept); err != nil {
		return nil, err
	}
	if err := c.readMaths(w); err != nil {
		return nil, err
	}
	if err := c.readChanges(w); err != nil {
		return nil, err
	}
	c.book = book.LoadKept(tree, c.log, w.kept)
	c.proof = proof.Run(c.book, c.log, w.kept)
	return c, nil
}

// Cast reads the presets of the cast that the command carries, with those of a studio's folder over them; "" for none.
func Cast(overlay string) (*book.Book, error) {
	w := &workshop{release: func() {}}
	defer w.close()
	over, err := w.openOverlay(overlay)
	if err != nil {
		return nil, err
	}
	log, tree := &report.Log{}, fs.FS(under{"content", ours.Cast})
	if over != nil {
		log.Name, tree = over.called, layered{tree, over}
		over.check(log)
	}
	b := book.Cast(tree, log)
	return b, log.Err()
}

// loadWords reads them anew only when a file of theirs has changed.
func loadWords(says fs.FS, log *report.Log, kept *keep.Store) ([]words.Language, error) {
	if kept == nil {
		return words.Load(says, log), nil
	}
	names, err := fs.Glob(says, "*")
	var parts []string
	for _, name := range names {
		text, unread := fs.ReadFile(says, name)
		parts, err = append(parts, name, string(text)), errors.Join(err, unread)
	}
	return keep.Of(kept, "words "+keep.Sum(parts...), func() []words.Language { return words.Load(says, log) }), err
}

// readChanges reads what the feed tells. A project without the file has no changes yet.
func (c *content) readChanges(w *workshop) error {
	source, err := os.ReadFile(filepath.Join(w.root, history.File))
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	if err != nil {
		return err
	}
	if len(bytes.TrimSpace(source)) == 0 { // nor has one with an empty file
		return nil
	}
	text, line, complaint := lesson.Clean(source)
	if complaint != "" {
		c.log.Add(history.File, line, complaint)
	}
	c.changes = history.Parse(string(text), c.log)
	return nil
}

// under shows a folder's tree below a name. The book names its files from the project's folder, but may read only below
// content, whatever links lie there.
type under struct {
	name string
	tree fs.FS
}

// Open implements fs.FS.
func (u under) Open(name string) (fs.File, error) {
	if name == u.name {
		return u.tree.Open(".")
	}
	rest, ok := strings.CutPrefix(name, u.name+"/")
	if !ok || !fs.ValidPath(name) {
		return nil, &fs.PathError{Op: "open", Path: name, Err: fs.ErrNotExist}
	}
	return u.tree.Open(rest)
}

// Stat implements fs.StatFS.
func (u under) Stat(name string) (fs.FileInfo, error) {
	return fs.Stat(u.tree, strings.TrimPrefix(name, u.name+"/"))
}

// render makes the pages and hands each to put, made smaller by shorten unless that is nil; what is wrong goes to the log. It
// returns the characters that they show.
func (c *content) render(asset func(name string) string, shorten func(name string, page []byte) ([]byte, error), put func(page.Page)) page.Letters {
	return page.Each(page.Input{Book: c.book, Calculators: list.All(), Proof: c.proof, Asset: asset, Templates: c.templates,
		Words: c.words, Changes: c.changes, Paper: c.paper, Maths: c.maths, Log: c.log, Shorten: shorten, Kept: c.kept}, put)
}

// count counts what the book holds.
func (c *content) count() Summary {
	s := Summary{Lessons: len(c.book.Lessons), Calculators: len(list.All())}
	for _, l := range c.book.Lessons {
		s.Worked += len(l.Worked)
		s.Exercises += len(l.Exercises)
		s.Plates += len(l.Plates) + len(l.Compares)
	}
	for _, p := range c.book.Plates {
		s.Worked += len(p.Lesson.Worked)
		s.Exercises += len(p.Lesson.Exercises)
		s.Plates += len(p.Lesson.Plates) + len(p.Lesson.Compares)
	}
	for _, l := range c.book.Checks {
		s.Plates += len(l.Plates)
	}
	return s
}

// temmlFile is the converter from TeX to MathML, as npm installs it.
const temmlFile = "theme/node_modules/temml/dist/temml.min.js"

// converters has one renderer for each text of the converter, whatever is built: what a formula becomes hangs on nothing else, and
// to convert those of all calculators' derivations takes a second.
var converters sync.Map

func converter(source string) (*maths.Renderer, error) {
	make, _ := converters.LoadOrStore(source, sync.OnceValues(func() (*maths.Renderer, error) { return maths.New(source) }))
	return make.(func() (*maths.Renderer, error))()
}

func (c *content) readMaths(w *workshop) error {
	source, err := os.ReadFile(filepath.Join(w.root, filepath.FromSlash(temmlFile)))
	if err != nil {
		return fmt.Errorf("%s: the converter for formulas is not there; run npm ci in theme", temmlFile)
	}
	made, err := converter(string(source))
	if err != nil {
		return fmt.Errorf("%s: %w", temmlFile, err)
	}
	c.maths = made
	return nil
}
