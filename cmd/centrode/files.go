package main

import (
	"crypto/rand"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"

	"centrode/cmd/centrode/internal/site"
)

// mayReplace refuses to write over what must stay: a folder or a device, a file that its owner protects, and what was just read, also where
// a shell led it to standard input.
func mayReplace(name, what string, stdin io.Reader, read ...string) error {
	info, err := os.Stat(name)
	if err != nil {
		return nil // nothing stands there, or writing will say why not
	}
	if !info.Mode().IsRegular() {
		return fmt.Errorf("%s: is no plain file; name another for the %s", name, what)
	}
	if info.Mode().Perm()&0o200 == 0 {
		return fmt.Errorf("%s: is protected against writing; name another for the %s", name, what)
	}
	for _, source := range read {
		from, err := os.Stat(source) // "" is no file
		if file, ok := stdin.(*os.File); ok && source == "-" {
			from, err = file.Stat()
		}
		if err == nil && os.SameFile(from, info) {
			return fmt.Errorf("%s: is the file that was read, and would be lost; name another for the %s", name, what)
		}
	}
	return nil
}

// replace fills a new file beside the old one and then puts it in its place, with the old one's permissions. Where the name is a link, it
// is what the link leads to that is replaced.
func replace(name string, text []byte) error {
	name, err := site.Behind(name)
	if err != nil {
		return err
	}
	made, err := written(name, text)
	if err != nil {
		return err
	}
	if err := os.Rename(made, name); err != nil {
		return errors.Join(err, os.Remove(made))
	}
	return nil
}

// written is a new file beside the named one, whole, with the permissions of that if it is there.
func written(name string, text []byte) (made string, err error) {
	file, err := beside(name)
	if err != nil {
		return "", err
	}
	_, err = file.Write(text)
	if old, missing := os.Stat(name); missing == nil {
		err = errors.Join(err, file.Chmod(old.Mode().Perm()))
	}
	if err = errors.Join(err, file.Sync(), file.Close()); err != nil {
		return "", errors.Join(err, os.Remove(file.Name()))
	}
	return file.Name(), nil
}

// beside makes a file of a name that is free, in the folder of the named one. Whoever keeps new files to themselves (umask) has this one
// kept so, too.
func beside(name string) (*os.File, error) {
	for {
		file, err := os.OpenFile(filepath.Join(filepath.Dir(name), ".centrode-"+rand.Text()+".new"), os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o644)
		if !errors.Is(err, fs.ErrExist) {
			return file, err
		}
	}
}

// cause is what went wrong with a file, without the name that the message begins with already.
func cause(err error) error {
	if at, ok := errors.AsType[*fs.PathError](err); ok {
		return at.Err
	}
	if at, ok := errors.AsType[*os.LinkError](err); ok { // of a file beside it, whose name nobody knows
		return at.Err
	}
	return err
}

// fresh is a file that is to be written where none stands.
type fresh struct {
	name string
	data []byte
}

// place writes new files, all of each and all of them, or nothing; and never in the place of another. Each is written whole beside its name before it
// takes that, so that who is stopped meanwhile leaves no half of a file, nor, but for a moment on some disks, see claim, an empty one that the
// next attempt would not replace.
func place(files ...fresh) (err error) {
	made, taken := make([]string, len(files)), []string{}
	defer func() {
		for _, name := range made {
			os.Remove(name)
		}
		for _, name := range taken {
			if err != nil {
				os.Remove(name)
			}
		}
	}()
	names := make([]string, len(files))
	for i, f := range files {
		if names[i], err = site.Behind(f.name); err != nil {
			return fmt.Errorf("%s: cannot be written: %w", f.name, err)
		}
		if _, missing := os.Lstat(names[i]); missing == nil {
			return exists(f.name)
		}
	}
	for i, f := range files {
		if made[i], err = written(names[i], f.data); err != nil {
			return fmt.Errorf("%s: cannot be written: %w", f.name, cause(err))
		}
	}
	for i, f := range files {
		switch err = claim(made[i], names[i]); {
		case errors.Is(err, fs.ErrExist):
			return exists(f.name)
		case err != nil:
			return fmt.Errorf("%s: cannot be written: %w", f.name, cause(err))
		}
		taken = append(taken, names[i])
	}
	return nil
}

func exists(name string) error { return fmt.Errorf("%s: exists already; choose another name", name) }

// claim gives a file a name, which fails where one has it. Where a disk knows no second names for a file, an empty one takes it first.
func claim(made, name string) error {
	err := os.Link(made, name)
	if err == nil || errors.Is(err, fs.ErrExist) {
		return err
	}
	file, err := os.OpenFile(name, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o644)
	if err != nil {
		return err
	}
	if err := errors.Join(file.Close(), os.Rename(made, name)); err != nil {
		return errors.Join(err, os.Remove(name))
	}
	return nil
}
