package site

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"centrode/calc/spell"
	"centrode/cmd/centrode/internal/lesson"
	"centrode/cmd/centrode/internal/outline"
	"centrode/cmd/centrode/internal/palette"
	"centrode/cmd/centrode/internal/report"
)

// overlay is a studio's folder over ours. Files of its folders replace ours of the same name or stand beside them; the entries
// of its glossary, sources and facts replace ours of the same id or join them; its colours replace ours.
type overlay struct {
	name string // as the command line gave it, for messages
	tree fs.FS  // opened as a root: no link and no name in it leads outside of it
}

// What an overlay may hold.
var (
	overlayFolders = []string{"lessons", "plates", "paths", "cast", "checks"}
	overlayMerged  = []string{"glossary.yaml", "sources.json", "facts.csv"}
	overlayFiles   = []string{"home.md", coloursFile}
)

const (
	coloursFile = "colours.yaml"
	addedFolder = "added" // where the book looks for what is merged
)

// openOverlay opens the folder; nil for none.
func (w *workshop) openOverlay(dir string) (*overlay, error) {
	if dir == "" {
		return nil, nil
	}
	root, err := os.OpenRoot(dir)
	if err != nil {
		return nil, fmt.Errorf("-overlay %s: must be a folder with lessons, plates, paths, cast, checks, glossary.yaml, sources.json, facts.csv, home.md or colours.yaml (%w)", dir, errors.Unwrap(err))
	}
	w.folders = append(w.folders, root)
	return &overlay{filepath.ToSlash(filepath.Clean(dir)), root.FS()}, nil
}

// place is where a file of the content lies in the overlay; "" for one that cannot.
func (o *overlay) place(name string) string {
	rest, ok := strings.CutPrefix(name, "content/")
	if !ok {
		return ""
	}
	if merged, ok := strings.CutPrefix(rest, addedFolder+"/"); ok {
		if slices.Contains(overlayMerged, merged) {
			return merged
		}
		return ""
	}
	top, _, _ := strings.Cut(rest, "/")
	if slices.Contains(overlayFolders, top) || rest == "home.md" {
		return rest
	}
	return ""
}

// called is the name of a file of the content as a message should say it: the overlay's, if it is from there.
func (o *overlay) called(name string) string {
	if at := o.place(name); at != "" {
		if info, err := fs.Stat(o.tree, at); err == nil && !info.IsDir() {
			return o.name + "/" + at
		}
	}
	return name
}

// check reports what lies in the folder and is not read.
func (o *overlay) check(log *report.Log) {
	known := slices.Concat(overlayFolders, overlayMerged, overlayFiles)
	entries, err := fs.ReadDir(o.tree, ".")
	if err != nil {
		log.Add(o.name, 0, "cannot be read: "+err.Error())
	}
	for _, e := range entries {
		if name := e.Name(); !lesson.IsLeft(name) && !slices.Contains(known, name) {
			log.Add(o.name+"/"+name, 0, "is not read; an overlay may hold "+strings.Join(known, ", ")+spell.Offer(name, known))
		}
	}
}

// layered shows the overlay's files over the content's.
type layered struct {
	under fs.FS
	over  *overlay
}

// Open implements fs.FS.
func (l layered) Open(name string) (fs.File, error) {
	if at := l.over.place(name); at != "" {
		f, err := l.over.tree.Open(at)
		if !errors.Is(err, fs.ErrNotExist) {
			return f, err
		}
	}
	return l.under.Open(name)
}

// Stat implements fs.StatFS.
func (l layered) Stat(name string) (fs.FileInfo, error) {
	if at := l.over.place(name); at != "" {
		info, err := fs.Stat(l.over.tree, at)
		if !errors.Is(err, fs.ErrNotExist) {
			return info, err
		}
	}
	return fs.Stat(l.under, name)
}

// ReadDir implements fs.ReadDirFS: the files of both, sorted by name.
func (l layered) ReadDir(name string) ([]fs.DirEntry, error) {
	ours, err := fs.ReadDir(l.under, name)
	if at := l.over.place(name); at != "" {
		theirs, missing := fs.ReadDir(l.over.tree, at)
		switch {
		case missing == nil:
			err = nil
		case !errors.Is(missing, fs.ErrNotExist): // a file in the place of a folder would hide all of ours below it
			return nil, missing
		}
		for _, e := range theirs {
			ours = append(slices.DeleteFunc(ours, func(o fs.DirEntry) bool { return o.Name() == e.Name() }), e)
		}
		slices.SortFunc(ours, func(a, b fs.DirEntry) int { return strings.Compare(a.Name(), b.Name()) })
	}
	return ours, err
}

// maxColours bounds the file of colours.
const maxColours = 1 << 16

// colours reads the studio's colours, each a name of the tokens with a colour by day and one by night, and reports those in
// which text could not be read.
func (o *overlay) colours(ours palette.Palette, log *report.Log) palette.Palette {
	source, err := lesson.Plain(o.tree, coloursFile)
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	file := path.Join(o.name, coloursFile)
	if err != nil {
		log.Add(file, 0, err.Error())
		return nil
	}
	text, line, complaint := lesson.Clean(source)
	if complaint != "" {
		log.Add(file, line, complaint)
		return nil
	}
	n := outline.Parse(text, maxColours, outline.Place{File: file, Log: log})
	if n == nil || n.Kind != outline.Map {
		log.Add(file, 1, `expected lines such as link: ["#RRGGBB", "#RRGGBB"], a colour by day and one by night`)
		return nil
	}
	all, theirs, lines := palette.Palette{}, palette.Palette{}, map[string]int{}
	var names []string
	for name, pair := range ours {
		all[name] = pair
		names = append(names, name)
	}
	slices.Sort(names)
	for _, e := range n.Entries {
		if _, known := ours[e.Key]; !known {
			log.Add(file, e.Line, "colour "+strconv.Quote(e.Key)+" is unknown"+spell.Offer(e.Key, names)+"; the theme has "+strings.Join(names, ", "))
			continue
		}
		pair, ok := readPair(e.Value)
		if !ok {
			log.Add(file, e.Line, e.Key+`: must be two colours of six hexadecimal digits, by day and by night, as in ["#RRGGBB", "#RRGGBB"]`)
			continue
		}
		all[e.Key], theirs[e.Key], lines[e.Key] = pair, pair, e.Line
	}
	for _, w := range all.Weak(theirs) {
		log.Add(file, max(lines[w.Name], lines[w.On]), w.Text)
	}
	return theirs
}

func readPair(n *outline.Node) (palette.Pair, bool) {
	if n == nil || n.Kind != outline.List || len(n.Items) != 2 {
		return palette.Pair{}, false
	}
	light, ok := palette.Read(n.Items[0].Text)
	dark, both := palette.Read(n.Items[1].Text)
	return palette.Pair{Light: light, Dark: dark}, ok && both
}
