package site

import (
	"fmt"
	"os"
	"runtime"
	"slices"
	"sync"

	"centrode/cmd/centrode/internal/page"
)

// rack holds finished pages until the addresses of their assets are known: in memory, or in a file, since those of a long book
// take more memory than a machine has.
type rack struct {
	file *os.File // nil for memory
	mu   sync.Mutex
	list []held
	end  int64
	err  error // the first that kept a page away
}

type held struct {
	page.Page
	from, size int64 // in the file
}

// newRack makes a rack, in memory where a file is not wanted or cannot be made. The file has no name while it is used, where the
// system allows that, so that a killed build leaves nothing.
func newRack(dir string, wanted bool) *rack {
	r := &rack{}
	if wanted && os.MkdirAll(dir, 0o755) == nil {
		if file, err := os.CreateTemp(dir, "pages-*"); err == nil {
			r.file = file
			_ = os.Remove(file.Name())
		}
	}
	return r
}

// put takes a page, from many goroutines.
func (r *rack) put(one page.Page) {
	r.mu.Lock()
	defer r.mu.Unlock()
	h := held{one, r.end, int64(len(one.Content))}
	if r.file != nil {
		if _, err := r.file.WriteAt(one.Content, r.end); err != nil && r.err == nil {
			r.err = fmt.Errorf("a page cannot be put aside in the cache: %w", err)
		}
		h.Content, r.end = nil, r.end+h.size
	}
	r.list = append(r.list, h)
}

// each hands all pages to do, on all cores. Their content holds until do returns.
func (r *rack) each(do func(page.Page)) error {
	next := make(chan held)
	var wait sync.WaitGroup
	for range runtime.GOMAXPROCS(0) {
		wait.Go(func() {
			var buffer []byte
			for h := range next {
				if err := r.fetch(&h, &buffer); err != nil {
					r.mu.Lock()
					r.err = err
					r.mu.Unlock()
					continue
				}
				do(h.Page)
			}
		})
	}
	for _, h := range r.list {
		next <- h
	}
	close(next)
	wait.Wait()
	return r.err
}

func (r *rack) fetch(h *held, buffer *[]byte) error {
	if r.file == nil {
		return nil
	}
	*buffer = slices.Grow((*buffer)[:0], int(h.size))
	h.Content = (*buffer)[:h.size]
	if _, err := r.file.ReadAt(h.Content, h.from); err != nil {
		return fmt.Errorf("a page cannot be read back from the cache: %w", err)
	}
	return nil
}

func (r *rack) close() {
	if r.file != nil {
		r.file.Close()
		_ = os.Remove(r.file.Name()) // where it could not be removed before
	}
}
