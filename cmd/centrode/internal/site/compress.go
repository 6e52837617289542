package site

import (
	"bytes"
	"compress/gzip"
	"crypto/sha256"
	"io"
	"math/bits"
	"path"
	"runtime"
	"runtime/debug"
	"strconv"

	"github.com/andybalholm/brotli"
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
	ext      string // ".br"
	version  string
	compress func(w io.Writer, size int) io.WriteCloser
}

// largeBook is the number of bytes of markdown from which on a fast level compresses the pages: ten times the handbook.
// The slow level takes a second of one core for half a megabyte, and would then take longer than all else together.
const largeBook = 4 << 20

// codecsFor returns the codecs for a book with so many bytes of markdown.
func codecsFor(markdown int) []codec {
	br, gz := brotli.BestCompression, gzip.BestCompression
	if markdown > largeBook {
		br, gz = 5, 6
	}
	return []codec{
		{".br", "brotli " + strconv.Itoa(br) + " fitting " + moduleVersion("github.com/andybalholm/brotli"), func(w io.Writer, size int) io.WriteCloser {
			// A window that fits spares memory that would be cleared for each file.
			return brotli.NewWriterOptions(w, brotli.WriterOptions{Quality: br, LGWin: min(max(bits.Len(uint(size)+16), 16), 22)})
		}},
		{".gz", "gzip " + strconv.Itoa(gz) + " " + runtime.Version(), func(w io.Writer, _ int) io.WriteCloser {
			z, err := gzip.NewWriterLevel(w, gz) // no name and no time in its header
			if err != nil {
				panic(err) // the level is a constant
			}
			return z
		}},
	}
}

// moduleVersion returns the version of a module linked into this program.
func moduleVersion(module string) string {
	if info, ok := debug.ReadBuildInfo(); ok {
		for _, dep := range info.Deps {
			if dep.Path == module {
				return dep.Version
			}
		}
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
	sum := sha256.Sum256(data)
	key := with.version + "\x00" + string(sum[:])
	if short, ok := c.get(key); ok || atHand {
		return short, nil
	}
	var b bytes.Buffer
	w := with.compress(&b, len(data))
	if _, err := w.Write(data); err != nil {
		return nil, err
	}
	if err := w.Close(); err != nil {
		return nil, err
	}
	c.put(key, b.Bytes())
	return b.Bytes(), nil
}
