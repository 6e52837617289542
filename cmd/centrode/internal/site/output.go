package site

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"syscall"
	"time"
)

// manifestName is the file inside the output folder that lists what this program wrote there; all else is foreign.
const manifestName = ".centrode-files"

const manifestHead = "Written by centrode. Files listed here are replaced at each build; any other file in this folder is kept.\n"

// output is a folder that changes from one whole site to the next in a single step.
//
// A build goes to work/new beside it, and then the two folders change places. Whatever moment a build is killed at, the
// folder holds the old site or the new one, and the next build clears the rest away. Files that the manifest does not
// list belong to somebody else: they are carried over, never deleted.
type output struct {
	dir   string                         // absolute, symbolic links resolved
	work  string                         // sibling folder for what is not live
	fault func(op, path string) error    // a test makes the n-th step fail; nil otherwise
	swap  func(fresh, live string) error // exchanges two folders in one step, or returns errors.ErrUnsupported
	held  func(error) bool               // says of a failed rename that another program had something open
	stage stage                          // the site that is being written
}

func newOutput(dir string) (*output, error) {
	abs, err := filepath.Abs(dir)
	if err != nil {
		return nil, err
	}
	if abs, err = Behind(abs); err != nil {
		return nil, fmt.Errorf("%s: cannot be written: %w", dir, err)
	}
	return &output{dir: abs, work: filepath.Join(filepath.Dir(abs), "."+filepath.Base(abs)+".building"), swap: exchange,
		held: func(err error) bool { return troubleOn(runtime.GOOS, err) == inUse }}, nil
}

// prepare creates the work folder, takes the lock, clears what a killed build left, and refuses a folder that is not
// ours to fill. The returned function gives the lock back.
func (o *output) prepare(l locker) (release func(), err error) {
	if err := o.refuseFile(); err != nil {
		return nil, err
	}
	unlock, err := o.lock(l)
	if err != nil {
		return nil, unwritable(o.dir, err)
	}
	release = func() {
		unlock()
		os.Remove(o.work) // stays when something in it could not be cleared
	}
	if err := o.recover(); err != nil {
		release()
		return nil, unwritable(o.dir, err)
	}
	if _, err := o.foreign(); err != nil {
		release()
		return nil, err
	}
	return release, nil
}

// lock creates the work folder and takes the lock in it. A build that ends removes the folder, perhaps between these two
// steps; then both are done again.
func (o *output) lock(l locker) (unlock func(), err error) {
	for range 1000 {
		if err := o.do("mkdir", o.work, func() error { return os.MkdirAll(o.work, 0o755) }); err != nil {
			return nil, err
		}
		unlock, err = l.lock(filepath.Join(o.work, "lock"))
		if !errors.Is(err, fs.ErrNotExist) {
			break
		}
	}
	return unlock, err
}

func (o *output) refuseFile() error {
	info, err := os.Stat(o.dir)
	if err == nil && !info.IsDir() {
		return fmt.Errorf("%s: is a file; the site needs a folder of its own, such as public", o.dir)
	}
	return nil
}

// recover finishes or undoes what a killed build was doing.
func (o *output) recover() error {
	if _, err := os.Lstat(o.dir); errors.Is(err, fs.ErrNotExist) {
		if _, err := os.Lstat(o.old()); err == nil { // killed between the two renames
			if err := o.rename(o.old(), o.dir); err != nil {
				return err
			}
		}
	}
	return errors.Join(o.retire(o.fresh()), o.retire(o.old()))
}

func (o *output) fresh() string { return filepath.Join(o.work, "new") }
func (o *output) old() string   { return filepath.Join(o.work, "old") }

// foreign lists what the output folder holds besides what its manifest names: files, links and empty folders.
// A folder that holds something but no manifest is refused: it is not ours.
func (o *output) foreign() ([]string, error) {
	ours, found, err := readManifest(o.dir)
	if err != nil {
		return nil, err
	}
	list, err := unlisted(o.dir, ours)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	if err != nil {
		return nil, err
	}
	if !found && len(list) > 0 {
		return nil, fmt.Errorf("%s: holds files that this program did not write, such as %s; give it a new or empty folder with -out", o.dir, list[0])
	}
	return list, nil
}

// unlisted walks dir and returns, sorted, every file, link and empty folder that ours does not name.
func unlisted(dir string, ours map[string]bool) ([]string, error) {
	var list []string
	err := filepath.WalkDir(dir, func(name string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		rel, err := filepath.Rel(dir, name)
		if err != nil {
			return err
		}
		rel = filepath.ToSlash(rel)
		switch {
		case rel == "." || rel == manifestName || ours[rel] && !d.IsDir():
		case d.IsDir():
			if inside, err := os.ReadDir(name); err == nil && len(inside) == 0 {
				list = append(list, rel)
			}
		default:
			list = append(list, rel)
		}
		return nil
	})
	slices.Sort(list)
	return list, err
}

// readManifest returns the names that dir's manifest lists and whether there is one.
func readManifest(dir string) (ours map[string]bool, found bool, err error) {
	data, err := os.ReadFile(filepath.Join(dir, manifestName))
	if errors.Is(err, fs.ErrNotExist) || errors.Is(err, syscall.ENOTDIR) {
		return nil, false, nil
	}
	if err != nil {
		return nil, false, err
	}
	ours = map[string]bool{}
	for name := range strings.Lines(strings.TrimPrefix(string(data), manifestHead)) {
		name = strings.TrimSuffix(name, "\n")
		if isInside(name) { // whatever else a damaged list says, nothing outside is touched
			ours[name] = true
		}
	}
	return ours, true, nil
}

// isInside says whether a name of the manifest stands for something in the folder on this system: on Windows ..\x and C:x do not.
func isInside(name string) bool {
	return fs.ValidPath(name) && name != "." && filepath.IsLocal(filepath.FromSlash(name))
}

// Built reads a site that Build wrote, for a server.
func Built(dir string) (map[string][]byte, error) {
	ours, found, err := readManifest(dir)
	if err != nil {
		return nil, err
	}
	if !found {
		return nil, fmt.Errorf("%s: holds no built site; make one with centrode build", dir)
	}
	root, err := os.OpenRoot(dir)
	if err != nil {
		return nil, err
	}
	defer root.Close()
	files := make(map[string][]byte, len(ours))
	for name := range ours {
		if files[name], err = root.ReadFile(filepath.FromSlash(name)); err != nil {
			return nil, fmt.Errorf("%s: the built site is damaged (%w); build it again", dir, err)
		}
	}
	return files, nil
}

// retire removes a folder that is not live any more: what its manifest lists goes, and what somebody else put there
// is moved to the live folder first, unless it is there already.
func (o *output) retire(dir string) error {
	if _, err := os.Lstat(dir); errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	ours, _, err := readManifest(dir)
	if err != nil {
		return err
	}
	kept, err := unlisted(dir, ours)
	if err != nil {
		return err
	}
	for _, name := range kept {
		if err := o.rescue(dir, name); err != nil {
			return err
		}
	}
	if err := removeListed(dir, ours); err != nil {
		return err
	}
	if err := os.Remove(filepath.Join(dir, manifestName)); err != nil && !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	return removeEmpty(dir)
}

// removeListed removes what dir holds of the names. It meets them by walking, which follows no link: a list and a link that somebody else
// put there could otherwise name files outside.
func removeListed(dir string, ours map[string]bool) error {
	return filepath.WalkDir(dir, func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		rel, err := filepath.Rel(dir, name)
		if err == nil && ours[filepath.ToSlash(rel)] {
			err = os.Remove(name)
		}
		return err
	})
}

// rescue makes sure that the live folder has the foreign entry, and then takes its name out of dir.
func (o *output) rescue(dir, name string) error {
	from, to := filepath.Join(dir, filepath.FromSlash(name)), filepath.Join(o.dir, filepath.FromSlash(name))
	here, err := os.Lstat(from)
	if err != nil {
		return err
	}
	there, err := os.Lstat(to)
	switch {
	case err == nil && (os.SameFile(here, there) || here.IsDir() && there.IsDir()):
		return os.Remove(from)
	case err == nil:
		return fmt.Errorf("%s and %s are two files of one name and neither was written by this program; remove one", from, to)
	case !errors.Is(err, fs.ErrNotExist):
		return err
	}
	if err := os.MkdirAll(filepath.Dir(to), 0o755); err != nil {
		return err
	}
	return os.Rename(from, to)
}

// removeEmpty removes the folders under dir and dir itself, innermost first; one that still holds something is an error.
func removeEmpty(dir string) error {
	var dirs []string
	err := filepath.WalkDir(dir, func(name string, d fs.DirEntry, err error) error {
		if err == nil && d.IsDir() {
			dirs = append(dirs, name)
		}
		return err
	})
	for _, name := range slices.Backward(dirs) {
		err = errors.Join(err, os.Remove(name))
	}
	return err
}

// do runs one step that changes the disk.
func (o *output) do(op, name string, step func() error) error {
	if o.fault != nil {
		if err := o.fault(op, name); err != nil {
			return err
		}
	}
	return step()
}

// rename gives a file or folder its new name.
func (o *output) rename(from, to string) error {
	return o.patiently(func() error {
		return o.do("rename", to, func() error { return os.Rename(from, to) })
	})
}

// patiently tries a rename again for some seconds while another program has something open there. Windows refuses it then, also for a folder
// and all that lies in it; and what looks for viruses, or lists files for a search, opens every new file for a moment.
func (o *output) patiently(rename func() error) error {
	err := rename()
	for wait := 10 * time.Millisecond; o.held(err) && wait < 2*time.Second; wait *= 2 {
		time.Sleep(wait)
		err = rename()
	}
	return err
}

// trouble is what a disk error means to a person.
type trouble int

const (
	other trouble = iota
	full
	forbidden
	fixed // a mount point, or another disk
	noFolder
	inUse
)

// troubleOn recognises an error of a system. Windows has numbers of its own, which Go does not take for the other systems'. Where it denies
// access, a program mostly has something open.
func troubleOn(system string, err error) trouble {
	var number syscall.Errno
	if system == "windows" && errors.As(err, &number) {
		switch number {
		case 5, 32, 33: // ERROR_ACCESS_DENIED, ERROR_SHARING_VIOLATION, ERROR_LOCK_VIOLATION
			return inUse
		case 39, 112: // ERROR_HANDLE_DISK_FULL, ERROR_DISK_FULL
			return full
		case 17: // ERROR_NOT_SAME_DEVICE
			return fixed
		case 19: // ERROR_WRITE_PROTECT
			return forbidden
		}
	}
	switch {
	case errors.Is(err, syscall.ENOSPC), errors.Is(err, syscall.EDQUOT):
		return full
	case errors.Is(err, fs.ErrPermission), errors.Is(err, syscall.EROFS):
		return forbidden
	case errors.Is(err, syscall.EBUSY), errors.Is(err, syscall.EXDEV):
		return fixed
	case errors.Is(err, syscall.ENOTDIR):
		return noFolder
	}
	return other
}

// advices is what a person can do about each trouble.
var advices = map[trouble]string{
	full:      "the disk is full: free some space and build again; ",
	forbidden: "this folder cannot be written by you: choose another with -out; ",
	fixed:     "a mount point cannot be replaced in one step: give a folder inside it with -out; ",
	noFolder:  "a part of that path is a file: choose another folder with -out; ",
	inUse:     "a program has something in this folder open, or you may not write there: close what shows it and build again, or choose another with -out; ",
}

// unwritable adds to a disk error what a person can do about it.
func unwritable(dir string, err error) error {
	advice := advices[troubleOn(runtime.GOOS, err)]
	return fmt.Errorf("%s: cannot be written (%w); %sthe old site, if there was one, is unchanged", dir, err, advice)
}
