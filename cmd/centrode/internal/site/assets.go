package site

import (
	"bytes"
	"errors"
	"fmt"
	"path/filepath"
	"strings"
	"sync"

	"centrode/cmd/centrode/internal/asset"
	"centrode/cmd/centrode/internal/keep"
	"centrode/cmd/centrode/internal/page"
)

type assetResult struct {
	set *asset.Set
	err error
}

// assetsFor makes the assets while the pages are rendered onto the rack: their characters decide the fonts, whose addresses stand
// in the styles, whose address stands in the pages.
func (w *workshop) assetsFor(text *content, pages *rack) (*asset.Set, error) {
	letters, built := make(chan asset.Letters, 1), make(chan assetResult, 1)
	go func() { built <- w.assets(letters) }()
	shown := text.render(w.unnamed, newMinifiers().shorter, pages.put)
	err := text.log.Err()
	if err == nil {
		letters <- asset.Letters(shown)
	}
	close(letters)
	made := <-built
	if err = errors.Join(err, made.err); err == nil && !w.draft {
		made.set.Announce(keeperFile)
	}
	return made.set, err
}

// toBeNamed is where a page says that an asset lies whose file is not made yet: its plain name follows.
const toBeNamed = "/" + asset.Dir + "/to-be-named/"

// unnamed is the address of an asset in a page on the rack. A preview has no service worker: it changes under the reader, who must
// not be shown what was kept of it.
func (w *workshop) unnamed(name string) string {
	if w.draft && name == keeperFile {
		return ""
	}
	return toBeNamed + name
}

// namer returns a function that puts the true addresses of assets into a page. A page that is kept is named anew only when an
// address in it changed: a word of German can change the names in German scripts, and no English page.
func (w *workshop) namer(set *asset.Set) func(page.Page) []byte {
	var mu sync.Mutex
	sums := map[string]string{} // of the addresses of the names that a page asks for, which most pages have in common
	addresses := func(asked string) string {
		mu.Lock()
		defer mu.Unlock()
		sum, known := sums[asked]
		if !known {
			var list []string
			for name := range strings.SplitSeq(asked, "\n") {
				list = append(list, set.URL(name))
			}
			sum = keep.Sum(list...)
			sums[asked] = sum
		}
		return sum
	}
	return func(one page.Page) []byte {
		if one.Key == "" || w.kept == nil {
			return named(one.Content, set)
		}
		asked := keep.Of(w.kept, "asked by "+one.Key, func() string {
			var names []string
			eachAsset(one.Content, func(_ []byte, name string) { names = append(names, name) })
			return strings.Join(names, "\n")
		})
		return keep.Of(w.kept, "named "+addresses(asked)+one.Key, func() []byte { return named(one.Content, set) })
	}
}

func named(page []byte, set *asset.Set) []byte {
	out := make([]byte, 0, len(page)+len(page)/32)
	rest := eachAsset(page, func(before []byte, name string) { out = append(append(out, before...), set.URL(name)...) })
	return append(out, rest...)
}

// eachAsset calls do with the name of each asset in a page that has none of their addresses, and with what stands before it since
// the last; it returns what stands behind them all.
func eachAsset(page []byte, do func(before []byte, name string)) (rest []byte) {
	for {
		before, after, found := bytes.Cut(page, []byte(toBeNamed))
		if !found {
			return page
		}
		end := bytes.IndexFunc(after, func(r rune) bool { return !(r >= 'a' && r <= 'z' || r >= '0' && r <= '9' || r == '-' || r == '.') })
		if end < 0 {
			end = len(after)
		}
		do(before, string(after[:end]))
		page = after[end:]
	}
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
	skip := func(name string) bool {
		return filepath.Base(name) == "node_modules" || name == filepath.Join(w.root, "theme", "templates")
	}
	for _, name := range []string{"go.mod", "go.sum", "calc", "wasm", "theme"} {
		err := newRecall(w.kept).readAll(filepath.Join(w.root, name), skip, func(name string, data []byte) { parts = append(parts, keep.SumFile(name, data)) })
		if err != nil {
			return "", err
		}
	}
	return keep.Sum(parts...), nil
}
