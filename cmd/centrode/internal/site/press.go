package site

import (
	"path"
	"strings"
	"sync"

	"centrode/cmd/centrode/internal/asset"
)

// press hands files on as they come, on the goroutine that brings them, with compressed copies beside every file that gains
// by them. It keeps nothing but counts.
type press struct {
	put     func(name string, data []byte)
	codecs  []codec // of all that grows with the book
	best    []codec // of what every page loads
	cache   cache
	atHand  bool // only copies that the cache holds
	waiting sync.WaitGroup
	turn    sync.Mutex // of the files that can wait

	mu              sync.Mutex
	err             error
	files, bytes    int
	pages           int
	wasm, wasmShort int
	kept            map[string]keptFile          // nil where nobody asks
	found           map[string]map[string][]byte // copies by the name of the asset; nil where none are kept
}

// file takes a finished file.
func (p *press) file(name string, data []byte) { p.take(name, data, p.codecs) }

func (p *press) take(name string, data []byte, codecs []codec) {
	p.put(name, data)
	if p.atHand && !strings.HasPrefix(name, asset.Dir+"/") { // a preview serves only assets compressed
		p.count(name, len(data), nil)
		return
	}
	short, err := p.copies(name, data, codecs)
	if err != nil {
		p.fail(err)
		return
	}
	for ext, copied := range short {
		p.put(name+ext, copied)
	}
	p.count(name, len(data), short)
	p.list(name, data, short)
}

// copies are those of an asset that a preview has looked for before: its name says what it holds. What was not at hand then stays away,
// and the asset is served as it is.
func (p *press) copies(name string, data []byte, codecs []codec) (map[string][]byte, error) {
	p.mu.Lock()
	short, found := p.found[name]
	p.mu.Unlock()
	if found {
		return short, nil
	}
	short, err := copies(name, data, codecs, p.cache, p.atHand)
	if p.found != nil && strings.HasPrefix(name, asset.Dir+"/") && err == nil {
		p.mu.Lock()
		defer p.mu.Unlock()
		p.found[name] = short
	}
	return short, err
}

// list notes a file for the service worker, which a preview has not.
func (p *press) list(name string, data []byte, short map[string][]byte) {
	if p.kept == nil {
		return
	}
	one := newKeptFile(data, short)
	p.mu.Lock()
	defer p.mu.Unlock()
	p.kept[name] = one
}

// later takes a file that every page loads, compressed at the highest levels however long the book is. It need not be waited for
// before close: a core that compressed the calculators first would keep the pages waiting. They are compressed one after
// another: the slow levels take some ten megabytes each.
func (p *press) later(name string, data []byte) {
	p.waiting.Go(func() {
		p.turn.Lock()
		defer p.turn.Unlock()
		p.take(name, data, p.best)
	})
}

// close waits for all files and returns the first error.
func (p *press) close() error {
	p.waiting.Wait()
	p.mu.Lock()
	defer p.mu.Unlock()
	return p.err
}

func (p *press) fail(err error) {
	p.mu.Lock()
	defer p.mu.Unlock()
	if p.err == nil {
		p.err = err
	}
}

func (p *press) count(name string, size int, short map[string][]byte) {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.files += 1 + len(short)
	p.bytes += size
	if strings.HasSuffix(name, ".html") {
		p.pages++
	}
	if strings.HasSuffix(name, ".wasm") && strings.HasPrefix(path.Base(name), "calculators.") { // the fitting room has a module of its own
		p.wasm, p.wasmShort = size, len(short[".br"])
	}
}

// measure adds what only the finished files tell.
func (p *press) measure(s *Summary) {
	s.Files, s.Bytes, s.Pages, s.WASM, s.WASMBrotli = p.files, p.bytes, p.pages, p.wasm, p.wasmShort
}
