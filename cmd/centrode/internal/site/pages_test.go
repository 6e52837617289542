package site

import "sync"

// pages renders all pages into memory, by their paths.
func (c *content) pages(asset func(name string) string) map[string][]byte {
	var mu sync.Mutex
	files := map[string][]byte{}
	c.render(asset, nil, func(name string, page []byte) {
		mu.Lock()
		defer mu.Unlock()
		files[name] = page
	})
	return files
}
