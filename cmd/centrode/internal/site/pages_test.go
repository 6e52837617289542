package site

import (
	"sync"

	"centrode/cmd/centrode/internal/page"
)

// pages renders all pages into memory, by their paths.
func (c *content) pages(asset func(name string) string) map[string][]byte {
	var mu sync.Mutex
	files := map[string][]byte{}
	c.render(asset, nil, func(one page.Page) {
		mu.Lock()
		defer mu.Unlock()
		files[one.Path] = one.Content
	})
	return files
}
