// Package site is the order of work: load the content, prove its numbers, render the pages, write the folder.
//
// Start at Build; what Maker returns stops before the disk, and Check before the assets. Beside preview it is the only room that
// touches the disk for content and pages; everything between takes an fs.FS and returns values. The same input gives
// the same bytes in any folder and at any time: no clock and no path of the machine reaches a page, and every order is
// sorted. Slow results are kept in the project's .cache folder, which may be removed at any time.
package site

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"syscall"
	"time"

	"centrode/calc/character"
	"centrode/cmd/centrode/internal/asset"
	"centrode/cmd/centrode/internal/keep"
	"centrode/cmd/centrode/internal/page"
	"centrode/cmd/centrode/internal/palette"
	"centrode/cmd/centrode/internal/proof"
	"centrode/cmd/centrode/internal/report"
)

// Options says what to build. Only Root is required.
type Options struct {
	Root string // folder of go.mod
	Out  string // folder of the site; "" is public under Root
	// Overlay is a studio's folder over ours; "" for none.
	Overlay string
	Draft   bool              // spare the slow compression: only copies that the cache holds
	Note    func(line string) // told what takes long or changes the disk; nil tells nobody
}

// Summary counts what a build made.
type Summary struct {
	Pages, Lessons, Worked, Exercises, Plates, Calculators int
	Files                                                  int // compressed copies included
	Bytes                                                  int // compressed copies excluded
	WASM, WASMBrotli                                       int // bytes; WASMBrotli is 0 when a draft spared it
	Took                                                   time.Duration
}

// Made is a whole site in memory.
type Made struct {
	Files   map[string][]byte // by path: "lessons/the-finger/index.html"
	Summary Summary
	Proof   *proof.Proof
}

// Build makes the site and writes it to the output folder: all of it, or nothing and an error.
func Build(o Options) (Summary, error) {
	start := time.Now()
	root, err := realRoot(o.Root)
	if err != nil {
		return Summary{}, err
	}
	if o.Out == "" {
		o.Out = filepath.Join(root, "public")
	}
	out, err := newOutput(o.Out)
	if err != nil {
		return Summary{}, err
	}
	if err := refuseSources(root, out.dir); err != nil {
		return Summary{}, err
	}
	release, err := out.prepare(locker{note: o.Note})
	if err != nil {
		return Summary{}, err
	}
	defer release()
	if err := out.begin(); err != nil {
		return Summary{}, errors.Join(err, out.abandon())
	}
	summary, _, err := produce(o, root, nil, out.put)
	if err != nil {
		return Summary{}, errors.Join(err, out.abandon())
	}
	note, err := out.finish()
	if err != nil {
		return Summary{}, err
	}
	if note != "" {
		o.note(note)
	}
	summary.Took = time.Since(start)
	return summary, nil
}

// Maker returns a function that makes the whole site in memory, again and again, and each time anew only what a change asks for.
// Its error tells every problem, one a line.
func Maker(o Options) func() (*Made, error) {
	kept := keep.New()
	return func() (*Made, error) {
		made, err := makeWhole(o, kept)
		kept.Turn(err == nil)
		return made, err
	}
}

// makeWhole makes it once; without kept all of it is made.
func makeWhole(o Options, kept *keep.Store) (*Made, error) {
	start := time.Now()
	root, err := realRoot(o.Root)
	if err != nil {
		return nil, err
	}
	made := &Made{Files: map[string][]byte{}}
	var mu sync.Mutex
	made.Summary, made.Proof, err = produce(o, root, kept, func(name string, data []byte) {
		mu.Lock()
		defer mu.Unlock()
		made.Files[name] = data
	})
	if err != nil {
		return nil, err
	}
	made.Summary.Took = time.Since(start)
	return made, nil
}

// produce makes every file of the site and hands each to put, from many goroutines, as soon as it is finished.
func produce(o Options, root string, kept *keep.Store, put func(name string, data []byte)) (Summary, *proof.Proof, error) {
	w, err := openWorkshop(root, o)
	if err != nil {
		return Summary{}, nil, err
	}
	defer w.close()
	w.kept = kept
	if err := asset.Prepare(w.assetOptions()); err != nil { // formulas need packages, too
		return Summary{}, nil, err
	}
	text, err := readContent(w)
	if err != nil {
		return Summary{}, nil, err
	}
	p := &press{put: put, codecs: codecsFor(text.book.Size()), best: slow(), cache: w.cache, atHand: o.Draft}
	if !o.Draft {
		p.kept = map[string]keptFile{}
	}
	if kept != nil {
		p.found = keep.Of(kept, "copies", func() map[string]map[string][]byte { return map[string]map[string][]byte{} })
	}
	if err := text.searchFiles(w, p); err != nil { // beside the pages, which it does not need
		return Summary{}, nil, errors.Join(err, p.close())
	}
	pages := newRack(w.cache.dir, kept == nil)
	defer pages.close()
	set, err := w.assetsFor(text, pages)
	if err != nil {
		return Summary{}, nil, errors.Join(err, p.close())
	}
	for name, data := range set.Files {
		p.later(name, data)
	}
	name := w.namer(set)
	err = errors.Join(pages.each(func(one page.Page) { p.file(one.Path, name(one)) }), p.close())
	if err == nil {
		err = errors.Join(w.whole(p, set), p.close())
	}
	if err != nil {
		return Summary{}, nil, err
	}
	keep.Of(kept, "cache pruned", func() bool { // once in a preview
		w.cache.prune(cacheLimit)
		return true
	})
	summary := text.count()
	p.measure(&summary)
	return summary, text.proof, nil
}

// whole adds what describes the whole site: the demo characters, the manifest and the service worker with its list.
func (w *workshop) whole(p *press, set *asset.Set) error {
	for _, c := range character.All() {
		p.file(c.Path(), keep.Of(w.kept, "character "+c.Path(), c.GLB))
	}
	colours, err := w.assetOptions().AllColours()
	if err != nil {
		return err
	}
	described, err := manifest(set.URL, colours)
	if err != nil {
		return err
	}
	p.file(manifestFile, described)
	if p.atHand {
		return nil
	}
	script, err := asset.Keeper(w.assetOptions())
	if err != nil {
		return err
	}
	worker, err := keeper(script, p.kept)
	if err == nil {
		p.file(keeperFile, worker)
	}
	return err
}

// Check does all of Build that a mistake in the content can spoil, and returns the proof with its verdicts. The error
// is a report.Problems when the content is at fault; the proof is then returned too.
func Check(o Options) (*proof.Proof, Summary, error) {
	start := time.Now()
	root, err := realRoot(o.Root)
	if err != nil {
		return nil, Summary{}, err
	}
	w, err := openWorkshop(root, o)
	if err != nil {
		return nil, Summary{}, err
	}
	defer w.close()
	if err := asset.Prepare(w.assetOptions()); err != nil {
		return nil, Summary{}, err
	}
	text, err := readContent(w)
	if text == nil {
		return nil, Summary{}, err
	}
	if err == nil {
		p := &press{put: func(string, []byte) {}} // counts, and keeps nothing
		text.render(w.unnamed, nil, func(one page.Page) { p.count(one.Path, len(one.Content), nil) })
		err = text.log.Err()
		summary := text.count()
		p.measure(&summary)
		summary.Took = time.Since(start)
		return text.proof, summary, err
	}
	return text.proof, text.count(), err
}

// realRoot returns the project folder without symbolic links, so that where it lies leaves no trace in the output.
func realRoot(root string) (string, error) {
	abs, err := filepath.Abs(root)
	if err != nil {
		return "", err
	}
	return filepath.EvalSymlinks(abs)
}

// refuseSources refuses an output folder that holds the project, or that lies among its sources.
func refuseSources(root, out string) error {
	inside := func(dir, name string) bool {
		rel, err := filepath.Rel(dir, name)
		return err == nil && rel != ".." && !strings.HasPrefix(rel, ".."+string(filepath.Separator))
	}
	if inside(out, root) {
		return errors.New(out + ": holds the project itself; give the site a folder of its own, such as public")
	}
	for _, dir := range []string{".git", ".cache", "calc", "cmd", "content", "tests", "theme", "wasm"} {
		if inside(filepath.Join(root, dir), out) {
			return errors.New(out + ": lies among the project's sources in " + dir + "; give the site a folder of its own, such as public")
		}
	}
	return nil
}

func (o Options) note(line string) {
	if o.Note != nil {
		o.Note(line)
	}
}

// workshop is the disk that a build works with besides its output: the project and the cache.
type workshop struct {
	root    string
	cache   cache
	tools   string // folder for what asset compiles
	note    func(string)
	over    *overlay
	colours palette.Palette // the studio's
	kept    *keep.Store
	draft   bool
	folders []*os.Root
	release func()
}

// openWorkshop takes the project's build lock, so that two builds do not compile into one file. Without a cache folder
// that can be written a temporary one serves.
func openWorkshop(root string, o Options) (*workshop, error) {
	w, err := openCache(root, o.Note)
	if err != nil {
		return nil, err
	}
	w.draft = o.Draft
	if w.over, err = w.openOverlay(o.Overlay); err == nil && w.over != nil {
		err = w.readColours()
	}
	if err != nil {
		w.close()
		return nil, err
	}
	return w, nil
}

// readColours takes the studio's colours; what is wrong with them is all that is told then.
func (w *workshop) readColours() error {
	ours, err := w.assetOptions().AllColours()
	if err != nil {
		return err
	}
	var log report.Log
	w.colours = w.over.colours(ours, &log)
	return log.Err()
}

func openCache(root string, note func(string)) (*workshop, error) {
	w := &workshop{root: root, note: note, release: func() {}}
	dir := filepath.Join(root, ".cache")
	if os.MkdirAll(filepath.Join(dir, "wasm"), 0o755) == nil {
		unlock, err := locker{note: note}.lock(filepath.Join(dir, "lock"))
		if err == nil {
			w.cache, w.tools, w.release = cache{filepath.Join(dir, "results")}, filepath.Join(dir, "wasm"), unlock
			return w, nil
		}
		if !errors.Is(err, fs.ErrPermission) && !errors.Is(err, syscall.EROFS) {
			return nil, err
		}
	}
	dir, err := os.MkdirTemp("", "centrode-")
	if err != nil {
		return nil, err
	}
	w.cache, w.tools, w.release = cache{filepath.Join(dir, "results")}, dir, func() { os.RemoveAll(dir) }
	return w, nil
}

func (w *workshop) close() {
	for _, dir := range w.folders {
		dir.Close()
	}
	w.release()
}

// open gives a folder of the project to read until close. No link in it leads outside of it.
func (w *workshop) open(name string) (fs.FS, error) {
	dir, err := os.OpenRoot(filepath.Join(w.root, filepath.FromSlash(name)))
	if errors.Is(err, fs.ErrNotExist) {
		return nil, fmt.Errorf("%s: the folder is missing in %s", name, w.root)
	}
	if err != nil {
		return nil, err
	}
	w.folders = append(w.folders, dir)
	return dir.FS(), nil
}

func (w *workshop) assetOptions() asset.Options {
	return asset.Options{Root: w.root, Cache: w.tools, Note: w.note, Colours: w.colours, Recall: w.cache.get, Keep: w.cache.put}
}
