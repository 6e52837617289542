// Package site is the order of work: load the content, prove its numbers, render the pages, write the folder.
//
// Start at Build; Make stops before the disk, and Check before the assets. Beside preview it is the only room that
// touches the disk for content and pages; everything between takes an fs.FS and returns values. The same input gives
// the same bytes in any folder and at any time: no clock and no path of the machine reaches a page, and every order is
// sorted. Slow results are kept in the project's .cache folder, which may be removed at any time.
package site

import (
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"os"
	"path/filepath"
	"strings"
	"time"

	"centrode/calc/character"
	"centrode/cmd/centrode/internal/asset"
	"centrode/cmd/centrode/internal/palette"
	"centrode/cmd/centrode/internal/proof"
	"centrode/cmd/centrode/internal/report"
	"centrode/cmd/centrode/internal/search"
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
	made, err := Make(o)
	if err != nil {
		return Summary{}, err
	}
	note, err := out.write(made.Files)
	if err != nil {
		return Summary{}, err
	}
	if note != "" {
		o.note(note)
	}
	made.Summary.Took = time.Since(start)
	return made.Summary, nil
}

// Make builds the whole site in memory. The error tells every problem, one a line.
func Make(o Options) (*Made, error) {
	start := time.Now()
	root, err := realRoot(o.Root)
	if err != nil {
		return nil, err
	}
	w, err := openWorkshop(root, o)
	if err != nil {
		return nil, err
	}
	defer w.close()
	if err := asset.Prepare(w.assetOptions()); err != nil { // formulas and search need packages, too
		return nil, err
	}
	assets, letters := make(chan assetResult, 1), make(chan asset.Letters, 1)
	options := w.assetOptions()
	options.Letters = func() asset.Letters { return <-letters }
	go func() {
		set, err := asset.Build(options)
		assets <- assetResult{set, err}
	}()
	text, err := readContent(w)
	var index search.Files
	if err == nil {
		// Once for the characters, which decide the fonts, whose addresses stand in the styles, whose address stands in the pages.
		letters <- asset.CountLetters(text.render(plainAddress))
		if err = text.log.Err(); err == nil {
			index, err = text.searchFiles(w)
		}
	}
	close(letters)
	built := <-assets
	if err = errors.Join(err, built.err); err != nil {
		return nil, err
	}
	if !o.Draft { // a preview changes under the reader, who must not be shown what was kept of it
		built.set.Announce(keeperFile)
	}
	built.set.Add("search.json", index.Index)
	built.set.Add("search-texts.json", index.Texts)
	pages := text.render(built.set.URL)
	if err := text.log.Err(); err != nil {
		return nil, err
	}
	files, short, err := finish(w, pages, built.set, o.Draft)
	if err != nil {
		return nil, err
	}
	w.cache.prune(cacheLimit)
	made := &Made{Files: files, Summary: text.count(), Proof: text.proof}
	made.Summary.measure(files, short, built.set)
	maps.Copy(files, short)
	made.Summary.Took = time.Since(start)
	return made, nil
}

// finish shortens the pages, adds the assets and what describes the whole, and compresses.
func finish(w *workshop, pages map[string][]byte, set *asset.Set, draft bool) (files, short map[string][]byte, err error) {
	if files, err = minifyAll(pages); err != nil {
		return nil, nil, err
	}
	maps.Copy(files, set.Files)
	for _, c := range character.All() {
		files[c.Path()] = c.GLB()
	}
	colours, err := w.assetOptions().AllColours()
	if err != nil {
		return nil, nil, err
	}
	if files[manifestFile], err = manifest(set.URL, colours); err != nil {
		return nil, nil, err
	}
	if short, err = compressAll(files, w.cache, draft); err != nil || draft {
		return files, short, err
	}
	script, err := asset.Keeper(w.assetOptions())
	if err != nil {
		return nil, nil, err
	}
	if files[keeperFile], err = keeper(script, files, short); err != nil {
		return nil, nil, err
	}
	more, err := compressAll(map[string][]byte{keeperFile: files[keeperFile]}, w.cache, draft)
	maps.Copy(short, more)
	return files, short, err
}

// plainAddress is the address of an asset whose file is not made yet.
func plainAddress(name string) string { return "/" + asset.Dir + "/" + name }

type assetResult struct {
	set *asset.Set
	err error
}

// Check does all of Make that a mistake in the content can spoil, and returns the proof with its verdicts. The error
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
		pages := text.render(plainAddress)
		err = text.log.Err()
		summary := text.count()
		summary.measure(pages, nil, nil)
		summary.Took = time.Since(start)
		return text.proof, summary, err
	}
	return text.proof, text.count(), err
}

// measure adds the counts that only the finished files tell.
func (s *Summary) measure(files, short map[string][]byte, set *asset.Set) {
	s.Files = len(files) + len(short)
	for name, data := range files {
		s.Bytes += len(data)
		if strings.HasSuffix(name, ".html") {
			s.Pages++
		}
	}
	if set != nil {
		wasm := strings.TrimPrefix(set.URL("calculators.wasm"), "/")
		s.WASM, s.WASMBrotli = len(files[wasm]), len(short[wasm+".br"])
	}
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
		if !errors.Is(err, os.ErrPermission) {
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
