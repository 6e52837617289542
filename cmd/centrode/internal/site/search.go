package site

import (
	"encoding/json"
	"fmt"
	"io/fs"

	"centrode/calc/catalog/list"
	"centrode/cmd/centrode/internal/asset"
	"centrode/cmd/centrode/internal/keep"
	"centrode/cmd/centrode/internal/page"
	"centrode/cmd/centrode/internal/search"
)

// commonFile lists the words that the search leaves out, for its script and for its index.
const commonFile = "common.json"

// searchFiles makes what the page's search loads.
func (c *content) searchFiles(w *workshop, p *press) error {
	scripts, err := w.open("theme/scripts")
	if err != nil {
		return err
	}
	data, err := fs.ReadFile(scripts, commonFile)
	if err != nil {
		return fmt.Errorf("theme/scripts/%s: %w", commonFile, err)
	}
	var common []string
	if err := json.Unmarshal(data, &common); err != nil {
		return fmt.Errorf("theme/scripts/%s: must be a list of words: %w", commonFile, err)
	}
	x := keep.Of(w.kept, "lexicon "+keep.Sum(string(data)), func() *search.Lexicon {
		x := search.NewLexicon(common)
		x.Remembers = w.kept != nil
		return x
	})
	p.waiting.Go(func() {
		in := search.Input{Book: c.book, Calculators: list.All(), Print: c.proof.Print, Kept: w.kept}
		var texts string
		files := x.Index(in.Readings(x), func(data []byte) string {
			texts = asset.Named("search-texts.json", data)
			return "/" + texts
		})
		p.file(texts, files.Texts)
		p.file(page.SearchPath, files.Index)
	})
	return nil
}
