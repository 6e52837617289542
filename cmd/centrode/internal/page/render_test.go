package page

import "sync"

// Render returns every page of Each by its path.
func Render(in Input) map[string][]byte {
	var mu sync.Mutex
	files := map[string][]byte{}
	Each(in, func(one Page) {
		mu.Lock()
		defer mu.Unlock()
		files[one.Path] = one.Content
	})
	return files
}
