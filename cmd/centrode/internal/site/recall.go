package site

import (
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"sync"
	"time"

	"centrode/cmd/centrode/internal/keep"
)

// recall remembers what files held: to ask for a file's size and time costs a fourth of reading it. A nil recall remembers nothing.
type recall struct {
	mu    sync.Mutex
	files map[string]recalled
}

type recalled struct {
	info fs.FileInfo
	data []byte
}

// settled is how old a file must be before its time is believed: two changes can come so close to each other that the file
// system's clock has not moved between them.
const settled = 2 * time.Second

func newRecall(kept *keep.Store) *recall {
	if kept == nil {
		return nil
	}
	return keep.Of(kept, "files", func() *recall { return &recall{files: map[string]recalled{}} })
}

// read returns what the file of that name holds. Nobody may write to it.
func (r *recall) read(name string, stat func() (fs.FileInfo, error), read func() ([]byte, error)) ([]byte, error) {
	if r == nil {
		return read()
	}
	info, err := stat()
	if err != nil {
		return read()
	}
	r.mu.Lock()
	before, known := r.files[name]
	r.mu.Unlock()
	if known && os.SameFile(before.info, info) && before.info.Size() == info.Size() && before.info.ModTime().Equal(info.ModTime()) {
		return before.data, nil
	}
	began := time.Now()
	data, err := read()
	r.mu.Lock()
	defer r.mu.Unlock()
	if delete(r.files, name); err == nil && began.Sub(info.ModTime()) > settled {
		r.files[name] = recalled{info, data}
	}
	return data, err
}

// recalling reads a tree through a recall, during one build.
type recalling struct {
	fs.FS
	recall *recall

	mu     sync.Mutex
	listed map[string]fs.DirEntry // files of folders that were listed, whose entries tell what else would have to be asked for
}

func newRecalling(tree fs.FS, kept *keep.Store) *recalling {
	return &recalling{FS: tree, recall: newRecall(kept), listed: map[string]fs.DirEntry{}}
}

// ReadFile implements fs.ReadFileFS.
func (t *recalling) ReadFile(name string) ([]byte, error) {
	return t.recall.read(name, func() (fs.FileInfo, error) { return t.Stat(name) }, func() ([]byte, error) { return fs.ReadFile(t.FS, name) })
}

// Stat implements fs.StatFS.
func (t *recalling) Stat(name string) (fs.FileInfo, error) {
	t.mu.Lock()
	entry, ok := t.listed[name]
	t.mu.Unlock()
	if ok {
		return entry.Info()
	}
	return fs.Stat(t.FS, name)
}

// ReadDir implements fs.ReadDirFS: a tree of two layers lists both.
func (t *recalling) ReadDir(name string) ([]fs.DirEntry, error) {
	entries, err := fs.ReadDir(t.FS, name)
	t.mu.Lock()
	defer t.mu.Unlock()
	for _, e := range entries {
		if e.Type().IsRegular() { // what a link leads to is another file
			t.listed[path.Join(name, e.Name())] = e
		}
	}
	return entries, err
}

// readAll reads all files of a folder and below, but for what skip names; each hands a name and what the file holds to do, which may not write to it.
func (r *recall) readAll(folder string, skip func(name string) bool, do func(name string, data []byte)) error {
	return filepath.WalkDir(folder, func(name string, d fs.DirEntry, err error) error {
		switch {
		case err != nil:
			return err
		case skip(name):
			return fs.SkipDir
		case !d.Type().IsRegular():
			return nil
		}
		data, err := r.read(name, d.Info, func() ([]byte, error) { return os.ReadFile(name) })
		do(name, data)
		return err
	})
}
