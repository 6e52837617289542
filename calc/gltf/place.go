package gltf

import (
	"strconv"
	"unicode/utf8"

	"centrode/calc/jsontree"
	"centrode/calc/quantity"
)

// FormatError says what in a file cannot be used.
type FormatError struct {
	Path    string // in the JSON, "accessors[4].count"; "file" for its frame, "json" for its grammar
	Given   string // what stands there
	Allowed string // a condition in words
}

// Error is the message: place, what stands there, what is allowed.
func (e *FormatError) Error() string {
	text := e.Path + ": " + e.Given
	if e.Allowed != "" {
		text += "; allowed " + e.Allowed
	}
	return text
}

// place is a value of the tree, or the lack of one, that knows the way to it.
type place struct {
	v    *jsontree.Value
	up   *place
	name string // of a member
	at   int    // of an item
}

func (p *place) member(name string) *place { return &place{p.v.Member(name), p, name, 0} }
func (p *place) item(i int) *place         { return &place{p.v.At(i), p, "", i} }

func (p *place) path() string {
	switch {
	case p.up == nil:
		return ""
	case p.name == "":
		return p.up.path() + "[" + strconv.Itoa(p.at) + "]"
	case p.up.up == nil:
		return p.name
	}
	return p.up.path() + "." + p.name
}

// given is how a message shows the value.
func (p *place) given() string {
	switch kind := p.v.Kind(); kind {
	case jsontree.Missing, jsontree.Array, jsontree.Object:
		return kind.Word()
	}
	return short(p.v.Raw())
}

// short cuts a text that somebody else wrote to what a line of a message can hold.
func short(text string) string {
	if len(text) <= 60 {
		return text
	}
	at := 60
	for at > 0 && !utf8.RuneStart(text[at]) {
		at--
	}
	return text[:at] + "…"
}

// reader carries the document in the making and the first refusal; after one, its methods answer zeros.
type reader struct {
	doc  *Document
	root *place
	open Opener
	bin  []byte // the binary part of a .glb, nil without one

	err      error
	memo     map[string]int
	numbers  int // of all accessors so far
	unbacked int
	vertices int // of all primitives so far
	moved    int // by all morph targets so far
	corners  int
	keys     int // numbers of all channels so far
	checked  int
}

// refuse keeps the first refusal.
func (r *reader) refuse(p *place, given, allowed string) {
	if r.err == nil {
		r.err = &FormatError{p.path(), given, allowed}
	}
}

// mostNotes bounds what is told of a file.
const mostNotes = 200

func (r *reader) note(p *place, text string) {
	if len(r.doc.Notes) < mostNotes {
		r.doc.Notes = append(r.doc.Notes, Note{p.path(), text})
	}
}

// spend adds to a sum and keeps it within its limit.
func (r *reader) spend(p *place, sum *int, n, most int, what string) {
	if *sum += n; *sum > most {
		r.refuse(p, "more than "+strconv.Itoa(most)+" "+what+" together", "are at most that many")
	}
}

// size is the length of a list, 0 without one.
func (r *reader) size(p *place) int {
	if k := p.v.Kind(); k != jsontree.Missing && k != jsontree.Array {
		r.refuse(p, p.given(), "is a list")
	}
	if r.err != nil {
		return 0
	}
	return p.v.Len()
}

// object makes sure that an object stands there.
func (r *reader) object(p *place) bool {
	if p.v.Kind() != jsontree.Object {
		r.refuse(p, p.given(), "is an object")
	}
	return r.err == nil
}

// has makes sure that a member, if there is one, is an object, and reports whether there is one.
func (r *reader) has(p *place) bool { return p.v.Kind() != jsontree.Missing && r.object(p) }

func (r *reader) text(p *place) string {
	if k := p.v.Kind(); k != jsontree.Missing && k != jsontree.String {
		r.refuse(p, p.given(), "is a text")
	}
	return p.v.Text()
}

// whole reads a whole number from least to most, or the fallback where there is none; a fallback below least means that
// there must be one.
func (r *reader) whole(p *place, fallback, least, most int) int {
	if p.v.Kind() == jsontree.Missing && fallback >= least {
		return fallback
	}
	n, ok := p.v.Int()
	if !ok || n < int64(least) || n > int64(most) {
		r.refuse(p, p.given(), "is a whole number from "+strconv.Itoa(least)+" to "+strconv.Itoa(most))
		return max(fallback, least)
	}
	return int(n)
}

// index reads a place in a list of that many things, or -1 where there is none.
func (r *reader) index(p *place, count int, what string) int {
	if p.v.Kind() == jsontree.Missing {
		return -1
	}
	n, ok := p.v.Int()
	if ok && n >= 0 && n < int64(count) {
		return int(n)
	}
	if count == 0 {
		r.refuse(p, p.given(), "is nothing, for the file has no "+what)
	} else {
		r.refuse(p, p.given(), numbered(what, count))
	}
	return -1
}

func numbered(what string, count int) string {
	return "is one of the " + what + ", numbered from 0 to " + strconv.Itoa(count-1)
}

// must reads a place in a list that cannot be left out.
func (r *reader) must(p *place, count int, what string) int {
	if p.v.Kind() == jsontree.Missing && count == 0 {
		r.refuse(p, p.given(), "is one of the "+what+", of which the file has none")
	} else if p.v.Kind() == jsontree.Missing {
		r.refuse(p, p.given(), numbered(what, count))
	}
	return r.index(p, count, what)
}

// reals reads exactly n finite numbers whose size is at most most, or nil where there are none.
func (r *reader) reals(p *place, n int, most float64) []float64 {
	if p.v.Kind() == jsontree.Missing {
		return nil
	}
	if r.size(p) != n {
		r.refuse(p, "a list of "+strconv.Itoa(p.v.Len()), "are "+quantity.Things(n, "number", "numbers"))
		return nil
	}
	list := make([]float64, n)
	for i := range list {
		x, ok := p.v.At(i).Float()
		if !ok || x > most || x < -most {
			at := p.item(i)
			r.refuse(at, at.given(), "is a number of size up to "+strconv.FormatFloat(most, 'g', -1, 64))
			return nil
		}
		list[i] = x
	}
	return list
}
