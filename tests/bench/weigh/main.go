// Command weigh says what a WebAssembly module of Go is made of: bytes of code by package and the largest functions,
// and how much the code of each package and the data come to when they are compressed alone. Packages compressed alone
// come to more than together; the shares are what they are read for.
//
//	GOOS=js GOARCH=wasm go build -trimpath -o .cache/named.wasm ./wasm && go run ./tests/bench/weigh .cache/named.wasm
//
// The module must have its names, so it is compiled without -ldflags=-s, which changes no code.
package main

import (
	"bytes"
	"cmp"
	"encoding/binary"
	"fmt"
	"maps"
	"os"
	"slices"
	"strings"

	"github.com/andybalholm/brotli"
)

func main() {
	if len(os.Args) != 2 {
		fmt.Fprintln(os.Stderr, "weigh FILE.wasm: one module, compiled without -ldflags=-s")
		os.Exit(2)
	}
	data, err := os.ReadFile(os.Args[1])
	if err == nil && !bytes.HasPrefix(data, []byte("\x00asm\x01\x00\x00\x00")) {
		err = fmt.Errorf("%s is no WebAssembly module of version 1", os.Args[1])
	}
	if err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
	weigh(read(data[8:]))
}

// module is the part of one that is weighed.
type module struct {
	functions [][]byte // the bodies, without those imported
	imported  int
	names     map[int]string
	data      []byte
}

// Sections by their number in the standard.
const (
	custom = iota
	_
	imports
	code = 10
	data = 11
)

func read(b []byte) module {
	m := module{names: map[int]string{}}
	for r := (reader{b}); len(r.rest) > 0; {
		id := r.bytes(1)[0]
		body := reader{r.bytes(r.number())}
		switch id {
		case imports:
			m.imported = countFunctions(body)
		case code:
			for range body.number() {
				m.functions = append(m.functions, body.bytes(body.number()))
			}
		case data:
			m.data = body.rest
		case custom:
			if string(body.bytes(body.number())) == "name" {
				m.readNames(body)
			}
		}
	}
	return m
}

// countFunctions counts the imports; a Go module imports nothing but functions.
func countFunctions(r reader) int { return r.number() }

func (m *module) readNames(r reader) {
	for len(r.rest) > 0 {
		kind := r.bytes(1)[0]
		body := reader{r.bytes(r.number())}
		if kind != 1 {
			continue
		}
		for range body.number() {
			i := body.number()
			m.names[i] = string(body.bytes(body.number()))
		}
	}
}

type reader struct{ rest []byte }

func (r *reader) number() int {
	n, size := binary.Uvarint(r.rest)
	r.rest = r.rest[size:]
	return int(n)
}

func (r *reader) bytes(n int) []byte {
	b := r.rest[:n]
	r.rest = r.rest[n:]
	return b
}

// share is what is told of a package or of a function.
type share struct {
	name      string
	code      []byte
	functions int
}

func weigh(m module) {
	packages := map[string]*share{}
	var each []share
	for i, body := range m.functions {
		name := m.names[i+m.imported]
		each = append(each, share{name, body, 1})
		p := packageOf(name)
		if packages[p] == nil {
			packages[p] = &share{name: p}
		}
		packages[p].code = append(packages[p].code, body...)
		packages[p].functions++
	}
	bySize := func(a, b share) int {
		return cmp.Or(cmp.Compare(len(b.code), len(a.code)), strings.Compare(a.name, b.name))
	}
	fmt.Printf("%9s %9s %5s\n%9d %9d       data\n", "bytes", "brotli", "", len(m.data), packed(m.data))
	var sums []share
	for _, p := range slices.Sorted(maps.Keys(packages)) {
		sums = append(sums, *packages[p])
	}
	slices.SortStableFunc(sums, bySize)
	for _, s := range sums {
		fmt.Printf("%9d %9d %5d %s\n", len(s.code), packed(s.code), s.functions, s.name)
	}
	fmt.Println("\nthe largest functions")
	slices.SortStableFunc(each, bySize)
	for _, s := range each[:min(60, len(each))] {
		fmt.Printf("%9d %s\n", len(s.code), s.name)
	}
}

// packageOf cuts a function's name behind its package's path, of which only the last part can hold no dot.
func packageOf(name string) string {
	path, rest := "", name
	if generic := strings.IndexAny(name, "[("); generic >= 0 {
		rest = name[:generic]
	}
	if i := strings.LastIndexAny(rest, "/"); i >= 0 {
		path, rest = rest[:i+1], rest[i+1:]
	}
	last, _, _ := strings.Cut(rest, ".")
	return path + last
}

func packed(b []byte) int {
	var out bytes.Buffer
	w := brotli.NewWriterLevel(&out, brotli.BestCompression)
	w.Write(b)
	w.Close()
	return out.Len()
}
