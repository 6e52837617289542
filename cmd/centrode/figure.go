package main

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"

	"centrode/calc/catalog"
	"centrode/cmd/centrode/internal/picture"
)

// draw writes the answer's figure to the file: all of it, or nothing. What stood there before is then gone or untouched.
func draw(name string, a catalog.Answer) error {
	if info, err := os.Stat(name); err == nil && !info.Mode().IsRegular() {
		return fmt.Errorf("%s: is no plain file; name another for the figure", name)
	}
	if err := replace(name, picture.SVG(a.Calculator.Figure(a.Values, a.Result))); err != nil {
		return fmt.Errorf("%s: the figure cannot be written: %w", name, cause(err))
	}
	return nil
}

// replace fills a new file beside the old one and then puts it in its place.
func replace(name string, text []byte) error {
	file, err := os.CreateTemp(filepath.Dir(name), ".centrode-*.new")
	if err != nil {
		return err
	}
	_, err = file.Write(text)
	err = errors.Join(err, file.Chmod(0o644), file.Sync(), file.Close())
	if err == nil {
		err = os.Rename(file.Name(), name)
	}
	if err != nil {
		return errors.Join(err, os.Remove(file.Name()))
	}
	return nil
}

// cause is what went wrong with a file, without the name that the message begins with already.
func cause(err error) error {
	var at *fs.PathError
	if errors.As(err, &at) {
		return at.Err
	}
	return err
}
