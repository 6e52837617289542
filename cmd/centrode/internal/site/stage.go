package site

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strings"
	"sync"
)

// stage is the folder work/new while files are put into it.
type stage struct {
	mu      sync.Mutex
	list    *os.File // its manifest
	names   []string
	foreign map[string]bool // files of others in the live folder
	walls   map[string]bool // those that are no folder: no page can lie below them
	made    map[string]bool // folders that are there: to try costs more than to write
	err     error           // the first that kept a file away; nothing more is written after it
}

// draftName is the sorted manifest before it takes the manifest's place.
const draftName = manifestName + ".new"

// begin makes work/new and its manifest, which gets each name before the file, so that whatever a kill leaves there is
// known to be ours.
func (o *output) begin() error {
	foreign, err := o.foreign()
	if err != nil {
		return err
	}
	o.stage.err, o.stage.names, o.stage.foreign, o.stage.walls = nil, nil, map[string]bool{}, map[string]bool{}
	for _, name := range foreign {
		o.stage.foreign[name] = true
		if info, err := os.Lstat(filepath.Join(o.dir, filepath.FromSlash(name))); err == nil && !info.IsDir() {
			o.stage.walls[name] = true
		}
	}
	dir := o.fresh()
	o.stage.made = map[string]bool{dir: true}
	err = o.do("mkdir", dir, func() error { return os.Mkdir(dir, 0o755) })
	if err == nil {
		err = o.do("write", dir, func() (err error) {
			if o.stage.list, err = os.Create(filepath.Join(dir, manifestName)); err == nil {
				_, err = o.stage.list.WriteString(manifestHead + draftName + "\n")
			}
			return err
		})
	}
	if err != nil {
		return unwritable(o.dir, err)
	}
	return nil
}

// put writes one file of the new site. It may be called from many goroutines; what goes wrong is told by finish.
func (o *output) put(name string, data []byte) {
	if !o.stage.admit(o.dir, name) {
		return
	}
	if err := o.writeFile(filepath.Join(o.fresh(), filepath.FromSlash(name)), data); err != nil {
		o.stage.fail(unwritable(o.dir, err))
	}
}

// admit lists a name, or says no because something went wrong before or does now.
func (s *stage) admit(dir, name string) bool {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.err != nil {
		return false
	}
	switch {
	case !fs.ValidPath(name):
		s.err = fmt.Errorf("the page path %q is not a plain relative path", name)
	case s.walled(name) != "":
		s.err = fmt.Errorf("%s: was not written by this program, and the site has a folder of that name; move it away and build again", filepath.Join(dir, filepath.FromSlash(s.walled(name))))
	case s.foreign[name]:
		s.err = fmt.Errorf("%s: was not written by this program, and the site has a file of that name; move it away and build again", filepath.Join(dir, filepath.FromSlash(name)))
	default:
		s.names = append(s.names, name)
		if _, err := s.list.WriteString(name + "\n"); err != nil {
			s.err = unwritable(dir, err)
		}
	}
	return s.err == nil
}

// walled returns the file or link of somebody else that stands where a folder above the name should be, or "".
func (s *stage) walled(name string) string {
	for dir := path.Dir(name); dir != "." && len(s.walls) > 0; dir = path.Dir(dir) {
		if s.walls[dir] {
			return dir
		}
	}
	return ""
}

func (s *stage) fail(err error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.err == nil {
		s.err = err
	}
}

// abandon clears away what was put; the live folder stays as it is.
func (o *output) abandon() error {
	if o.stage.list != nil {
		o.stage.list.Close()
	}
	return o.retire(o.fresh())
}

// finish makes what was put the whole site, or returns an error and the old site is untouched. The returned note, if any,
// tells of an old site that could not be cleared away after the new one went live.
func (o *output) finish() (note string, err error) {
	if o.stage.err != nil {
		return "", errors.Join(o.stage.err, o.abandon())
	}
	foreign, err := o.foreign()
	if err == nil {
		err = o.seal()
	}
	if err == nil {
		err = o.carry(foreign)
	}
	if err == nil {
		err = o.goLive()
	}
	if err != nil {
		return "", errors.Join(unwritable(o.dir, err), o.abandon())
	}
	if err := errors.Join(o.retire(o.fresh()), o.retire(o.old())); err != nil {
		return "the new site is in place, but the old one could not be cleared away: " + err.Error(), nil
	}
	return "", nil
}

// seal puts the names of the manifest in order: files come in any, and the same site must have the same bytes.
func (o *output) seal() error {
	slices.Sort(o.stage.names)
	text := manifestHead + strings.Join(o.stage.names, "\n") + "\n"
	draft := filepath.Join(o.fresh(), draftName)
	if err := errors.Join(o.stage.list.Close(), o.writeFile(draft, []byte(text))); err != nil {
		return err
	}
	name := filepath.Join(o.fresh(), manifestName)
	return o.rename(draft, name)
}

func (o *output) writeFile(name string, data []byte) error {
	return o.do("write", name, func() error {
		if err := o.stage.makeDir(filepath.Dir(name)); err != nil {
			return err
		}
		return os.WriteFile(name, data, 0o644)
	})
}

// makeDir makes a folder of work/new, with those above it, unless it has made it before.
func (s *stage) makeDir(dir string) error {
	s.mu.Lock()
	made := s.made[dir]
	s.mu.Unlock()
	if made {
		return nil
	}
	if err := s.makeDir(filepath.Dir(dir)); err != nil {
		return err
	}
	if err := os.Mkdir(dir, 0o755); err != nil && !errors.Is(err, fs.ErrExist) { // by another goroutine
		return err
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	s.made[dir] = true
	return nil
}

// carry gives foreign files a second name under work/new. A file system without hard links moves them after the swap.
func (o *output) carry(foreign []string) error {
	for _, name := range foreign {
		from, to := filepath.Join(o.dir, filepath.FromSlash(name)), filepath.Join(o.fresh(), filepath.FromSlash(name))
		dir := filepath.Dir(to)
		info, err := os.Lstat(from)
		if err != nil {
			continue // gone since it was listed
		}
		if info.IsDir() {
			dir = to
		}
		if err := o.do("mkdir", dir, func() error { return os.MkdirAll(dir, 0o755) }); err != nil {
			return err
		}
		if !info.IsDir() {
			_ = os.Link(from, to)
		}
	}
	return nil
}

// goLive lets work/new and the output folder change places.
func (o *output) goLive() error {
	if _, err := os.Lstat(o.dir); errors.Is(err, fs.ErrNotExist) {
		return o.rename(o.fresh(), o.dir)
	}
	err := o.do("exchange", o.dir, func() error { return o.swap(o.fresh(), o.dir) })
	if !errors.Is(err, errors.ErrUnsupported) {
		return err
	}
	if err := o.rename(o.dir, o.old()); err != nil {
		return err
	}
	if err := o.rename(o.fresh(), o.dir); err != nil {
		return errors.Join(err, o.patiently(func() error { return os.Rename(o.old(), o.dir) }))
	}
	return nil
}
