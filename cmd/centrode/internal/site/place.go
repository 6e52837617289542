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
	"syscall"

	"centrode/cmd/centrode/internal/book"
	"centrode/cmd/centrode/internal/report"
	"centrode/cmd/centrode/internal/scaffold"
)

// Place writes new files into the project and returns their paths in order. A file that exists already, unless it is
// meant to be replaced, is refused before anything is written; a failure half-way takes back what was created.
func Place(root string, files []scaffold.File) ([]string, error) {
	dir, err := os.OpenRoot(root)
	if err != nil {
		return nil, err
	}
	defer dir.Close()
	for _, f := range files {
		if _, err := dir.Lstat(filepath.FromSlash(f.Path)); err == nil && !f.Replaces {
			return nil, fmt.Errorf("%s: exists already; choose another name, or remove it first", f.Path)
		}
	}
	// What replaces comes last: it refers to the files before it.
	files = slices.Clone(files)
	slices.SortFunc(files, func(a, b scaffold.File) int {
		if a.Replaces != b.Replaces {
			if a.Replaces {
				return 1
			}
			return -1
		}
		if a.Path < b.Path {
			return -1
		}
		return 1
	})
	var placed []string
	for _, f := range files {
		if err := placeOne(dir, f); err != nil {
			if at, ok := errors.AsType[*fs.PathError](err); ok {
				err = at.Err // the message begins with the name already
			}
			for _, name := range placed {
				err = errors.Join(err, dir.Remove(filepath.FromSlash(name)))
			}
			return nil, fmt.Errorf("%s: cannot be written: %w", f.Path, err)
		}
		placed = append(placed, f.Path)
	}
	return placed, nil
}

func placeOne(dir *os.Root, f scaffold.File) error {
	name := filepath.FromSlash(f.Path)
	if err := dir.MkdirAll(filepath.FromSlash(path.Dir(f.Path)), 0o755); err != nil {
		return err
	}
	if !f.Replaces {
		file, err := dir.OpenFile(name, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o644)
		if err != nil {
			return err
		}
		_, err = file.Write(f.Content)
		if err = errors.Join(err, file.Close()); err != nil {
			err = errors.Join(err, dir.Remove(name)) // what came of it before the disk was full
		}
		return err
	}
	fresh := name + ".new"
	if err := dir.WriteFile(fresh, f.Content, 0o644); err != nil {
		_ = dir.Remove(fresh)
		return err
	}
	return dir.Rename(fresh, name)
}

// Behind is what a name leads to through links, which is to be written in its place: a link stays one. It need not be there yet, neither
// behind the last link nor the folder that it is to lie in.
func Behind(name string) (string, error) {
	for range 255 { // as many links as a system follows at most
		if real, err := filepath.EvalSymlinks(name); err == nil {
			return real, nil
		}
		folder, base := filepath.Split(name) // and not Dir, which would take a/link/.. for a
		if real, err := filepath.EvalSymlinks(folder); err == nil {
			name = filepath.Join(real, base)
			folder = real + string(filepath.Separator)
		}
		to, err := os.Readlink(name)
		if err != nil {
			return name, nil
		}
		if filepath.IsAbs(to) {
			folder = ""
		}
		name = strings.TrimRight(folder+to, `/`+string(filepath.Separator)) // which a folder that is not there yet may end in
	}
	return "", syscall.ELOOP
}

// NextOrder returns the place after the last lesson of a part, among ours and those of a studio's folder; "" for none.
func NextOrder(root, over string, part int) (int, error) {
	dir, err := os.OpenRoot(filepath.Join(root, "content"))
	if errors.Is(err, fs.ErrNotExist) {
		return 0, fmt.Errorf("content: the folder is missing in %s", root)
	}
	if err != nil {
		return 0, err
	}
	w := &workshop{folders: []*os.Root{dir}, release: func() {}}
	defer w.close()
	studio, err := w.openOverlay(over)
	if err != nil {
		return 0, err
	}
	tree := fs.FS(under{"content", dir.FS()})
	if studio != nil {
		tree = layered{tree, studio}
	}
	order := 1
	for _, l := range book.Load(tree, &report.Log{}).Lessons { // its problems are the build's to tell
		if l.Part == part {
			order = max(order, l.Order+1)
		}
	}
	return order, nil
}
