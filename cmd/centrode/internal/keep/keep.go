// Package keep remembers results from one build to the next, so that a preview only does again what a change asks for.
//
// Start at Of: a result is kept under a key that names the step and, by its hash, everything that the step depends on. So
// nothing is ever invalid; what no build asks for is forgotten. Nothing of a build that failed is kept. The room decides
// neither what to keep nor what a step depends on, and touches no disk: results between two runs of the command are the
// affair of site's cache.
package keep

import (
	"crypto/sha256"
	"encoding/binary"
	"fmt"
	"sync"
)

// Store holds results. A nil *Store keeps nothing. It is safe for many goroutines.
type Store struct {
	mu         sync.Mutex
	old, fresh map[string]any
}

// New returns an empty store.
func New() *Store { return &Store{old: map[string]any{}, fresh: map[string]any{}} }

// Of returns what make returned for the key before, or asks it now. Who gets a kept result must not write to it.
func Of[T any](s *Store, key string, make func() T) T {
	if s == nil {
		return make()
	}
	if v, ok := s.find(key); ok {
		return v.(T)
	}
	v := make()
	s.mu.Lock()
	defer s.mu.Unlock()
	s.fresh[key] = v
	return v
}

func (s *Store) find(key string) (any, bool) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if v, ok := s.fresh[key]; ok {
		return v, true
	}
	v, ok := s.old[key]
	if ok {
		s.fresh[key] = v
	}
	return v, ok
}

// Turn ends a build. One that went well leaves exactly what it used; one that failed leaves what was there before.
func (s *Store) Turn(well bool) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if well {
		s.old = s.fresh
	}
	s.fresh = make(map[string]any, len(s.old))
}

// Sum is a fingerprint of the parts, each by itself: "ab" and "c" differ from "a" and "bc".
func Sum(parts ...string) string {
	b := pool.Get().(*[]byte)
	defer pool.Put(b)
	*b = (*b)[:0]
	for _, p := range parts {
		*b = add(*b, p)
	}
	return short(*b)
}

// SumFile is Sum(name, string(data)), for who holds the file as bytes: to copy those of a whole book takes longer than to hash them.
func SumFile(name string, data []byte) string {
	b := pool.Get().(*[]byte)
	defer pool.Put(b)
	*b = add(add((*b)[:0], name), data)
	return short(*b)
}

// SumValues is a fingerprint of values of any kind, written as Go writes them, with quotes around each text: without, a word that
// moves from the end of a label to the beginning of what stands behind it would leave the sum as it was.
func SumValues(values ...any) string { return Sum(fmt.Sprintf("%#v", values)) }

func add[T string | []byte](b []byte, part T) []byte {
	return append(binary.LittleEndian.AppendUint64(b, uint64(len(part))), part...)
}

func short(b []byte) string {
	sum := sha256.Sum256(b)
	return string(sum[:16])
}

// pool spares Sum, which is asked some ten times for each lesson of a book, an allocation for each part.
var pool = sync.Pool{New: func() any { return new([]byte) }}
