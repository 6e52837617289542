package site

import (
	"bytes"
	"cmp"
	"crypto/sha256"
	"encoding/hex"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"time"
)

// cacheLimit bounds the cache folder: several whole sites' worth of compressed files.
const cacheLimit = 128 << 20

// cache keeps results that are slow to compute, by the hash of all they depend on. It is a convenience: what cannot be
// read is computed again, what cannot be written is not kept, and a damaged entry is noticed by its checksum.
type cache struct{ dir string }

func (c cache) name(key string) string {
	sum := sha256.Sum256([]byte(key))
	text := hex.EncodeToString(sum[:])
	return filepath.Join(c.dir, text[:2], text[2:])
}

// get returns what was put under the key.
func (c cache) get(key string) ([]byte, bool) {
	name := c.name(key)
	entry, err := os.ReadFile(name)
	if err != nil || len(entry) < sha256.Size {
		return nil, false
	}
	data := entry[sha256.Size:]
	if sum := sha256.Sum256(data); !bytes.Equal(sum[:], entry[:sha256.Size]) {
		return nil, false
	}
	now := time.Now()
	_ = os.Chtimes(name, now, now) // so that prune knows what is still used
	return data, true
}

// put keeps data under the key.
func (c cache) put(key string, data []byte) {
	name := c.name(key)
	if os.MkdirAll(filepath.Dir(name), 0o755) != nil {
		return
	}
	f, err := os.CreateTemp(filepath.Dir(name), "new-*")
	if err != nil {
		return
	}
	sum := sha256.Sum256(data)
	_, err = f.Write(append(sum[:], data...))
	if closed := f.Close(); err != nil || closed != nil || os.Rename(f.Name(), name) != nil {
		os.Remove(f.Name())
	}
}

// prune removes the entries used longest ago until the rest fits in limit bytes.
func (c cache) prune(limit int64) {
	type entry struct {
		name string
		size int64
		used time.Time
	}
	var entries []entry
	var total int64
	_ = filepath.WalkDir(c.dir, func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return nil
		}
		if info, err := d.Info(); err == nil {
			entries = append(entries, entry{name, info.Size(), info.ModTime()})
			total += info.Size()
		}
		return nil
	})
	slices.SortFunc(entries, func(a, b entry) int { return cmp.Or(a.used.Compare(b.used), cmp.Compare(a.name, b.name)) })
	for _, e := range entries {
		if total <= limit {
			return
		}
		if os.Remove(e.name) == nil {
			total -= e.size
		}
	}
}
