// Package asset makes what pages load besides themselves: the style sheet with its fonts, the scripts, the icons, the
// licences, and the programs of wasm compiled to WebAssembly. Every name carries a hash of the content, so a browser may keep a file for
// ever, and the same input gives the same bytes wherever the project lies.
//
// Start at Build. Pages ask Set.URL for an address by plain name ("site.css"). Scripts learn where the calculators are
// from the page, not from the bundle: a changed calculator then changes no script. It runs npm, go and esbuild; its
// only lasting traces are theme/node_modules, the compiled modules in the cache folder, and what Options.Keep puts away.
package asset

import (
	"crypto/sha256"
	"encoding/base32"
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"os"
	"path"
	"path/filepath"
	"strconv"
	"strings"
	"sync"

	"centrode/cmd/centrode/internal/icon"
	"centrode/cmd/centrode/internal/palette"
)

// Dir is the folder of the site that holds the assets; every file in it has a hash in its name.
const Dir = "assets"

// Options says where the project is.
type Options struct {
	Root  string            // folder of go.mod, absolute, symbolic links resolved
	Cache string            // existing folder for the compiled calculators, so that go need not link them again
	Note  func(line string) // told what takes long or changes the disk; nil tells nobody
	// Colours are put in place of the theme's own; nil changes none.
	Colours palette.Palette
	// Letters waits for the characters that the fonts must hold; nil asks for no more than is always in them.
	Letters func() Letters
	// Recall and Keep look up and keep slow results under a key that holds all they depend on; both or neither are nil.
	Recall func(key string) ([]byte, bool)
	Keep   func(key string, result []byte)
}

// remembered is the result of work, kept under the key from an earlier build or done now.
func (o Options) remembered(key string, work func() ([]byte, error)) ([]byte, error) {
	if o.Recall == nil {
		return work()
	}
	if result, found := o.Recall(key); found {
		return result, nil
	}
	result, err := work()
	if err == nil {
		o.Keep(key, result)
	}
	return result, err
}

// theme is the folder of that name. A pattern is looked for in it and not in the path to it, whose folders may hold brackets.
func (o Options) theme() fs.FS { return os.DirFS(filepath.Join(o.Root, "theme")) }

// Set is all assets of one build.
type Set struct {
	Files map[string][]byte // by path in the site: "assets/site.ABCDEFGH.css"
	names map[string]string // plain name to path, "site.css", or to paths
}

// URL returns the root-relative address of the asset with the plain name: "site.css", "site.js", "worker.js", "calculators.wasm", "sheet.wasm",
// "room.js", "roomworker.js", "room.wasm", "icon.svg", "icon-192.png", "licences.txt", or a font's file name. "site.modules" are the addresses
// of site.js and of all that it imports, with spaces between; other scripts have such a list, too. It is "" for a name that is no asset, and
// for "ink.js", the room's drawing in WebGL, where its library is not installed.
func (s *Set) URL(name string) string {
	if file, ok := s.names[name]; ok {
		return "/" + file
	}
	return ""
}

// Build makes all assets. The error tells every problem found, one a line.
func Build(o Options) (*Set, error) {
	found, err := findTools(o)
	if err != nil {
		return nil, err
	}
	steps := []func(Options, tools) (*Set, error){bundle, compileModules, loose}
	parts, errs := make([]*Set, len(steps)), make([]error, len(steps))
	var group sync.WaitGroup
	for i, step := range steps {
		group.Go(func() { parts[i], errs[i] = step(o, found) })
	}
	group.Wait()
	if err := errors.Join(errs...); err != nil {
		return nil, err
	}
	all := newSet()
	for _, part := range parts {
		for name, file := range part.names {
			all.names[name] = file
		}
		for file, data := range part.Files {
			all.Files[file] = data
		}
	}
	return all, nil
}

// Prepare runs npm where theme/node_modules lacks what the lock file asks for, and nothing else.
func Prepare(o Options) error { return installed(o) }

func newSet() *Set { return &Set{Files: map[string][]byte{}, names: map[string]string{}} }

// Add puts data into the set under its plain name ("icon.svg"). Call it before the addresses are asked for.
func (s *Set) Add(plain string, data []byte) {
	file := Named(plain, data)
	s.names[plain], s.Files[file] = file, data
}

// Named is the path of an asset of that plain name: in the folder of assets, with a hash of the data before the extension.
func Named(plain string, data []byte) string {
	sum := sha256.Sum256(data)
	hash := base32.StdEncoding.EncodeToString(sum[:5])
	ext := path.Ext(plain)
	return path.Join(Dir, strings.TrimSuffix(plain, ext)+"."+hash+ext)
}

// Announce gives the address of a file that is made later and stands at the root of the site under its plain name.
func (s *Set) Announce(name string) { s.names[name] = name }

// AllColours reads the colours of the theme, with those of the options in their place.
func (o Options) AllColours() (palette.Palette, error) {
	css, err := os.ReadFile(filepath.Join(o.Root, "theme", "styles", "tokens.css"))
	if err != nil {
		return nil, fmt.Errorf("theme/styles/tokens.css: the colours of the site stand there (%w)", errors.Unwrap(err))
	}
	all := palette.Parse(string(css))
	maps.Copy(all, o.Colours)
	return all, nil
}

// IconSizes are those that systems ask of an app that is installed, in px. Source: the practice of the browsers; the Web App
// Manifest leaves them open.
var IconSizes = []int{192, 512}

// loose gathers the files that no program is made of: the icons, and the licences of all that the site carries.
func loose(o Options, t tools) (*Set, error) {
	s := newSet()
	colours, err := o.AllColours()
	if err != nil {
		return nil, err
	}
	s.Add("icon.svg", icon.SVG(colours))
	for _, size := range IconSizes {
		picture, err := icon.PNG(colours, size)
		if err != nil {
			return nil, err
		}
		s.Add("icon-"+strconv.Itoa(size)+".png", picture)
	}
	text, err := licences(o, t)
	if err != nil {
		return nil, err
	}
	s.Add("licences.txt", text)
	return s, nil
}
