package site

import (
	"fmt"
	"io/fs"
	"os"
	"path/filepath"

	"centrode/cmd/centrode/internal/asset"
	"centrode/cmd/centrode/internal/keep"
)

type assetResult struct {
	set *asset.Set
	err error
}

// assets makes what pages load besides themselves; the letters come when the pages have been rendered once, or never where
// they have a mistake. Where results are kept, the sources are read first: to compile and bundle what has not changed takes a
// second, to read it a few milliseconds.
func (w *workshop) assets(letters <-chan asset.Letters) assetResult {
	build := func(options asset.Options) assetResult {
		set, err := asset.Build(options)
		return assetResult{set, err}
	}
	options := w.assetOptions()
	if w.kept == nil {
		options.Letters = func() asset.Letters { return <-letters }
		return build(options)
	}
	counted, ok := <-letters
	sum, err := w.assetSum()
	if err != nil || !ok {
		return assetResult{err: err}
	}
	options.Letters = func() asset.Letters { return counted }
	return keep.Of(w.kept, "assets "+sum+fmt.Sprint(counted, w.colours), func() assetResult { return build(options) })
}

// assetSum is a fingerprint of all that assets are made from.
func (w *workshop) assetSum() (string, error) {
	var parts []string
	for _, name := range []string{"go.mod", "go.sum", "calc", "wasm", "theme"} {
		err := filepath.WalkDir(filepath.Join(w.root, name), func(file string, d fs.DirEntry, err error) error {
			switch {
			case err != nil:
				return err
			case d.Name() == "node_modules" || file == filepath.Join(w.root, "theme", "templates"):
				return fs.SkipDir
			case !d.Type().IsRegular():
				return nil
			}
			data, err := os.ReadFile(file)
			parts = append(parts, file, string(data))
			return err
		})
		if err != nil {
			return "", err
		}
	}
	return keep.Sum(parts...), nil
}
