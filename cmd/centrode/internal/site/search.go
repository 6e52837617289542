package site

import (
	"centrode/calc/catalog/list"
	"centrode/cmd/centrode/internal/asset"
	"centrode/cmd/centrode/internal/search"
)

// searchFiles makes what the page's search loads. The index depends only on the list of places and on the script, and
// is kept in the cache under both.
func (c *content) searchFiles(w *workshop) (search.Files, error) {
	places, err := search.JSON(search.Documents(search.Input{Book: c.book, Calculators: list.All(), Print: c.proof.Print}))
	if err != nil {
		return search.Files{}, err
	}
	script, err := asset.Indexer(w.assetOptions())
	if err != nil {
		return search.Files{}, err
	}
	key := "search\x00" + script + "\x00" + string(places)
	index, found := w.cache.get(key + "\x00index")
	texts, both := w.cache.get(key + "\x00texts")
	if found && both {
		return search.Files{Index: index, Texts: texts}, nil
	}
	files, err := search.Index(script, places)
	if err != nil {
		return search.Files{}, err
	}
	w.cache.put(key+"\x00index", files.Index)
	w.cache.put(key+"\x00texts", files.Texts)
	return files, nil
}
