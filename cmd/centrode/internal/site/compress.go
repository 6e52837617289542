package site

import (
	"bytes"
	"compress/gzip"
	"crypto/sha256"
	"io"
	"path"
	"runtime"
	"runtime/debug"

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
	compress func(io.Writer) io.WriteCloser
}

var codecs = []codec{
	{".br", "brotli 11 " + moduleVersion("github.com/andybalholm/brotli"), func(w io.Writer) io.WriteCloser {
		return brotli.NewWriterLevel(w, brotli.BestCompression)
	}},
	{".gz", "gzip 9 " + runtime.Version(), func(w io.Writer) io.WriteCloser {
		z, err := gzip.NewWriterLevel(w, gzip.BestCompression) // no name and no time in its header
		if err != nil {
			panic(err) // the level is a constant
		}
		return z
	}},
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

// compressAll returns the compressed copies that belong beside files: name + ".br" and name + ".gz", each only where
// it is shorter than the file. With atHand, copies that the cache lacks are left out.
func compressAll(files map[string][]byte, c cache, atHand bool) (map[string][]byte, error) {
	type job struct {
		name string
		with codec
	}
	var jobs []job
	for name, data := range files {
		if !compressible[path.Ext(name)] || len(data) < leastToCompress {
			continue
		}
		for _, with := range codecs {
			jobs = append(jobs, job{name, with})
		}
	}
	// The largest first: a core that starts the WASM last would work alone at the end.
	sortBySize(jobs, func(j job) int { return len(files[j.name]) })
	short, err := parallel(jobs, func(j job) ([]byte, error) { return compress(files[j.name], j.with, c, atHand) })
	if err != nil {
		return nil, err
	}
	out := map[string][]byte{}
	for i, j := range jobs {
		if short[i] != nil && len(short[i]) < len(files[j.name]) {
			out[j.name+j.with.ext] = short[i]
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
	w := with.compress(&b)
	if _, err := w.Write(data); err != nil {
		return nil, err
	}
	if err := w.Close(); err != nil {
		return nil, err
	}
	c.put(key, b.Bytes())
	return b.Bytes(), nil
}
