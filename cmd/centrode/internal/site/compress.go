package site

import (
	"bytes"
	"compress/gzip"
	"crypto/sha256"
	"io"
	"math/bits"
	"path"
	"reflect"
	"runtime"
	"strings"
	"sync"

	"github.com/andybalholm/brotli"
	"github.com/andybalholm/brotli/flate"
)

// compressible are the kinds of file that text compression shortens; fonts and pictures are compressed already.
var compressible = map[string]bool{
	".html": true, ".css": true, ".js": true, ".svg": true, ".json": true, ".xml": true, ".txt": true, ".wasm": true,
	".atom": true, ".webmanifest": true,
	".glb": true, // mostly numbers as they stand in memory
}

// leastToCompress is the size under which a compressed copy saves less than the bookkeeping of a request.
const leastToCompress = 1024

// codec is one way of compressing, named by everything that decides its output.
type codec struct {
	ext     string // ".br"
	version string
	quick   bool // done again sooner than the cache gives it back
	writer  func(size int) compressor
	idle    *sync.Pool // of compressors, which are large; nil where their size follows the file's
}

// compressor is what brotli and gzip writers share.
type compressor interface {
	io.WriteCloser
	Reset(io.Writer)
}

// largeBook is the number of bytes of markdown from which on pages are compressed once and fast: ten times the handbook.
// The slow level takes a second of one core for half a megabyte, and would then take longer than all else together.
const largeBook = 4 << 20

// slow are the highest levels, for what every reader loads and for the pages of an ordinary book.
func slow() []codec {
	return []codec{
		{ext: ".br", version: "brotli 11 fitting " + brotliVersion(), writer: func(size int) compressor {
			// A window that fits spares memory that would be cleared for each file.
			return brotli.NewWriterOptions(nil, brotli.WriterOptions{Quality: brotli.BestCompression, LGWin: min(max(bits.Len(uint(size)+16), 16), 22)})
		}},
		{ext: ".gz", version: "gzip 9 " + runtime.Version(), idle: &sync.Pool{}, writer: func(int) compressor {
			z, err := gzip.NewWriterLevel(nil, gzip.BestCompression) // no name and no time in its header
			if err != nil {
				panic(err) // the level is a constant
			}
			return z
		}},
	}
}

// fast is gzip in two thirds of the time that the standard library takes for copies of that length.
func fast() []codec {
	return []codec{{ext: ".gz", quick: true, idle: &sync.Pool{}, writer: func(int) compressor { return flate.NewGZIPWriter(nil, 3) }}}
}

// codecsFor returns the codecs of the pages of a book with so many bytes of markdown. A long one gets gzip alone, which every
// browser takes; many hosts compress with brotli by themselves.
func codecsFor(markdown int) []codec {
	if markdown > largeBook {
		return fast()
	}
	return slow()
}

// brotliVersion is that of the encoder linked into this program, as the names of its files tell it. The list of modules would tell it
// too, but the program of a test carries none; and what a build has compressed is to be at hand for the tests, which would take a minute of a core for it.
func brotliVersion() string {
	encoder := reflect.ValueOf(brotli.NewWriterOptions).Pointer()
	file, _ := runtime.FuncForPC(encoder).FileLine(encoder)
	if _, rest, found := strings.Cut(file, "github.com/andybalholm/brotli@"); found {
		version, _, _ := strings.Cut(rest, "/")
		return version
	}
	return "of an unknown version"
}

// copies returns the compressed copies that belong beside a file, by their extension, each only where it is shorter than
// the file. With atHand, copies that the cache lacks are left out.
func copies(name string, data []byte, codecs []codec, c cache, atHand bool) (map[string][]byte, error) {
	if !compressible[path.Ext(name)] || len(data) < leastToCompress {
		return nil, nil
	}
	out := map[string][]byte{}
	for _, with := range codecs {
		short, err := compress(data, with, c, atHand)
		if err != nil {
			return nil, err
		}
		if short != nil && len(short) < len(data) {
			out[with.ext] = short
		}
	}
	return out, nil
}

func compress(data []byte, with codec, c cache, atHand bool) ([]byte, error) {
	if with.quick {
		if atHand {
			return nil, nil
		}
		return with.shorten(data)
	}
	sum := sha256.Sum256(data)
	key := with.version + "\x00" + string(sum[:])
	if short, ok := c.get(key); ok || atHand {
		return short, nil
	}
	short, err := with.shorten(data)
	if err == nil {
		c.put(key, short)
	}
	return short, err
}

func (c codec) shorten(data []byte) ([]byte, error) {
	var w compressor
	if c.idle != nil {
		w, _ = c.idle.Get().(compressor)
	}
	if w == nil {
		w = c.writer(len(data))
	}
	var b bytes.Buffer
	b.Grow(len(data)/4 + 64)
	w.Reset(&b)
	if _, err := w.Write(data); err != nil {
		return nil, err
	}
	if err := w.Close(); err != nil {
		return nil, err
	}
	if c.idle != nil {
		c.idle.Put(w)
	}
	if c.ext == ".gz" {
		clear(b.Bytes()[4:8]) // where a header may tell the time
	}
	return b.Bytes(), nil
}
